package bus

import (
	"math"
	"slices"

	"runproof/check"
	"runproof/fit"
	"runproof/measure"
	"runproof/parts"
)

// measure takes the lengths from the legs as laid.
func (p *planner) measure() {
	p.whole = len(p.h.Bus) > 0
	p.bus.LeastM = math.Inf(1)
	for i := 1; i < len(p.h.Bus); i++ {
		m, ok := p.between(p.h.Bus[i-1], p.h.Bus[i])
		p.whole = p.whole && ok
		p.bus.LengthM += m
		p.bus.LeastM = min(p.bus.LeastM, m)
	}
	if len(p.h.Bus) < 2 || !p.whole {
		p.bus.LeastM = 0
	}
	for _, l := range p.h.Legs {
		if l.Drop {
			p.bus.Stubs = append(p.bus.Stubs, fit.Stub{At: p.boxEnd(l), LengthM: l.LengthM})
			p.bus.StubsM += l.LengthM
		}
	}
	p.bus.LengthM, p.bus.StubsM = measure.Round(p.bus.LengthM, 6), measure.Round(p.bus.StubsM, 6)
}

// between is the cable between two neighbours of the backbone.
func (p *planner) between(a, b string) (m float64, ok bool) {
	for _, l := range p.h.Legs {
		if l.Bus && (l.From == a && l.To == b || l.From == b && l.To == a) {
			return l.LengthM, true
		}
	}
	return 0, false
}

// boxEnd is the end of a drop that is not on the backbone.
func (p *planner) boxEnd(l fit.Leg) string {
	if slices.Contains(p.h.Bus, l.To) && !slices.Contains(p.h.Bus, l.From) {
		return l.From
	}
	return l.To
}

// tap is the place of the backbone where a box hangs, -1 for none.
func (p *planner) tap(at string) int {
	if i := slices.Index(p.h.Bus, at); i >= 0 {
		return i
	}
	for _, l := range p.h.Legs {
		if l.Drop && p.boxEnd(l) == at {
			return max(slices.Index(p.h.Bus, l.From), slices.Index(p.h.Bus, l.To))
		}
	}
	return -1
}

// terminate puts a terminator at either end of the backbone.
func (p *planner) terminate(cat parts.Catalogue) {
	if len(p.h.Bus) == 0 {
		return
	}
	var t parts.Part
	if ts := cat.Of(parts.Terminator); len(ts) > 0 {
		t = ts[0]
	}
	for _, at := range []string{p.h.Bus[0], p.h.Bus[len(p.h.Bus)-1]} {
		p.bus.Terminators = append(p.bus.Terminators, fit.Terminator{At: at, Part: t.ID, Ohm: t.Ohm})
	}
}

// lengths judges the shape of the bus.
func (p *planner) lengths() {
	loose, branches := p.shape()
	p.say(check.Result{
		Rule: "breaks of the backbone", Value: float64(loose), Limit: 0,
		Source: "ISO 11898-2: one line from terminator to terminator", Advice: "join the ends with a leg, or plan the harness anew",
	})
	p.say(check.Result{
		Rule: "branches of the backbone", Value: float64(branches), Limit: 0,
		Source: "ISO 11898-2: one line from terminator to terminator", Advice: "lead the line through the box, or hang it on a drop within the limit",
	})
	r := p.rule
	p.limit("bus length", "", measure.Length, p.bus.LengthM, check.AtMost, r.BusM, "put the boxes in another order, move the gateway nearer, or split the drill into two buses")
	for _, s := range p.bus.Stubs {
		p.limit("drop from the bus", s.At, measure.Length, s.LengthM, check.AtMost, r.StubM, "lead the bus itself to the box and back, or mount the box nearer to the line")
	}
	if r.StubsM.Is > 0 {
		p.limit("drops together", "", measure.Length, p.bus.StubsM, check.AtMost, r.StubsM, "shorten drops, or lead the bus through the boxes")
	}
	p.limit("boxes on the bus", "", measure.Number, float64(p.bus.Boxes), check.AtMost, r.Boxes, "use nodes with more ports, or split the drill into two buses")
	if p.bus.LeastM > 0 && r.SpacingM.Is > 0 {
		p.limit("spacing on the bus", "nearest neighbours", measure.Length, p.bus.LeastM, check.AtLeast, r.SpacingM, "put more cable between the two, and coil it")
	}
}

// shape counts where neighbours of the backbone have no leg between them, and
// legs of the backbone that are not between neighbours.
func (p *planner) shape() (loose, branches int) {
	for i := 1; i < len(p.h.Bus); i++ {
		if _, ok := p.between(p.h.Bus[i-1], p.h.Bus[i]); !ok {
			loose++
		}
	}
	onLine := len(p.h.Bus) - 1 - loose
	for _, l := range p.h.Legs {
		if l.Bus {
			branches++
		}
	}
	for _, b := range p.boxes {
		if p.tap(b.at) < 0 {
			loose++
		}
	}
	return loose, max(0, branches-max(0, onLine))
}

// tightPart is the part of a limit within which a person should look twice
// (common practice, no source).
const tightPart = 0.05

// limit judges a value by a figure of the rule set.
func (p *planner) limit(rule, of string, q measure.Quantity, v float64, b check.Bound, f Figure, advice string) {
	r := check.Result{Rule: rule, Of: of, Quantity: q, Value: v, Bound: b, Limit: f.Limit(), Source: f.From(), Advice: advice}
	switch {
	case !p.known:
		r.Source = p.unknownRule()
	case b == check.AtMost && q == measure.Length:
		r.Reserve = tightPart * r.Limit
	}
	p.say(r)
}

// unknownRule says why no rule can be named.
func (p *planner) unknownRule() string {
	switch {
	case p.bus.Rules == parts.BusUnsaid:
		return "the boxes' parts do not say one rule set (key bus of the catalogue)"
	case p.bus.KbitS == 0:
		return "the boxes' parts do not say one bit rate (key kbit_s of the catalogue)"
	}
	return "the rule set " + p.bus.Rules.String() + " has no row for that bit rate"
}
