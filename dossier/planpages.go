package dossier

import (
	"fmt"
	"strconv"
	"strings"

	"runproof/drawing"
	"runproof/drill"
	"runproof/views"
)

// planPages is the drill to scale, its products, and its heads in figures.
func (b *book) planPages() {
	b.Turn(b.in.Paper.Landscape())
	b.Title("The drill, from above")
	s, r := b.Rest(60)
	used := views.DrawTop(s, r, b.f, 0)
	b.GiveBack(r.H - used)
	b.Space(3)
	b.productLines()
	b.headTable()
}

func (b *book) headTable() {
	b.Heading("Heads, front rank first and from left to right")
	b.Paragraph("Places are measured from the middle of the front rank at ground level.")
	t := drawing.Table{Columns: []drawing.Column{
		{Title: "head", Bold: true},
		{Title: "product"},
		{Title: "outlets", Align: drawing.Right},
		{Title: "rows, outlet 1 first"},
		{Title: "forward", Align: drawing.Right},
		{Title: "right", Align: drawing.Right},
		{Title: "up", Align: drawing.Right},
		{Title: "hoses", Align: drawing.Right},
		{Title: "nodes at it"},
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

// productLines says what each product is and how many of its runs are sensed.
func (b *book) productLines() {
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
		words := []string{productWords(p)}
		if p.RateKgHa > 0 {
			words = append(words, b.units.rate(p.RateKgHa))
		}
		if p.TKWG > 0 {
			words = append(words, b.units.smallMass(p.TKWG)+" per 1000 particles")
		}
		words = append(words, fmt.Sprintf("%d of its %s sensed", sensed, one(all, "run")))
		b.Item("·", strings.Join(words, ", "))
	}
}
