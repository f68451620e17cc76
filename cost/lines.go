package cost

import (
	"fmt"
	"strings"
)

// Lines are the cost in a few lines for a person.
func (d *Document) Lines() []string {
	out := []string{d.Total.headline(d.Currency)}
	if c := d.Total.NetCorners; c != nil && d.Total.Net != nil {
		out = append(out, fmt.Sprintf("  nine draws in ten; all combinations together: %s", Interval{Low: c.Least, High: c.Most}.Between(d.Currency)))
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

func (s *Sum) headline(currency string) string {
	if s.Events == 0 {
		return "no ground went short of seed: nothing to reckon"
	}
	text := fmt.Sprintf("%s left %s m2 short of seed; neighbours leave a loss like the harvest of %s", plural(s.Events, "event"), grouped(fmt.Sprintf("%.0f", s.MissedM2)), s.HarvestM2.Between("m2"))
	if s.LostKg != nil {
		text += ", " + s.LostKg.Between("kg")
	}
	if s.Net != nil {
		text += ": " + s.Net.Between(currency)
		if s.Saved != nil {
			text += " (" + s.Saved.Between(currency) + " of seed that stayed in the tank taken off)"
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
