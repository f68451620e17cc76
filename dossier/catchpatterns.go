package dossier

import (
	"fmt"
	"math"

	"runproof/drawing"
	"runproof/evenness"
)

// patterns lists every pattern that was looked for, found or not: with four kinds
// of them, each has a quarter of the usual chance before it is called certain.
func (b *catchBook) patterns(p *evenness.ProductCatch) {
	t := drawing.Table{Stretch: true, Text: drawing.TextStyle{SizePT: 8.5}, Columns: []drawing.Column{
		{Title: "pattern", Bold: true}, {Title: "what was found"}, {Title: "F", Align: drawing.Right}, {Title: "df", Align: drawing.Right}, {Title: "chance", Align: drawing.Right},
	}}
	add := func(name, found string, x evenness.Test) {
		t.Rows = append(t.Rows, drawing.Cells(name, found, fmt.Sprintf("%.2f", x.Statistic), fmt.Sprintf("%d, %d", x.DF1, x.DF2), fmt.Sprintf("%.2g", x.P)))
	}
	if d := p.Division; d.Test != nil && d.HeadsCV != nil {
		found := "between heads " + cvPercent(*d.HeadsCV)
		if d.WithinCV != nil {
			found += ", within them " + cvPercent(*d.WithinCV)
		}
		add("heads differ", found, *d.Test)
	}
	for _, x := range p.Tilts {
		name := "tilt of all heads together"
		if x.Head != "" {
			name = "tilt of head " + string(x.Head)
		}
		found := fmt.Sprintf("up to %.1f %% ± %.1f more", 100*x.Amplitude, 100*x.SE)
		if x.Toward > 0 {
			found += fmt.Sprintf(", most at outlet %.1f", x.Toward)
		}
		add(name, found, x.Test)
	}
	for _, x := range p.Outlets {
		if x.Test != nil {
			add(fmt.Sprintf("outlet places, %d heads of %d", x.Heads, x.Of), farthestPlace(x), *x.Test)
		}
	}
	if h := p.Hose; h != nil {
		t.Rows = append(t.Rows, drawing.Cells("reach of the run", fmt.Sprintf("%s a metre, %s over %s", signedPercent(h.PerM.Value), signedPercent(h.OverSpan), b.units.length(h.SpanM)), "", "", fmt.Sprintf("%.2g", h.P)))
	}
	if len(t.Rows) == 0 {
		return
	}
	b.Need(b.TableMM(t) + 12)
	b.Heading("Patterns looked for")
	b.Table(t)
}

// farthestPlace is the outlet number that is farthest from its heads' means.
func farthestPlace(x evenness.Outlets) string {
	var most evenness.OutletPlace
	for _, o := range x.Places {
		if math.Abs(o.Deviation) > math.Abs(most.Deviation) {
			most = o
		}
	}
	return fmt.Sprintf("outlet %d farthest: %s", most.Outlet, signedPercent(most.Deviation))
}
