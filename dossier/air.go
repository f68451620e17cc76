package dossier

import (
	"fmt"

	"runproof/drawing"
	"runproof/drill"
	"runproof/fit"
	"runproof/measure"
)

// airPages is how the product travels: what to do, then the figures head by
// head with their spans.
func (b *book) airPages() {
	a := b.f.Air
	if len(a.Heads) == 0 {
		return
	}
	b.NewPage()
	b.Title("Air")
	b.Paragraph(fmt.Sprintf("Reckoned for air of %s at %s above the sea. Correlations for seed differ by half and more: figures are spans, and a share of air is not a share of product.",
		b.units.Format(measure.Temperature, a.TemperatureC), b.units.travel(a.AltitudeM)))
	for _, x := range a.Advice {
		b.Space(1)
		b.Item("·", fmt.Sprintf("%s: %s.", headsWords(x.Heads), x.Do))
		b.Styled(x.Why, drawing.TextStyle{SizePT: 8, Ink: drawing.Soft})
	}
	for _, x := range a.Assumed {
		b.Item("·", "assumed: "+x)
	}
	b.Heading("Head by head")
	b.Table(b.airTable(a))
}

func headsWords(ids []drill.HeadID) string {
	word := "head "
	if len(ids) > 1 {
		word = "heads "
	}
	return word + listing(ids, func(h drill.HeadID) string { return string(h) })
}

func (b *book) airTable(a fit.Air) drawing.Table {
	t := drawing.Table{Stretch: true, Text: drawing.TextStyle{SizePT: 8}, Columns: []drawing.Column{
		{Title: "head", Bold: true},
		{Title: "g/s", Align: drawing.Right},
		{Title: "settles below", Align: drawing.Right},
		{Title: "needed", Align: drawing.Right},
		{Title: "air now", Align: drawing.Right},
		{Title: "pressure", Align: drawing.Right},
		{Title: "kg/kg", Align: drawing.Right},
		{Title: "one run shut: the others", Align: drawing.Right},
		{Title: "meter to row", Align: drawing.Right},
	}}
	for _, h := range a.Heads {
		now := "not measured"
		if h.Primary.Measured {
			now = b.units.Format(measure.AirSpeed, h.Primary.AirMPS)
		}
		t.Rows = append(t.Rows, drawing.Cells(string(h.Head), known(h.GramsPerS > 0, fmt.Sprintf("%.0f", h.GramsPerS)),
			b.spanWords(measure.AirSpeed, h.Primary.SaltationMPS), b.spanWords(measure.AirSpeed, h.Primary.NeedMPS), now,
			b.spanWords(measure.Pressure, h.PressurePa), known(h.Primary.Loading > 0, fmt.Sprintf("%.2f", h.Primary.Loading)),
			known(h.Blocked.Product > 1, fmt.Sprintf("+%.1f %%", 100*(h.Blocked.Product-1))), b.spanWords(measure.Time, h.ToRow.Seconds)))
	}
	return t
}

// spanWords writes a span: "7.3 to 11.1 m/s".
func (b *book) spanWords(q measure.Quantity, s fit.Span) string {
	if !s.Known() {
		return "–"
	}
	u := b.units.Unit(q)
	return u.Number(s.Low) + " to " + u.Format(s.High)
}
