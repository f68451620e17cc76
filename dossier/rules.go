package dossier

import (
	"fmt"

	"runproof/check"
	"runproof/drawing"
)

// The looks of what a rule says.
var ruleStates = map[check.Verdict]drawing.State{
	check.Kept:    {Word: "kept", Ink: drawing.Green, Mark: drawing.FullDisc},
	check.Tight:   {Word: "tight", Ink: drawing.Orange, Mark: drawing.HalfDisc},
	check.Broken:  {Word: "broken", Ink: drawing.Vermillion, Mark: drawing.Cross},
	check.Unknown: {Word: "not judged", Ink: drawing.Soft, Mark: drawing.Ring},
}

// rules lists what every rule says of the fit, worst first, with its figures
// and where its limit comes from.
func (b *book) rules() {
	rs := b.f.Checks
	if len(rs) == 0 {
		return
	}
	b.NewPage()
	b.Title("What every rule says")
	b.Paragraph("Each rule with the figure found, its limit, the margin between them and where the limit comes from. A rule without a figure was not judged: look at the machine, or measure, write it into the drill's description and plan again; the list says which.")
	order := []check.Verdict{check.Broken, check.Tight, check.Unknown, check.Kept}
	var cs []counter
	for _, v := range order {
		if n := rs.Count(v); n > 0 {
			cs = append(cs, counter{n, ruleStates[v]})
		}
	}
	b.counters(cs)
	for _, v := range []check.Verdict{check.Broken, check.Tight} {
		for _, r := range rs.With(v) {
			b.Item("·", r.Text(b.units.System))
		}
	}
	for _, r := range rs.With(check.Unknown) {
		b.Item("·", ruleOf(r)+": not judged; "+r.Advice)
	}
	b.Space(2)
	t := drawing.Table{Stretch: true, Text: drawing.TextStyle{SizePT: 8}, Columns: []drawing.Column{
		{Title: "rule", WidthMM: 55},
		{Title: "says"},
		{Title: "value", Align: drawing.Right},
		{Title: "limit", Align: drawing.Right},
		{Title: "margin", Align: drawing.Right},
		{Title: "source"},
	}}
	for _, v := range order {
		for _, r := range rs.With(v) {
			t.Rows = append(t.Rows, []drawing.Cell{
				{Text: ruleOf(r)},
				drawing.StateCell(ruleStates[v]),
				{Text: b.units.Format(r.Quantity, r.Value)},
				{Text: fmt.Sprintf("%s %s", r.Bound, b.units.Format(r.Quantity, r.Limit))},
				{Text: b.units.Format(r.Quantity, r.Margin())},
				{Text: r.Source},
			})
		}
	}
	b.Table(t)
}

func ruleOf(r check.Result) string {
	if r.Of == "" {
		return r.Rule
	}
	return r.Rule + ", " + r.Of
}
