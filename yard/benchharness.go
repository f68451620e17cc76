package yard

import (
	"fmt"
	"strings"

	"runproof/fit"
	"runproof/parts"
)

func (p *page) benchHarness() {
	p.part("5  Harness", 30)
	if !p.planned() {
		p.missing("the harness")
		return
	}
	p.say("Join the pieces in the order given, from the first end to the second, until each connector locks. Stick one leg label at each end. Coil the leg and tie it with its labels outside.")
	t := tickTable{again: "Legs of the harness", columns: []column{
		{kind: tick},
		{title: "leg", bold: true},
		{title: "from"},
		{title: "to"},
		{title: "pieces in order, from the first end", wrap: true},
		{title: "length", right: true},
		{title: "labels", kind: tick, mm: 14},
	}}
	for _, l := range p.f.Harness.Legs {
		t.rows = append(t.rows, []string{l.ID, l.From, l.To, p.pieces(l.Pieces), p.units.length(l.LengthM)})
	}
	p.table(t)
	p.benchJunctions()
	p.benchEnds()
}

// pieces names the pieces of a leg in the order in which they are joined.
func (j *job) pieces(ids []string) string {
	names := make([]string, len(ids))
	for i, id := range ids {
		names[i] = j.partName(id)
		if q, ok := j.part(id); ok && q.LengthM > 0 {
			names[i] = fmt.Sprintf("%s (%s)", id, j.units.length(q.LengthM))
		}
	}
	return strings.Join(names, " + ")
}

// benchJunctions marks the junctions.
func (p *page) benchJunctions() {
	for _, place := range p.f.Harness.Places {
		if place.Kind != fit.JunctionPlace {
			continue
		}
		tees, what := p.f.Harness.TeesAt(place.ID), "Mark a junction"
		if tees > 1 {
			what = fmt.Sprintf("Plug %d junctions of three ways into one another and mark them", tees)
		}
		p.step(fmt.Sprintf("%s “%s”. Its ways will take: %s.", what, place.ID, listing(p.plugs(place.ID, tees+2), plug.String)))
	}
}

// benchEnds is the fuse and the terminators.
func (p *page) benchEnds() {
	if pr := p.f.Protection; pr.Part != "" {
		p.step(fmt.Sprintf("Fit the %s into the supply lead, at the power point's end. The fuse itself stays out until the run sheet says so.", p.partName(pr.Part)))
	} else {
		p.missing("the fuse")
	}
	for _, id := range p.busEnds() {
		p.step(fmt.Sprintf("Plug %s on the free connector at %s: the bus ends there.", withArticle(p.terminator(id)), p.place(id)))
	}
}

// terminator is the name of the terminator at a place.
func (j *job) terminator(at string) string {
	for _, t := range j.f.Bus.Terminators {
		if t.At == at && t.Part != "" {
			return j.partName(t.Part)
		}
	}
	if t, ok := j.first(parts.Terminator); ok {
		return t.String()
	}
	return "terminator"
}
