package dossier

import (
	"fmt"
	"strconv"

	"runproof/drawing"
	"runproof/drill"
)

// planPages is the drill to scale, and its heads and products in figures.
func (b *book) planPages() {
	b.Turn(b.in.Paper.Landscape())
	b.Title("The drill, from above")
	s, r := b.Rest(60)
	used := drawPlan(s, r, b.f)
	b.GiveBack(r.H - used)
	b.productTable()
	b.headTable()
}

func (b *book) headTable() {
	b.Heading("Heads, front rank first and from left to right")
	b.Paragraph("Places are measured from the middle of the front rank at ground level.")
	t := drawing.Table{Columns: []drawing.Column{
		{Title: "head", Bold: true}, {Title: "product"}, {Title: "outlets", Align: drawing.Right}, {Title: "rows, outlet 1 first"},
		{Title: "forward", Align: drawing.Right}, {Title: "right", Align: drawing.Right}, {Title: "up", Align: drawing.Right},
		{Title: "hoses", Align: drawing.Right}, {Title: "nodes at it"},
	}}
	for _, id := range drill.HeadOrder(b.d) {
		h, _ := b.d.Head(id)
		t.Rows = append(t.Rows, drawing.Cells(string(h.ID), string(h.Product), strconv.Itoa(len(h.Rows)), h.Rows.String(),
			b.units.place(h.At.Forward), b.units.place(h.At.Right), b.units.place(h.At.Up),
			known(h.HoseM > 0, b.units.place(h.HoseM)), b.nodesAt(h.ID)))
	}
	b.Table(t)
}

func known(ok bool, text string) string {
	if ok {
		return text
	}
	return "–"
}

func (b *book) productTable() {
	b.Heading("Products")
	t := drawing.Table{Columns: []drawing.Column{
		{Title: "product", Bold: true}, {Title: "material"}, {Title: "rate", Align: drawing.Right},
		{Title: "1000 particles", Align: drawing.Right}, {Title: "runs", Align: drawing.Right}, {Title: "sensed", Align: drawing.Right},
	}}
	for _, p := range b.d.Products {
		all, sensed := 0, 0
		for _, r := range b.d.Runs() {
			if r.Product == p.ID {
				all++
				if _, ok := b.f.PortOf(r.ID); ok {
					sensed++
				}
			}
		}
		t.Rows = append(t.Rows, drawing.Cells(string(p.ID), known(p.Material != "", p.Material),
			known(p.RateKgHa > 0, b.units.rate(p.RateKgHa)), known(p.TKWG > 0, b.units.smallMass(p.TKWG)),
			fmt.Sprint(all), fmt.Sprint(sensed)))
	}
	b.Table(t)
}
