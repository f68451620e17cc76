package drill

import (
	"fmt"
	"slices"

	"runproof/input"
	"runproof/input/yamldoc"
)

// checker looks at what the decoder cannot see: names that must agree, and
// rows that must fit.
type checker struct {
	doc *yamldoc.Document
	d   *Drill

	products []string
	heads    map[HeadID]int // index in d.Heads
	runs     map[RunID]bool
}

func newChecker(doc *yamldoc.Document, d *Drill) checker {
	c := checker{doc: doc, d: d, heads: make(map[HeadID]int), runs: make(map[RunID]bool)}
	for _, p := range d.Products {
		c.products = append(c.products, string(p.ID))
	}
	for i, h := range d.Heads {
		c.heads[h.ID] = i
	}
	for _, r := range d.Runs() {
		c.runs[r.ID] = true
	}
	return c
}

func (c checker) check() {
	c.name()
	c.ranks()
	c.checkProducts()
	c.checkHeads()
	c.checkRows()
	c.checkSections()
	c.checkClosed()
	c.checkSensing()
	c.checkFrame()
}

// at is a path into the document, see yamldoc.Document.At.
func at(path ...any) []any { return path }

// fault adds a fault at the value of the path.
func (c checker) fault(path []any, remedy, what string, args ...any) {
	c.doc.Fault(c.doc.At(path...), remedy, what, args...)
}

// said tells whether the document has a value at the path that was read
// without a fault: only such a value can be judged.
func (c checker) said(path ...any) bool { return c.doc.Has(path...) && c.doc.Sound(path...) }

// id checks the form of an id and that it stands once. Its path ends in the
// key id.
func (c checker) id(kind, id string, seen map[string]int, path []any) {
	if !c.said(path...) {
		return
	}
	if why := idFault(id); why != "" {
		c.fault(path, fmt.Sprintf("use letters, digits, and _ . - behind the first, at most %d of them", maxID), "%s id %q %s", kind, id, why)
		return
	}
	if first, twice := seen[id]; twice {
		c.fault(path, "give each its own", "%s id %s is taken on line %d", kind, id, first)
		return
	}
	seen[id] = c.doc.At(path...).Line
}

// known checks that a word is one of the valid ones, and offers the nearest.
func (c checker) known(path []any, what, word string, valid []string) {
	if !c.said(path...) || slices.Contains(valid, word) || c.doc.Full() {
		return
	}
	const few = 12
	remedy := "describe it first"
	if _, near := input.Nearest(word, valid); near || len(valid) > 0 && len(valid) <= few {
		remedy = input.DidYouMean(word, valid)
	}
	c.fault(path, remedy, "%s %q", what, word)
}
