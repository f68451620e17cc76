package bus

import (
	"fmt"
	"math"
	"slices"

	"runproof/check"
	"runproof/fit"
	"runproof/parts"
)

// Plan judges the bus of a fit as the harness lays it, by the built-in rule
// sets. A harness that is not planned has no bus: the zero Bus and no result.
// The boxes' rules and rates are those of their parts in the catalogue; the
// gateway's part is the catalogue's first of that kind.
func Plan(f *fit.Fit, h fit.Harness, cat parts.Catalogue) (fit.Bus, check.Results) {
	return BuiltIn().Plan(f, h, cat)
}

// Plan is the function Plan by the rule sets of this book.
func (b Book) Plan(f *fit.Fit, h fit.Harness, cat parts.Catalogue) (fit.Bus, check.Results) {
	if len(h.Places) == 0 {
		return fit.Bus{}, nil
	}
	p := &planner{h: h, boxes: b.boxes(f, h, cat)}
	p.agree()
	p.rule, p.known = b.Rule(p.bus.Rules, p.bus.KbitS)
	p.measure()
	p.terminate(cat)
	p.lengths()
	p.ends()
	p.signals()
	return p.bus, p.results
}

// planner fills in the bus and collects what the rules say.
type planner struct {
	h       fit.Harness
	boxes   []box
	rule    Rule
	known   bool // whether rule holds
	whole   bool // the backbone is one line
	bus     fit.Bus
	results check.Results
}

func (p *planner) say(r check.Result) { p.results = append(p.results, r) }

// box is a node or the gateway, and what its part says of its bus.
type box struct {
	at    string // id of its place
	part  string
	rules parts.BusRules
	kbitS float64
}

// boxes lists what is on the bus, in the order of the harness's places. A part
// that says no rate has that of its rules where they have only one.
func (b Book) boxes(f *fit.Fit, h fit.Harness, cat parts.Catalogue) []box {
	partOf := map[string]string{}
	for _, n := range f.Nodes {
		partOf[n.Serial] = n.Part
	}
	var bs []box
	for _, pl := range h.Places {
		var part parts.Part
		switch pl.Kind {
		case fit.NodePlace:
			part, _ = cat.Part(partOf[pl.ID])
		case fit.GatewayPlace:
			if gs := cat.Of(parts.Gateway); len(gs) > 0 {
				part = gs[0]
			}
		case fit.SupplyPlace, fit.JunctionPlace:
			continue
		}
		if r, ok := b.Rule(part.Bus, part.KbitS); ok {
			part.KbitS = r.AskedKbitS
		}
		bs = append(bs, box{pl.ID, part.ID, part.Bus, part.KbitS})
	}
	return bs
}

// agree finds the rule set and the rate that all boxes keep.
func (p *planner) agree() {
	var sets []parts.BusRules
	var rates []float64
	for _, b := range p.boxes {
		if !slices.Contains(sets, b.rules) {
			sets = append(sets, b.rules)
		}
		if !slices.Contains(rates, b.kbitS) {
			rates = append(rates, b.kbitS)
		}
	}
	p.bus.Boxes = len(p.boxes)
	if len(sets) == 1 {
		p.bus.Rules = sets[0]
	}
	if len(rates) == 1 {
		p.bus.KbitS = rates[0]
	}
	p.say(check.Result{
		Rule: "rule sets on one bus", Of: p.kindsOf(func(b box) string { return orUnsaid(b.rules.String()) }), Value: many(len(sets), slices.Contains(sets, parts.BusUnsaid)), Limit: 1,
		Source: "SAE J1939, ISO 11783-2 and CiA set limits of their own: those of one do not hold for boxes of another",
		Advice: "choose gateway and nodes that are made by the same rules, or put them on two buses",
	})
	p.say(check.Result{
		Rule: "bit rates on one bus", Of: p.kindsOf(func(b box) string { return rateWords(b.kbitS) }), Value: many(len(rates), slices.Contains(rates, 0)), Limit: 1,
		Source: "ISO 11898-1: all boxes of a bus keep one bit rate",
		Advice: "set all boxes to one bit rate, or choose others",
	})
}

// many is a count of different things; not known when one of them is not said
// and the others do not already disagree.
func many(n int, unsaid bool) float64 {
	if unsaid && n <= 2 {
		return math.NaN()
	}
	return float64(n)
}

// kindsOf tells what the boxes say, each part once: "node-12 cia, gateway cia".
func (p *planner) kindsOf(say func(box) string) string {
	var words []string
	for _, b := range p.boxes {
		w := b.part + " " + say(b)
		if b.part == "" {
			w = "no part for " + b.at
		}
		if !slices.Contains(words, w) {
			words = append(words, w)
		}
	}
	return join(words)
}

func join(words []string) string {
	const most = 6
	s := ""
	for i, w := range words {
		if i == most {
			return fmt.Sprintf("%s and %d more", s, len(words)-most)
		}
		if i > 0 {
			s += ", "
		}
		s += w
	}
	return s
}

func rateWords(kbitS float64) string {
	if kbitS == 0 {
		return "rate not said"
	}
	return fmt.Sprintf("%g kbit/s", kbitS)
}

func orUnsaid(word string) string {
	if word == "" {
		return "not said"
	}
	return word
}
