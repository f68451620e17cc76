package dossier

import (
	"fmt"

	"runproof/cost"
	"runproof/drawing"
)

// cost tells what the day's skips may cost: ranges, event by event, and every
// assumption that they rest on.
func (r *report) cost() {
	c := r.day.Cost
	if c == nil {
		return
	}
	r.Turn(r.day.Paper.Landscape())
	r.Title("What the skips may cost")
	r.Paragraph("Estimates: nine draws in ten from the ranges of all assumptions lie between the two figures. Ground short of seed is not harvest lost: neighbouring rows make up some of it, the less the more rows lie side by side.")
	r.figures(r.costFacts(c))
	if len(c.Events) > 0 {
		r.Heading("By event")
		r.costEvents(c)
	}
	r.Heading("What moves it most")
	if words := c.MovesMost(); words != "" {
		r.Paragraph(words + ".")
	} else {
		r.Paragraph("Nothing: no ground went short of the seed of a known crop.")
	}
	for _, n := range c.Notes {
		r.Item("!", n+".")
	}
	r.Heading("Not in these figures")
	for _, n := range c.NotCounted {
		r.Item("·", n)
	}
	if len(c.Assumptions) > 0 {
		r.Heading("What is assumed")
		r.costAssumptions(c)
	}
}

func (r *report) costFacts(c *cost.Document) []fact {
	t := c.Total
	out := []fact{
		{"events that left ground short of seed", fmt.Sprint(t.Events)},
		{"ground short of seed", r.units.ground(t.MissedM2)},
		{"as the whole harvest of", r.squares(t.HarvestM2)},
	}
	if t.LostKg != nil {
		out = append(out, fact{"harvest lost", t.LostKg.Between("kg")})
	}
	if t.Lost != nil {
		out = append(out, fact{"which would have fetched", t.Lost.Between(c.Currency)})
	}
	if t.SavedKg != nil {
		out = append(out, fact{"seed that stayed in the tank", t.SavedKg.Between("kg")})
	}
	if t.Net != nil {
		out = append(out, fact{"lost less seed saved", t.Net.Between(c.Currency)})
	}
	if t.NetCorners != nil {
		out = append(out, fact{"all combinations of the ranges", cost.Interval{Low: t.NetCorners.Least, High: t.NetCorners.Most}.Between(c.Currency)})
	}
	return out
}

// squares writes a range of ground in the reader's small unit.
func (r *report) squares(i cost.Interval) string {
	u := r.units.squareUnit()
	return cost.Interval{Low: u.Value(i.Low), Middle: u.Value(i.Middle), High: u.Value(i.High)}.Between(u.Symbol())
}

func (r *report) costEvents(c *cost.Document) {
	t := drawing.Table{Stretch: true, Rules: true, Columns: []drawing.Column{
		{Title: "no.", Align: drawing.Right},
		{Title: "where", Bold: true},
		{Title: "what"},
		{Title: "short of"},
		{Title: "travel", Align: drawing.Right},
		{Title: "ground short", Align: drawing.Right},
		{Title: "rows"},
		{Title: "as the harvest of", Align: drawing.Right},
		{Title: "lost", Align: drawing.Right},
		{Title: "net of seed saved", Align: drawing.Right},
		{Title: "sowing again", Align: drawing.Right},
	}}
	for i := range c.Events {
		e := &c.Events[i]
		t.Rows = append(t.Rows, []drawing.Cell{
			{Text: e.Label()},
			{Text: e.Where()},
			drawing.StateCell(kindState(e.Kind)),
			{Text: string(e.Product)},
			{Text: r.units.travel(e.Metres)},
			{Text: r.units.ground(e.AreaM2)},
			{Text: known(len(e.Pieces) > 0, e.SideBySide())},
			{Text: between(e.HarvestM2, func(i cost.Interval) string { return r.squares(i) })},
			{Text: between(e.LostKg, func(i cost.Interval) string { return i.Between("kg") })},
			{Text: between(e.Net, func(i cost.Interval) string { return i.Between(c.Currency) })},
			{Text: resowWords(e.Resow, c.Currency)},
		})
	}
	r.Table(t)
}

func between(i *cost.Interval, write func(cost.Interval) string) string {
	if i == nil {
		return "–"
	}
	return write(*i)
}

func resowWords(x *cost.Resown, currency string) string {
	if x == nil {
		return "–"
	}
	return x.Cost.Between(currency) + ", " + x.Words()
}

func (r *report) costAssumptions(c *cost.Document) {
	t := drawing.Table{Stretch: true, Text: drawing.TextStyle{SizePT: 8}, Columns: []drawing.Column{
		{Title: "of"},
		{Title: "figure"},
		{Title: "range", Align: drawing.Right},
		{Title: "unit"},
		{Title: "whose"},
		{Title: "source"},
	}}
	for _, a := range c.Assumptions {
		t.Rows = append(t.Rows, drawing.Cells(known(a.Product != "", string(a.Product)), a.Name, a.Range.String(), a.Unit, a.Mark.Words(), a.Source))
	}
	r.Table(t)
}
