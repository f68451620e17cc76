package dossier

import (
	"fmt"

	"runproof/drawing"
	"runproof/parts"
)

// parts lists what to pick for the fit: the catalogue's kit, then the tubes to cut.
func (b *book) parts() {
	b.NewPage()
	b.Title("Parts of this fit")
	cat := b.in.Parts
	if len(cat.Parts) == 0 {
		cat = parts.BuiltIn()
	}
	kit := cat.Kit(b.f.Need())
	cost, unpriced := kit.Cost()
	b.Table(kitTable(kit, cost > 0))
	if cost > 0 {
		words := fmt.Sprintf("Sum of the prices in the catalogue: %.2f.", cost)
		if unpriced > 0 {
			words += fmt.Sprintf(" %s without a price not counted.", one(unpriced, "line"))
		}
		b.Paragraph(words)
	}
	for _, n := range kit.Notes {
		b.Item("·", n)
	}
	b.tubeTable()
}

func kitTable(kit parts.Kit, priced bool) drawing.Table {
	t := drawing.Table{Stretch: true, Columns: []drawing.Column{
		{},
		{Title: "part", Bold: true},
		{Title: "what it is"},
		{Title: "to fit", Align: drawing.Right},
		{Title: "spare", Align: drawing.Right},
		{Title: "pick", Align: drawing.Right, Bold: true},
		{Title: "counted"},
	}}
	if priced {
		t.Columns = append(t.Columns, drawing.Column{Title: "price each", Align: drawing.Right})
	}
	for _, l := range kit.Lines {
		row := drawing.Cells("☐", l.Part, l.Name, fmt.Sprint(l.Count), fmt.Sprint(l.Spare), fmt.Sprint(l.Pieces()), l.Why)
		if priced {
			row = append(row, drawing.Cell{Text: known(l.Price > 0, fmt.Sprintf("%.2f", l.Price))})
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// tubeTable groups the tubes by their planned, straight length.
func (b *book) tubeTable() {
	if len(b.f.Map) == 0 {
		return
	}
	b.Heading("Tubes or leads from sensor to port, straight lengths")
	count := map[float64]int{}
	for _, l := range b.f.Map {
		count[roundCM(l.TubeM)]++
	}
	t := drawing.Table{Columns: []drawing.Column{{}, {Title: "length", Align: drawing.Right}, {Title: "number", Align: drawing.Right}, {Title: "together", Align: drawing.Right}}}
	for _, m := range sortedKeys(count) {
		t.Rows = append(t.Rows, drawing.Cells("☐", b.units.place(m), fmt.Sprint(count[m]), b.units.place(m*float64(count[m]))))
	}
	b.Table(t)
	b.Paragraph("In all " + b.units.length(b.tubeM()) + ". Cut longer by what bends, clips and a service loop take.")
}
