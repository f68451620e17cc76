package yard

import (
	"fmt"
	"slices"
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
	p.say("Join the cables in this order until each connector locks. Each end gets the label that names it. Coil each leg, labels outside, ends bagged.")
	t := tickTable{again: "Legs of the harness", box: denseBoxMM, columns: []column{
		{kind: tick},
		{title: "leg", bold: true},
		{title: "first end"},
		{title: "second end"},
		{title: "cables in order, from the first end", wrap: true},
		{title: "length", right: true},
		{title: "labels", kind: tick, mm: 14},
	}}
	for _, l := range p.f.Harness.Legs {
		t.rows = append(t.rows, []string{l.ID, p.end(l.From), p.end(l.To), p.pieces(l.Pieces), p.units.length(l.LengthM)})
	}
	p.table(t)
	p.benchJunctions()
	p.benchGateway()
	p.benchSupply()
}

// pieces lists the stock lengths of a leg.
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

func (p *page) benchJunctions() {
	for _, place := range p.f.Harness.Places {
		if place.Kind != fit.JunctionPlace {
			continue
		}
		tees, what := p.f.Harness.TeesAt(place.ID), "Take a junction of three ways"
		if tees > 1 {
			what = fmt.Sprintf("Plug %d junctions of three ways into one another", tees)
		}
		plugs := p.plugs(place.ID, tees+2)
		p.step(fmt.Sprintf("%s; stick on the label “%s”. Mark its ways, in any order: %s.", what, place.ID, listing(plugs, plug.String)))
		p.closeWays(plugs, p.terminator(place.ID))
	}
}

// benchGateway puts a terminator on a gateway at the end of the bus.
func (p *page) benchGateway() {
	for _, id := range p.busEnds() {
		if p.kindOf(id) == fit.GatewayPlace || p.kindOf(id) == fit.SupplyPlace {
			p.step(fmt.Sprintf("Put %s on the free connector at %s: the bus ends there.", withArticle(p.terminator(id)), p.place(id)))
		}
	}
}

// benchSupply makes off the end of the supply lead. How a power point is
// joined is not for a plan to know.
func (p *page) benchSupply() {
	pr := p.f.Protection
	if pr.Part == "" {
		p.missing("the fuse")
		return
	}
	lead := p.supplyLead()
	if p.powerPointGuessed() {
		p.step(fmt.Sprintf("Nobody has said where the power point is: %s is as long as is usual. Make it off at the tractor, when it has been held to the real one.", lead))
	}
	p.step(fmt.Sprintf("Make off the end of %s at the power point with its end set: the %s goes into its supply wire (plus), close to that end. Mark there “+” for supply, “-” for return. Leave the fuse out.", lead, p.partName(pr.Part)),
		"What the power point takes: the tractor's manual. Which wires are supply, return and pair: the cable's own sheet. A connector that does not fit comes off. The pair ends here: insulate each wire. Tractor not known: do this in the yard, battery off.")
}

// supplyLead is what the leg from the power point is called.
func (j *job) supplyLead() string {
	i := slices.IndexFunc(j.f.Harness.Legs, func(l fit.Leg) bool { return j.kindOf(l.From) == fit.SupplyPlace || j.kindOf(l.To) == fit.SupplyPlace })
	if i < 0 {
		return "the supply lead"
	}
	return j.f.Harness.Legs[i].ID
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
