package dossier

import (
	"fmt"

	"runproof/alarm"
	"runproof/drawing"
	"runproof/drill"
)

// keyAlarms is the step of the key-in sheet that sets the alarms.
func (b *book) keyAlarms() {
	b.step(7, "Alarms")
	r := b.in.Rules
	if r == nil {
		b.Paragraph("No rules have been designed yet: record half an hour of sound work and run runproof tune. Until then:")
		b.pairs([]fact{{"alarm below, % of usual", "____________"}, {"hold time", "____________ s"}})
		return
	}
	b.Paragraph(fmt.Sprintf("A run is low in a sample (every %s) when it counts less than the floor x its usual share x what its head counts in that sample; the alarm sounds when it has been low without a break for the hold time.", span(r.IntervalS)))
	b.Table(b.ruleTable(r))
	b.otherStyles(r)
	b.totals(r)
}

func (b *book) ruleTable(r *alarm.Rules) drawing.Table {
	t := drawing.Table{Text: drawing.TextStyle{SizePT: 10}, Rules: true, Columns: []drawing.Column{
		{},
		{Title: "product"},
		{Title: "floor", Align: drawing.Right, Bold: true},
		{Title: "hold time", Align: drawing.Right, Bold: true},
		{Title: "false alarms in 10 h", Align: drawing.Right},
		{Title: "blocked run: travel to alarm", Align: drawing.Right},
		{Title: "half lost", Align: drawing.Right},
	}}
	for _, l := range r.Rules {
		t.Rows = append(t.Rows, b.ruleCells(string(l.Product), l))
	}
	return t
}

func (b *book) ruleCells(name string, l alarm.Rule) []drawing.Cell {
	return drawing.Cells("☐", name, percent(l.Floor), span(l.HoldS), alarms(l.FalseAlarmsPerDay), b.travelOr(l.Missed.Blocked), b.travelOr(l.Missed.Half))
}

func percent(part float64) string { return fmt.Sprintf("%.3g %%", 100*part) }

// span writes seconds without the noise of binary fractions: "2.4 s".
func span(s float64) string { return fmt.Sprintf("%.4g s", s) }

// alarms writes a rate of alarms with two figures, small ones as a bound.
func alarms(perDay float64) string {
	if perDay < 0.01 {
		return "under 0.01"
	}
	return fmt.Sprintf("%.2g", perDay)
}

func (b *book) travelOr(m *float64) string {
	if m == nil {
		return "never"
	}
	return b.units.travel(*m)
}

// styleWords says what a monitor of each style compares a run with.
func styleWords(s alarm.Style, meanS float64) string {
	switch s {
	case alarm.OfOwnMean:
		if meanS > 0 {
			return fmt.Sprintf("the run's own mean of the last %s", span(meanS))
		}
		return "the run's own running mean"
	case alarm.OfAllRuns:
		return "the mean of all runs of the product"
	}
	return "its share of its head"
}

// otherStyles gives the settings for monitors that compare with something else.
func (b *book) otherStyles(r *alarm.Rules) {
	if len(r.OtherRules) == 0 {
		return
	}
	t := b.ruleTable(&alarm.Rules{})
	t.Columns[1].Title = "product, and what a run is compared with"
	b.Paragraph("If the monitor compares a run with something else, use these instead:")
	for _, o := range r.OtherRules {
		t.Rows = append(t.Rows, b.ruleCells(fmt.Sprintf("%s, %s", o.Product, styleWords(o.Style, o.MeanS)), o.Rule))
	}
	b.Table(t)
	for _, o := range r.OtherRules {
		if o.Says != "" {
			b.Item("·", o.Says)
		}
	}
}

// totals gives the limits on total flow, and what they cannot see.
func (b *book) totals(r *alarm.Rules) {
	if len(r.Totals) == 0 {
		return
	}
	b.Paragraph("Limits on the total flow of a product:")
	t := drawing.Table{Text: drawing.TextStyle{SizePT: 10}, Rules: true, Columns: []drawing.Column{
		{},
		{Title: "product"},
		{Title: "low limit", Align: drawing.Right, Bold: true},
		{Title: "high limit", Align: drawing.Right, Bold: true},
		{Title: "sees a fall of", Align: drawing.Right},
		{Title: "one run is", Align: drawing.Right},
	}}
	for _, l := range r.Totals {
		t.Rows = append(t.Rows, drawing.Cells("☐", string(l.Product), whole(l.LowPct), whole(l.HighPct), whole(l.SeesPct), fmt.Sprintf("%.1f %%", l.OneRunPct)))
	}
	b.Table(t)
	for _, l := range r.Totals {
		if l.Says != "" {
			b.Item("·", l.Says)
		}
	}
}

func whole(pct float64) string { return fmt.Sprintf("%.0f %%", pct) }

// alarmPages shows how the rules were chosen and whether the recording bears them out.
func (b *book) alarmPages() {
	r := b.in.Rules
	if r == nil {
		return
	}
	b.NewPage()
	b.Title("How the alarms were chosen")
	b.Paragraph(fmt.Sprintf("From %s of settled work in the baseline recording, at %s. False alarms allowed in 10 h of work on the whole drill: %g. Each point below is a floor and a hold time that could have been chosen, and the line joins those that no other betters: to the left fewer false alarms, below fewer metres missed.",
		hours(r.WorkHours), b.units.speed(r.SpeedMPS), r.Allowed))
	for _, w := range r.Warnings {
		b.warn(w)
	}
	for _, p := range ruleProducts(r) {
		b.Heading(string(p))
		s, area := b.Area(92)
		drawFrontier(s, area, r, p, b.units)
	}
	b.validation(r)
}

func ruleProducts(r *alarm.Rules) []drill.ProductID {
	var ps []drill.ProductID
	for _, l := range r.Rules {
		ps = append(ps, l.Product)
	}
	return ps
}

// validation shows prediction and count of the part of the recording that was kept back.
func (b *book) validation(r *alarm.Rules) {
	if len(r.Validation) == 0 {
		return
	}
	t := drawing.Table{Columns: []drawing.Column{
		{Title: "product", Bold: true},
		{Title: "low samples in a row", Align: drawing.Right},
		{Title: "expected spells", Align: drawing.Right},
		{Title: "counted", Align: drawing.Right},
		{Title: "verdict"},
	}}
	for _, v := range r.Validation {
		st := drawing.State{Word: "agrees", Ink: drawing.Green, Mark: drawing.Tick}
		if !v.Agrees {
			st = drawing.State{Word: "disagrees", Ink: drawing.Vermillion, Mark: drawing.Triangle}
		}
		row := drawing.Cells(string(v.Product), fmt.Sprint(v.K), fmt.Sprintf("%.1f", v.Expected), fmt.Sprint(v.Observed))
		t.Rows = append(t.Rows, append(row, drawing.StateCell(st)))
	}
	b.Need(min(b.PageRoom(), b.TableMM(t)+24))
	b.Heading("Held against the rest of the recording")
	b.Paragraph("The laws were fitted on the first part of the recording. Low spells of so many samples were then counted in the rest, which the fit had not seen.")
	b.Table(t)
}
