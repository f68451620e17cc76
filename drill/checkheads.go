package drill

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
)

const maxName = 120

func (c checker) name() {
	if len([]rune(c.d.Name)) > maxName {
		c.fault(at("name"), fmt.Sprintf("keep it under %d letters", maxName), "the name is too long")
	}
	if strings.ContainsFunc(c.d.Name, unicode.IsControl) {
		c.fault(at("name"), "write it on one line", "the name has a line break, tab or control character in it")
	}
}

func (c checker) ranks() {
	ranks := c.d.Rows.RanksM
	if !c.said("rows", "ranks_m") {
		return
	}
	if len(ranks) == 0 {
		c.fault(at("rows", "ranks_m"), "write ranks_m: [0.0] for one rank", "rows.ranks_m names no rank")
		return
	}
	for i := range ranks {
		if !c.doc.Sound("rows", "ranks_m", i) {
			return
		}
	}
	if front := slices.Max(ranks); front != 0 {
		c.fault(at("rows", "ranks_m"), "measure the ranks from the front one: 0.0, then minus the distances", "no rank is at 0, but all places are measured from the front rank")
	}
}

func (c checker) checkProducts() {
	if len(c.d.Products) == 0 && c.said("products") {
		c.fault(at("products"), "name at least one: - {id: seed}", "there are no products")
	}
	seen := make(map[string]int)
	for i, p := range c.d.Products {
		c.id("product", string(p.ID), seen, at("products", i, "id"))
	}
}

func (c checker) checkHeads() {
	if len(c.d.Heads) == 0 && c.said("heads") {
		c.fault(at("heads"), "describe at least one", "there are no heads")
	}
	seen := make(map[string]int)
	for i, h := range c.d.Heads {
		c.id("head", string(h.ID), seen, at("heads", i, "id"))
		c.known(at("heads", i, "product"), "there is no product", string(h.Product), c.products)
		if rows := at("heads", i, "rows"); c.said(rows...) && len(h.Rows) == 0 {
			c.fault(rows, `write the rows that outlets 1, 2, ... feed, like "1-12"`, "head %s feeds no rows", h.ID)
		}
	}
}

// checkRows checks that each run's row exists and that no product comes to a row
// twice.
func (c checker) checkRows() {
	type feed struct {
		product ProductID
		row     int
	}
	first := make(map[feed]RunID)
	for i, h := range c.d.Heads {
		if !c.said("heads", i, "rows") {
			continue
		}
		for k, row := range h.Rows {
			if n := c.d.Rows.Count; row > n && c.said("rows", "count") {
				c.doc.Fault(c.rowPlace(i, row), "check rows.count or the head's list",
					"head %s feeds row %d, but the drill has %d rows", h.ID, row, n)
				break // one fault a head: the rows behind it are likely as wrong
			}
			run := NewRunID(h.ID, k+1)
			if other, twice := first[feed{h.Product, row}]; twice {
				c.doc.Fault(c.rowPlace(i, row), "a row takes one run of each product; check both lists",
					"row %d gets %s from run %s already, and here again from %s", row, h.Product, other, run)
				break
			}
			first[feed{h.Product, row}] = run
		}
	}
}
