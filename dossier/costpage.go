package dossier

import (
	"fmt"
	"strings"

	"runproof/cost"
	"runproof/drawing"
)

// mayCost is the total in a sentence, for the first page.
func (r *report) mayCost() {
	if c := r.day.Cost; c != nil && c.Total.Events > 0 {
		r.Space(2)
		r.Paragraph("May cost: " + c.Headline(r.units.System) + ". The last pages tell what that rests on.")
	}
}

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
		r.Need(assumedMM)
		r.Heading("What is assumed")
		r.Paragraph("Each may be changed: written under its name in the assumptions file, it is marked as yours.")
		r.costAssumptions(c)
	}
}

func (r *report) costFacts(c *cost.Document) []fact {
	t, w := c.Total, r.costWords(c)
	out := []fact{
		{"events that left ground short of seed", fmt.Sprint(t.Events)},
		{"ground short of seed", r.units.ground(t.MissedM2)},
		{"ground whose harvest the loss comes to", w.Area(t.HarvestM2)},
	}
	for _, f := range []struct {
		name  string
		i     *cost.Interval
		write func(cost.Interval) string
	}{
		{"harvest lost", t.LostKg, w.Mass},
		{"which would have fetched", t.Lost, w.Money},
		{"seed that stayed in the tank", t.SavedKg, w.Mass},
		{"lost less seed saved", t.Net, w.Money},
	} {
		if f.i != nil {
			out = append(out, fact{f.name, f.write(*f.i)})
		}
	}
	if n := t.NetCorners; n != nil {
		out = append(out, fact{"the same, all combinations of the ranges", w.Money(cost.Interval{Low: n.Least, High: n.Most})})
	}
	return out
}

func (r *report) costWords(c *cost.Document) cost.Words {
	return cost.Words{System: r.units.System, Currency: c.Currency}
}

// assumedMM is the room that the heading of the assumptions asks for, so that
// some of them stand below it.
const assumedMM = 45

// costColumn is a column of the events' table; it goes unprinted where no event
// has anything to say in it.
type costColumn struct {
	drawing.Column
	says func(e *cost.EventCost) (text string, ok bool)
}

func (r *report) costColumns(c *cost.Document) []costColumn {
	w := r.costWords(c)
	right := func(title string) drawing.Column { return drawing.Column{Title: title, Align: drawing.Right} }
	text := func(s string) (string, bool) { return s, true }
	interval := func(i *cost.Interval, write func(cost.Interval) string) (string, bool) {
		if i == nil {
			return "", false
		}
		return write(*i), true
	}
	return []costColumn{
		{right("no."), func(e *cost.EventCost) (string, bool) { return text(e.Label()) }},
		{drawing.Column{Title: "where", Bold: true}, func(e *cost.EventCost) (string, bool) { return text(e.Where()) }},
		{drawing.Column{Title: "what"}, nil},
		{drawing.Column{Title: "short of"}, func(e *cost.EventCost) (string, bool) { return text(string(e.Product)) }},
		{right("travel"), func(e *cost.EventCost) (string, bool) { return text(w.Way(e.Metres)) }},
		{right("ground short"), func(e *cost.EventCost) (string, bool) { return text(w.Ground(e.AreaM2)) }},
		{drawing.Column{Title: "side by side"}, func(e *cost.EventCost) (string, bool) { return e.SideBySide(), len(e.Pieces) > 0 }},
		{right("as the harvest of"), func(e *cost.EventCost) (string, bool) { return interval(e.HarvestM2, w.Area) }},
		{right("harvest lost"), func(e *cost.EventCost) (string, bool) { return interval(e.LostKg, w.Mass) }},
		{right("which fetches"), func(e *cost.EventCost) (string, bool) { return interval(e.Lost, w.Money) }},
		{right("stayed in tank"), func(e *cost.EventCost) (string, bool) { return interval(e.SavedKg, w.Mass) }},
		{right("lost less saved"), func(e *cost.EventCost) (string, bool) { return interval(e.Net, w.Money) }},
		{right("sowing again instead"), func(e *cost.EventCost) (string, bool) {
			if e.Resow == nil {
				return "", false
			}
			return w.Money(e.Resow.Cost) + ", " + e.Resow.Verdict(), true
		}},
	}
}

func (r *report) costEvents(c *cost.Document) {
	t := drawing.Table{Stretch: true, Rules: true, Text: drawing.TextStyle{SizePT: 8}}
	t.Rows = make([][]drawing.Cell, len(c.Events))
	for _, col := range r.costColumns(c) {
		cells, any := make([]drawing.Cell, len(c.Events)), false
		for i := range c.Events {
			if col.says == nil {
				cells[i], any = drawing.StateCell(kindState(c.Events[i].Kind)), true
				continue
			}
			text, ok := col.says(&c.Events[i])
			cells[i].Text, any = known(ok, text), any || ok
		}
		if !any {
			continue
		}
		t.Columns = append(t.Columns, col.Column)
		for i := range cells {
			t.Rows[i] = append(t.Rows[i], cells[i])
		}
	}
	r.Table(t)
}

func (r *report) costAssumptions(c *cost.Document) {
	t := drawing.Table{Stretch: true, Text: drawing.TextStyle{SizePT: 8}, Columns: []drawing.Column{
		{Title: "of"},
		{Title: "figure"},
		{Title: "range", Align: drawing.Right},
		{Title: "unit"},
		{Title: "name in the file"},
		{Title: "whose"},
		{Title: "source"},
	}}
	for _, a := range c.Assumptions {
		key, span, unit := a.Shown(r.units.System, c.BushelKg(a.Product))
		if strings.HasPrefix(unit, "per ") && strings.Contains(a.Name, "price") || a.Key == "work_per_ha" {
			unit = c.Currency + " " + unit
		}
		t.Rows = append(t.Rows, drawing.Cells(known(a.Product != "", string(a.Product)), a.Name, span.String(), unit, key, a.Mark.Words(), a.Source))
	}
	r.Table(t)
}
