package yard

import (
	"fmt"
	"slices"

	"runproof/fit"
	"runproof/parts"
)

// planned tells whether the fit has a harness.
func (j *job) planned() bool { return len(j.f.Harness.Legs) > 0 }

// place says in words what is at a place of the harness.
func (j *job) place(id string) string {
	if n, ok := j.node(id); ok {
		return fmt.Sprintf("node %s (head\u00a0%s)", n.Serial, n.Head)
	}
	switch j.kindOf(id) {
	case fit.SupplyPlace:
		return "power point"
	case fit.GatewayPlace:
		return "gateway"
	}
	return "junction " + id
}

func (j *job) kindOf(id string) fit.PlaceKind {
	for _, p := range j.f.Harness.Places {
		if p.ID == id {
			return p.Kind
		}
	}
	return fit.JunctionPlace
}

// legsAt are the legs that end at a place, in the order laid out.
func (j *job) legsAt(id string) []fit.Leg {
	var legs []fit.Leg
	for _, l := range j.f.Harness.Legs {
		if l.From == id || l.To == id {
			legs = append(legs, l)
		}
	}
	return legs
}

// busEnds are the places at the ends of the backbone, where the terminators go.
func (j *job) busEnds() []string {
	bus := j.f.Harness.Bus
	if len(bus) == 0 {
		return nil
	}
	return slices.Compact([]string{bus[0], bus[len(bus)-1]})
}

// plug is what one connector of a box takes.
type plug string

// What goes on a connector that no leg is plugged into.
const (
	terminatorPlug plug = "a terminator"
	closingPlug    plug = "a plug, since nothing is connected there"
)

func (p plug) String() string { return string(p) }

// connectors is how many harness connectors a box has.
func connectors(p parts.Part) int {
	if p.Joins == parts.Drop {
		return 1
	}
	return 2
}

// plugs says what each connector at a place takes: the legs, then a terminator
// where the backbone ends, then plugs on what is free of a box that has so many
// connectors.
func (j *job) plugs(id string, connectors int) []plug {
	var out []plug
	for _, l := range j.legsAt(id) {
		other := l.To
		if other == id {
			other = l.From
		}
		out = append(out, plug(fmt.Sprintf("leg %s (other end: %s)", l.ID, j.place(other))))
	}
	if len(out) == 0 {
		return nil
	}
	for _, end := range j.busEnds() {
		if end == id {
			out = append(out, terminatorPlug)
		}
	}
	for len(out) < connectors {
		out = append(out, closingPlug)
	}
	return out
}
