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

// end is a place in few words, for a column.
func (j *job) end(id string) string {
	switch j.kindOf(id) {
	case fit.SupplyPlace:
		return "power point"
	case fit.NodePlace:
		return "node " + id
	}
	return id
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
		out = append(out, plug(fmt.Sprintf("“%s” (to %s)", l.ID, j.place(other))))
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

// junctionOn says what a junction is tied to, and how far under the gateway.
func (j *job) junctionOn(p fit.Place) string {
	on := j.tiedTo(p)
	if l, ok := j.gatewayDrop(); ok && l.From == p.ID && l.RouteM > 0 && l.RouteM < 1 {
		on += fmt.Sprintf(", %s under the gateway", j.units.length(l.RouteM))
	}
	return on
}

// tiedTo is the part of the outfit on which the way to a junction leaves the frame.
func (j *job) tiedTo(p fit.Place) string {
	if _, beside := j.stayPut(p); beside != "" {
		return "at the " + beside
	}
	at, pl := p.OnFrame.Forward, j.d.Places()
	switch {
	case at > pl.Cart.Back && at <= pl.Cart.Front+0.01 && at < (pl.Cart.Front+pl.Cart.Back)/2:
		return "to the rear of the cart"
	case at > pl.Cart.Back && at <= pl.Cart.Front+0.01:
		return "to the front of the cart"
	case at > pl.Hitch.Forward-0.5:
		return "to the drawbar"
	}
	return "to the drill's frame"
}
