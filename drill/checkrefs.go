package drill

import (
	"fmt"
	"slices"
	"strings"

	"runproof/input"
)

// rowPlace is where the list of head i names the row.
func (c checker) rowPlace(i, row int) input.Place {
	path := at("heads", i, "rows")
	for _, item := range c.doc.Items(path...) {
		if rows, err := ParseRowList(item.Text); err == nil && slices.Contains(rows, row) {
			return item.At
		}
	}
	return c.doc.At(path...)
}

func (c checker) checkSections() {
	seen := make(map[string]int)
	var heads []string
	for _, h := range c.d.Heads {
		heads = append(heads, string(h.ID))
	}
	for i, s := range c.d.Sections {
		c.id("section", string(s.ID), seen, at("sections", i, "id"))
		if len(s.Heads)+len(s.Runs) == 0 && c.said("sections", i) && c.doc.Sound("sections", i, "heads") && c.doc.Sound("sections", i, "runs") {
			c.fault(at("sections", i), "write heads: [...] or runs: [...]", "section %s has no runs", s.ID)
		}
		for k, h := range s.Heads {
			c.known(at("sections", i, "heads", k), fmt.Sprintf("section %s: there is no head", s.ID), string(h), heads)
		}
		c.runList(at("sections", i, "runs"), fmt.Sprintf("section %s", s.ID), s.Runs)
	}
}

func (c checker) checkClosed() { c.runList(at("closed"), "closed", c.d.Closed) }

// runList checks a list of runs: each there, each once.
func (c checker) runList(path []any, where string, runs []RunID) {
	once := make(map[RunID]bool)
	for k, r := range runs {
		if c.doc.Full() {
			return
		}
		here := append(path[:len(path):len(path)], k)
		switch {
		case !c.said(here...):
		case once[r]:
			c.fault(here, "name it once", "%s: run %s stands twice", where, r)
		case !c.runs[r]:
			c.unknownRun(here, where, r)
		}
		once[r] = true
	}
}

// unknownRun says why there is no such run: no such head, or no such outlet.
func (c checker) unknownRun(path []any, where string, r RunID) {
	if i, isHead := c.heads[HeadID(r)]; isHead {
		c.fault(path, fmt.Sprintf("a run is a head and its outlet, like %s", NewRunID(c.d.Heads[i].ID, 1)), "%s: %q is a head, not a run", where, r)
		return
	}
	head, _ := cutRunID(r)
	i, ok := c.heads[head]
	if !ok {
		c.fault(path, "a run is a head and its outlet, like C-7", "%s: there is no run %q, for there is no head %q", where, r, head)
		return
	}
	if c.said("heads", i, "rows") {
		c.fault(path, "check the list of rows of that head", "%s: there is no run %q: head %s has %d outlets", where, r, head, len(c.d.Heads[i].Rows))
	}
}

// cutRunID parts a run's id at its last hyphen.
func cutRunID(r RunID) (head HeadID, outlet string) {
	i := strings.LastIndexByte(string(r), '-')
	if i < 0 {
		return HeadID(r), ""
	}
	return HeadID(r[:i]), string(r[i+1:])
}

func (c checker) checkSensing() {
	products := c.d.Sensing.Products
	if len(products) == 0 && c.said("sensing", "products") {
		c.fault(at("sensing", "products"), "name what shall be sensed, or leave products out to sense all", "sensing.products names none")
	}
	once := make(map[ProductID]bool)
	for k, p := range products {
		if once[p] {
			c.fault(at("sensing", "products", k), "name it once", "product %s stands twice", p)
		}
		once[p] = true
		c.known(at("sensing", "products", k), "sensing: there is no product", string(p), c.products)
	}
}

func (c checker) checkFrame() {
	seen := make(map[string]int)
	var points []string
	for i, p := range c.d.Frame.Points {
		c.id("frame point", p.ID, seen, at("frame", "points", i, "id"))
		points = append(points, p.ID)
	}
	for i, l := range c.d.Frame.Links {
		for _, end := range []struct{ key, point string }{{"from", l.From}, {"to", l.To}} {
			c.known(at("frame", "links", i, end.key), "there is no frame point", end.point, points)
		}
		if l.From == l.To && c.said("frame", "links", i, "to") {
			c.fault(at("frame", "links", i), "name two points", "a link leads from %s to itself", l.From)
		}
	}
}
