package dossier

import (
	"fmt"
	"strings"

	"runproof/drawing"
	"runproof/drill"
)

// ground tells what became of the ground of each product, and what of the outfit
// that rests on.
func (r *report) ground() {
	g := r.day.Review.Ground
	if g == nil {
		return
	}
	right := drawing.Right
	t := drawing.Table{Columns: []drawing.Column{
		{Title: "product"},
		{Title: "worked", Align: right},
		{Title: "sown", Align: right},
		{Title: "of that twice", Align: right},
		{Title: "unsown", Align: right},
		{Title: "of that by events", Align: right},
		{Title: "not yet arrived, or shut off", Align: right},
	}}
	for _, p := range g.Products {
		cells := []drawing.Cell{{Text: string(p.Product)}}
		for _, m2 := range []float64{p.WorkedM2, p.SownM2, p.DoubleM2, p.UnsownM2, p.ShortM2, p.IdleM2} {
			cells = append(cells, drawing.Cell{Text: r.units.ground(m2)})
		}
		t.Rows = append(t.Rows, cells)
	}
	r.Heading("What became of the ground")
	r.Table(t)
	r.Paragraph(r.outfitWords())
}

// outfitWords tells what the places rest on.
func (r *report) outfitWords() string {
	g := r.day.Review.Ground
	words := "Each place counts once for each product. Places are those of the openers, not of the antenna on the " + g.Antenna.String()
	if g.Antenna != drill.OnDrill {
		words += ", which the drill follows by its hitch"
	}
	low, high := g.Products[0].HoseLagS[0], 0.0
	for _, p := range g.Products {
		low, high = min(low, p.HoseLagS[0]), max(high, p.HoseLagS[1])
	}
	words += fmt.Sprintf("; what passes a sensor is taken to reach the ground %.1f to %.1f s later.", low, high)
	if len(g.Assumed) > 0 {
		words += " Taken, as nobody said: " + strings.Join(g.Assumed, "; ") + "."
	}
	return words
}
