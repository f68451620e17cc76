package cost

import (
	"fmt"
	"strings"

	"runproof/measure"
)

// Lines are the cost in a few lines for a person who reads in the system.
func (d *Document) Lines(sys measure.System) []string {
	w := Words{sys, d.Currency}
	out := []string{w.headline(&d.Total)}
	if c := d.Total.NetCorners; c != nil && d.Total.Net != nil && d.Total.Events > 0 {
		out = append(out, "  nine draws in ten; all combinations together: "+w.Money(Interval{Low: c.Least, High: c.Most}))
	}
	for _, e := range d.Events {
		out = append(out, fmt.Sprintf("%4s  %-12s %-10s %s", e.Label(), e.Kind, e.Where(), e.Says))
	}
	if len(d.Weighs) > 0 {
		out = append(out, "what moves it most: "+d.MovesMost())
	}
	for _, n := range d.Notes {
		out = append(out, "note: "+n)
	}
	return append(out, "not counted: "+strings.Join(d.NotCounted, "; "))
}

// Headline is the total in a sentence for a person who reads in the system.
func (d *Document) Headline(sys measure.System) string {
	return Words{sys, d.Currency}.headline(&d.Total)
}

func (w Words) headline(s *Sum) string {
	if s.Events == 0 {
		return "no ground went short of seed: nothing to reckon"
	}
	text := fmt.Sprintf("%s left %s short of seed; neighbours leave a loss like the harvest of %s", plural(s.Events, "event"), w.Ground(s.MissedM2), w.Area(s.HarvestM2))
	if s.LostKg != nil {
		text += ", " + w.Mass(*s.LostKg)
	}
	if s.Net != nil {
		text += ": " + w.Money(*s.Net)
		if s.Saved != nil {
			text += " (" + w.Money(*s.Saved) + " of seed that stayed in the tank taken off)"
		}
	}
	return text
}

// MovesMost names the assumptions that move the total most, at most three.
func (d *Document) MovesMost() string {
	var names []string
	for _, w := range d.Weighs[:min(3, len(d.Weighs))] {
		name := w.Name
		if w.Product != "" && len(d.Products) > 1 {
			name += " of " + string(w.Product)
		}
		names = append(names, name)
	}
	return strings.Join(names, "; ")
}

// Label is the event's number, with its day where there are several.
func (e *EventCost) Label() string {
	if e.Day == "" {
		return fmt.Sprint(e.Event)
	}
	return fmt.Sprintf("%s %d", e.Day, e.Event)
}

// Where names the run, else the head, or the product.
func (e *EventCost) Where() string {
	switch {
	case e.Run != "":
		return string(e.Run)
	case e.Head != "":
		return "head " + string(e.Head)
	}
	return string(e.Product)
}

func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}
