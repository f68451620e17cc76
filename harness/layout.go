package harness

import (
	"fmt"
	"slices"

	"runproof/drill"
	"runproof/fit"
)

// builder writes places and legs in the order in which a person lays them.
type builder struct {
	*layout
	h         fit.Harness
	junctions int
}

// harness is the layout as a document: feed and gateway first, then the
// backbone from J1 to its left end, then to its right end.
func (l *layout) harness() fit.Harness {
	b := &builder{layout: l, h: fit.Harness{Frame: l.net.frame, Optimal: l.answer.optimal, Bound: l.answer.bound}}
	b.place("supply", fit.SupplyPlace, l.stands[0].at, l.stands[0].foot.At)
	order := l.answer.order
	at := slices.IndexFunc(order, func(i int) bool { return l.stops[i].first })
	j1 := b.arrive(order[at])
	b.leg(fit.Leg{From: "supply", To: j1}, l.stands[0].v, l.stops[order[at]].v)
	b.hang(order[at], j1)
	left := slices.Clone(order[:at])
	slices.Reverse(left)
	leftIDs, rightIDs := b.arm(order[at], j1, left), b.arm(order[at], j1, order[at+1:])
	slices.Reverse(leftIDs)
	b.h.Bus = slices.Concat(leftIDs, []string{j1}, rightIDs)
	b.h.BusM = busM(b.h)
	for _, leg := range b.h.Legs {
		if leg.Bus {
			b.h.RouteM += leg.RouteM
		}
	}
	b.h.RouteM = roundMM(b.h.RouteM)
	return b.h
}

// arm lays the backbone from J1 over the stops and returns the ids of their
// places.
func (b *builder) arm(first int, j1 string, order []int) []string {
	ids := make([]string, 0, len(order))
	v, id := b.stops[first].v, j1
	for _, i := range order {
		next := b.arrive(i)
		b.leg(fit.Leg{From: id, To: next, Bus: true}, v, b.stops[i].v)
		b.hang(i, next)
		v, id = b.stops[i].v, next
		ids = append(ids, id)
	}
	return ids
}

// arrive adds the place of the stop on the backbone and returns its id.
func (b *builder) arrive(i int) string {
	s := b.stops[i]
	if !s.first && !s.drop {
		box := b.boxes[s.box]
		b.place(box.id, box.kind, box.at, b.stands[s.box+1].foot.At)
		return box.id
	}
	id := b.junctionID()
	of := max(s.box, 0) // J1 beside the gateway, which is the first box
	b.place(id, fit.JunctionPlace, b.net.at[s.v], b.stands[of+1].foot.At)
	return id
}

// junctionID is the next of J1, J2, ... that is no node's serial.
func (b *builder) junctionID() string {
	for {
		b.junctions++
		id := fmt.Sprintf("J%d", b.junctions)
		if !slices.ContainsFunc(b.boxes, func(x box) bool { return x.id == id }) {
			return id
		}
	}
}

// hang adds the box that drops from the junction, if one does.
func (b *builder) hang(i int, junction string) {
	s := b.stops[i]
	if !s.drop {
		return
	}
	box, stand := b.boxes[s.box], b.stands[s.box+1]
	b.place(box.id, box.kind, box.at, stand.foot.At)
	b.leg(fit.Leg{From: junction, To: box.id, Drop: true}, s.v, stand.v)
}

func (b *builder) place(id string, kind fit.PlaceKind, at, on drill.Point) {
	b.h.Places = append(b.h.Places, fit.Place{ID: id, Kind: kind, At: at, OnFrame: on})
}

// leg adds the leg with its way between two vertices and the pieces for it.
func (b *builder) leg(leg fit.Leg, from, to int) {
	w := b.from(from)
	path := w.to(to)
	leg.ID = fmt.Sprintf("L%d", len(b.h.Legs)+1)
	leg.RouteM = metres(w.um[to])
	if leg.Path = b.net.points(path); len(leg.Path) == 1 {
		leg.Path = append(leg.Path, leg.Path[0]) // two things at one stand
	}
	leg.Hinges = b.net.hinges(path)
	for _, h := range leg.Hinges {
		leg.HingeM += h.SlackM
	}
	fill(&leg, b.stock, b.opt)
	b.h.Legs = append(b.h.Legs, leg)
}
