package dossier

import (
	"fmt"
	"strings"

	"runproof/drawing"
	"runproof/fit"
	"runproof/measure"
	"runproof/views"
)

// wiring is what the next technician needs of harness, power and bus: where the
// legs run, what a meter should show, and where gateway and antenna are.
func (b *book) wiring() {
	if len(b.f.Harness.Legs) == 0 {
		return // the first page says so
	}
	b.NewPage()
	b.Title("Harness, power and bus")
	b.harnessView()
	b.legTable()
	b.voltTable()
	b.wireTable()
	b.fuseFacts()
	b.busFacts()
	b.radioFacts()
	b.sideView()
}

// harnessView is the drawing, on what is left of the first page.
func (b *book) harnessView() {
	const most = 150.0
	b.picture(most, views.DrawHarness)
}

func (b *book) sideView() {
	const most = 125.0
	b.picture(most, views.DrawSide)
}

// picture draws a view as wide as the page and as high as it needs, at most so
// high.
func (b *book) picture(mostMM float64, draw func(*drawing.Sheet, drawing.Rect, *fit.Fit) float64) {
	trial := drawing.NewSheet(b.in.Paper.Portrait())
	used := draw(trial, drawing.Rect{W: b.Width(), H: mostMM}, b.f)
	s, r := b.Area(used + 2)
	draw(s, drawing.Rect{X: r.X, Y: r.Y, W: r.W, H: mostMM}, b.f)
}

func (b *book) legTable() {
	b.Heading("Legs, in the order laid")
	t := drawing.Table{Stretch: true, Columns: []drawing.Column{
		{Title: "leg", Bold: true},
		{Title: "from"},
		{Title: "to"},
		{Title: "carries"},
		{Title: "pieces"},
		{Title: "length", Align: drawing.Right},
		{Title: "at hinges", Align: drawing.Right},
		{Title: "to coil", Align: drawing.Right},
		{Title: "mm²", Align: drawing.Right},
	}}
	for _, l := range b.f.Harness.Legs {
		t.Rows = append(t.Rows, drawing.Cells(l.ID, l.From, l.To, carries(l), strings.Join(l.Pieces, " + "), b.units.place(l.LengthM),
			b.hingeWords(l), b.coil(l), fmt.Sprintf("%.1f", l.AreaMM2)))
	}
	b.Table(t)
}

func (b *book) hingeWords(l fit.Leg) string {
	if l.HingeM == 0 {
		return "–"
	}
	return b.units.place(l.HingeM)
}

// coil is what is left over of a leg, as the yard sheets say it.
func (b *book) coil(l fit.Leg) string {
	if m := l.CoilM(); m > 0 {
		return b.units.place(m)
	}
	return "nothing"
}

// carries is what a leg is for.
func carries(l fit.Leg) string {
	switch {
	case l.Bus:
		return "power and bus"
	case l.Drop:
		return "power and bus, drop"
	}
	return "power"
}

// voltTable is the voltage at every place in every case of the supply.
func (b *book) voltTable() {
	if len(b.f.Power) == 0 {
		return
	}
	b.Heading("Volts between supply and return, as reckoned")
	t := drawing.Table{Columns: []drawing.Column{{Title: "place", Bold: true}}}
	for _, c := range b.f.Power {
		t.Columns = append(t.Columns, drawing.Column{Title: fmt.Sprintf("%s, %s", c.Case, measure.Volt.Format(c.SupplyV)), Align: drawing.Right})
	}
	t.Columns = append(t.Columns, drawing.Column{Title: "measured"})
	for _, p := range b.f.Harness.Places {
		row := []drawing.Cell{{Text: p.ID}}
		for _, c := range b.f.Power {
			v, ok := c.Volts[p.ID]
			if p.Kind == fit.SupplyPlace {
				v, ok = c.SupplyV, true
			}
			row = append(row, drawing.Cell{Text: known(ok, fmt.Sprintf("%.2f", v))})
		}
		t.Rows = append(t.Rows, append(row, drawing.Cell{Text: "________ V"}))
	}
	sum := []drawing.Cell{{Text: "drawn from the power point"}}
	for _, c := range b.f.Power {
		sum = append(sum, drawing.Cell{Text: measure.Ampere.Format(c.SupplyA)})
	}
	t.Rows = append(t.Rows, sum)
	b.Table(t)
}

// wireTable is what flows in each leg, and the copper at which the boxes beyond
// would have the drop that one would wish.
func (b *book) wireTable() {
	if len(b.f.Wires) == 0 {
		return
	}
	b.Heading("Wire, leg by leg")
	t := drawing.Table{Columns: []drawing.Column{
		{Title: "leg", Bold: true},
		{Title: "mm²", Align: drawing.Right},
		{Title: "about"},
		{Title: "highest current", Align: drawing.Right},
		{Title: "may carry", Align: drawing.Right},
		{Title: "drop, go and return", Align: drawing.Right},
		{Title: "mm² for 3 % at the last box", Align: drawing.Right},
	}}
	for _, w := range b.f.Wires {
		t.Rows = append(t.Rows, drawing.Cells(w.Leg, fmt.Sprintf("%.1f", w.AreaMM2), w.Gauge, measure.Ampere.Format(w.Amps),
			measure.Ampere.Format(w.AmpacityA), measure.Volt.Format(w.DropV), fmt.Sprintf("%.1f", w.WishMM2)))
	}
	b.Table(t)
}

func (b *book) fuseFacts() {
	p := b.f.Protection
	if p.RatingA == 0 {
		return
	}
	words := fmt.Sprintf("Fuse at the supply end: %g A (%s). Highest lasting current %s. A short at %s draws %s",
		p.RatingA, known(p.Part != "", p.Part), measure.Ampere.Format(p.ContinuousA), p.FaultAt, measure.Ampere.Format(p.FaultA))
	if p.OpensS > 0 {
		words += fmt.Sprintf("; the fuse has opened within %g s.", p.OpensS)
	} else {
		words += "; the fuse is not sure to open."
	}
	b.Paragraph(words + " A blown fuse is replaced by one of the same rating, never a larger one, after the cause is found.")
}

func (b *book) busFacts() {
	u := b.f.Bus
	if u.Boxes == 0 {
		return
	}
	b.Heading("The bus pair")
	b.Paragraph(fmt.Sprintf("By the rules of %s at %g kbit/s: %s, %s as laid; drops %s together. Order: %s.",
		u.Rules, u.KbitS, one(u.Boxes, "box"), b.units.length(u.LengthM), b.units.length(u.StubsM), strings.Join(b.f.Harness.Bus, " – ")))
	b.Paragraph(u.Meter.Words)
	if u.Meter.Ohm == 0 {
		return
	}
	t := drawing.Table{Columns: []drawing.Column{{Title: "reading", Align: drawing.Right}, {Title: "means", Bold: true}, {Title: "so"}}, Stretch: true, Rules: true}
	for _, band := range u.Meter.Bands {
		reading := fmt.Sprintf("%.0f to %.0f Ω", band.FromOhm, band.ToOhm)
		if band.ToOhm == 0 {
			reading = fmt.Sprintf("over %.0f Ω", band.FromOhm)
		}
		t.Rows = append(t.Rows, drawing.Cells(reading, band.Means.String(), band.Words))
	}
	b.Table(t)
}

func (b *book) radioFacts() {
	best := b.f.Radio.Best()
	if best.Name == "" {
		return
	}
	b.Heading("Gateway and antenna")
	words := fmt.Sprintf("Gateway on the %s; antenna on the %s, %s from the operator (at least %s).", best.GatewayOn, best.AntennaOn,
		b.units.length(best.OperatorM), b.units.length(operatorLeastM))
	words += fmt.Sprintf(" Nobody stays nearer to the antenna than %s while it sends.", b.units.length(b.f.Radio.People.RequiredM))
	b.Paragraph(words + " Never power the gateway without its antenna. Connectors never face up; unused connectors and antenna leads are capped.")
}

// operatorLeastM is how far an antenna stays from the operator: common practice,
// no source.
const operatorLeastM = 0.61
