package plan

import (
	"cmp"

	"runproof/airflow"
	"runproof/allocate"
	"runproof/bus"
	"runproof/check"
	"runproof/drill"
	"runproof/fit"
	"runproof/harness"
	"runproof/parts"
	"runproof/power"
	"runproof/radio"
	"runproof/workstate"
)

// Options are what a plan can be told beside drill and catalogue. The zero
// Options number the nodes N1, N2, ... and do not search.
type Options struct {
	Serials []string // of the nodes, in any order; nil = N1, N2, ...
	Effort  int64    // limit on the search of the allocation (see allocate.Effort)
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
	p := planner{f: f, cat: cat}
	p.say(drill.Check(d))
	if err := p.wire(); err != nil {
		return Outcome{}, err
	}
	var rs check.Results
	p.f.Air, rs = airflow.Plan(d)
	p.say(rs)
	p.list()
	return Outcome{f, a}, nil
}

// planner is a plan in the making.
type planner struct {
	f   *fit.Fit
	cat parts.Catalogue
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
	h, rs, err := harness.Plan(p.f, p.cat, p.gatewayAt(), harness.Options{StubMaxM: p.stubMaxM(), Gateway: p.f.Radio.Gateway})
	if err != nil {
		return err
	}
	p.say(rs)
	e, rs := power.Plan(p.f, h, p.cat)
	p.f.Harness, p.f.Power, p.f.Wires, p.f.Protection = e.Harness, e.Cases, e.Wires, e.Protection
	p.say(rs)
	p.f.Bus, rs = bus.Plan(p.f, p.f.Harness, p.cat)
	p.say(rs)
	p.f.WorkSwitch, rs = workstate.Plan(p.f, p.cat)
	p.say(rs)
	return nil
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

// list writes down the parts used and what to pick.
func (p *planner) list() {
	p.f.Parts = nil
	p.f.Kit = p.cat.Kit(p.f.Need())
	used := make(map[string]bool)
	for _, n := range p.f.Nodes {
		used[n.Part] = true
	}
	for _, l := range p.f.Kit.Lines {
		used[cmp.Or(l.Part, "")] = true
	}
	for _, part := range p.cat.Parts {
		if used[part.ID] {
			p.f.Parts = append(p.f.Parts, part)
		}
	}
}
