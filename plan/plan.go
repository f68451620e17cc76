package plan

import (
	"runproof/airflow"
	"runproof/allocate"
	"runproof/bus"
	"runproof/check"
	"runproof/drill"
	"runproof/fit"
	"runproof/harness"
	"runproof/parts"
	"runproof/power"
	"runproof/practice"
	"runproof/radio"
	"runproof/workstate"
)

// Options are what a plan can be told beside drill and catalogue. The zero
// Options number the nodes N1, N2, ... and do not search.
type Options struct {
	Serials []string    // of the nodes, in any order; nil = N1, N2, ...
	Effort  int64       // limit on the search of the allocation (see allocate.Effort)
	Shelf   parts.Shelf // what the workshop has; nil = it was not said, and nothing is short
}

// Outcome is a fit and what is worth saying about how it came about.
type Outcome struct {
	Fit        *fit.Fit
	Allocation allocate.Plan
}

// Make plans the drill's fit, revision 1. made says what made it. The error is
// an allocate.KeyFault or an input.Fault.
func Make(d *drill.Drill, cat parts.Catalogue, o Options, made fit.Provenance) (Outcome, error) {
	f, a, err := allocate.FitWithin(o.Effort, d, cat, o.Serials, made)
	if err != nil {
		return Outcome{}, err
	}
	p := planner{f: f, cat: cat.Priced(o.Shelf), shelf: o.Shelf, instead: make(map[string]string)}
	p.say(drill.Check(d))
	if o.Shelf != nil {
		p.standIn()
	}
	if err := p.wire(); err != nil {
		return Outcome{}, err
	}
	var rs check.Results
	f.Air, rs = airflow.Plan(d)
	p.say(rs)
	p.list()
	p.say(practice.Judge(f))
	return Outcome{f, a}, nil
}

// planner is a plan in the making.
type planner struct {
	f       *fit.Fit
	cat     parts.Catalogue
	shelf   parts.Shelf
	cover   parts.ShelfPlan   // legs from the shelf
	instead map[string]string // parts that stand in, and for which
}

func (p *planner) say(rs check.Results) { p.f.Checks = append(p.f.Checks, rs...) }

// wire lays the harness and judges what hangs on it.
func (p *planner) wire() error {
	if len(p.f.Nodes) == 0 {
		return nil // nothing is sensed
	}
	var rs check.Results
	p.f.Radio, rs = radio.Plan(&p.f.Drill, p.cat)
	p.say(rs)
	opt := harness.Options{StubMaxM: p.stubMaxM(), Gateway: p.f.Radio.Gateway}
	h, rs, err := harness.Plan(p.f, p.cat, p.gatewayAt(), opt)
	if err != nil {
		return err
	}
	if len(h.Legs) > 0 {
		rs = p.feed(h, opt)
	}
	p.say(rs)
	p.f.WorkSwitch, rs = workstate.Plan(p.f, p.cat)
	p.say(rs)
	return nil
}

// feed sizes the harness for its boxes and its fuse, makes it of what is on the
// shelf where one was given, and judges it as it is then.
func (p *planner) feed(h fit.Harness, opt harness.Options) check.Results {
	t := power.DefaultTables()
	e, volts := t.Plan(p.f, h, p.cat)
	if p.shelf != nil {
		e, _ = t.Sized(power.SizeForLimits, p.f, h, p.cat)
		e, volts = t.Sized(power.SizeNothing, p.f, p.fromShelf(e.Harness), p.cat)
	}
	p.f.Harness, p.f.Power, p.f.Wires, p.f.Protection = e.Harness, e.Cases, e.Wires, e.Protection
	rs := append(harness.Judge(e.Harness, p.cat, opt), volts...)
	b, pair := bus.Plan(p.f, e.Harness, p.cat)
	p.f.Bus = b
	return append(rs, pair...)
}

// gatewayAt is where the radio wants the gateway; without a radio it goes to the
// hitch.
func (p *planner) gatewayAt() drill.Point {
	if len(p.f.Radio.Options) == 0 {
		return p.f.Drill.Places().Hitch
	}
	return p.f.Radio.Best().Gateway
}

// stubMaxM is how long a drop may be by the rules of the nodes' bus.
func (p *planner) stubMaxM() float64 {
	part, _ := p.cat.Part(p.f.Nodes[0].Part)
	return bus.StubMaxM(part.Bus, part.KbitS)
}

// list writes down what to pick and the parts used.
func (p *planner) list() {
	p.f.Parts = p.used(func(part parts.Part) bool { return part.Kind == parts.Node || part.Kind == parts.Gateway })
	need := p.f.Need()
	if p.shelf == nil {
		p.f.Kit = p.cat.Kit(need)
	} else {
		p.f.Kit = p.cat.Kit(need.RunsFrom(p.shelf, p.cat)).From(p.shelf, p.cover, p.instead)
	}
	in := make(map[string]bool)
	for _, n := range p.f.Nodes {
		in[n.Part] = true
	}
	for _, l := range p.f.Kit.Lines {
		in[l.Part] = true
	}
	p.f.Parts = p.used(func(part parts.Part) bool { return in[part.ID] })
}

// used are the parts of the catalogue for which it holds.
func (p *planner) used(holds func(parts.Part) bool) []parts.Part {
	var some []parts.Part
	for _, part := range p.cat.Parts {
		if holds(part) {
			some = append(some, part)
		}
	}
	return some
}
