package simulate

import (
	"hash/fnv"
	"math"
	"math/rand/v2"

	"runproof/drill"
	"runproof/fit"
	"runproof/review"
)

// hose is one run of the drill, sensed or not: product flows through all.
type hose struct {
	drill.Run
	share    float64 // of an even division, 1 = even
	drift    float64 // ln of the share's present drift
	gate     gate
	turns    []float64 // when product began to come through the gate, and stopped, in turn
	sections []int     // indices into plumbing.sections
	faults   []*Fault
	weight   float64 // in the division, now
	perS     float64 // particles per second at the opener, now
}

type branch struct {
	metered delay // particles per second and run, from the meter to the sensors
	hoses   []int
	faults  []*Fault
}

type stream struct {
	id      drill.ProductID
	perRunS float64
	heads   []int
	phase   float64
	steps   []RateStep
	faults  []*Fault
}

// plumbing divides product among heads and hoses.
type plumbing struct {
	law      Law
	usualMPS float64
	hoses    []hose
	heads    []branch
	products []stream
	sections []drill.Section
	spells   []SectionSpell
	shut     []bool
	driftDue float64
	rng      *rand.Rand
}

func newPlumbing(s *Scenario, f *fit.Fit, rng *rand.Rand) *plumbing {
	d := &f.Drill
	p := &plumbing{law: s.Law, usualMPS: d.Work.SpeedMPS, sections: d.Sections, spells: s.Sections, shut: make([]bool, len(d.Sections)), rng: rng}
	for _, pr := range d.Products {
		p.products = append(p.products, stream{id: pr.ID, perRunS: s.perRunS(f, pr.ID), phase: 2 * math.Pi * rng.Float64(), steps: s.steps(pr.ID)})
	}
	at := map[drill.HeadID]int{}
	for _, h := range d.Heads {
		at[h.ID] = len(p.heads)
		for k := range p.products {
			if p.products[k].id == h.Product {
				p.products[k].heads = append(p.products[k].heads, len(p.heads))
			}
		}
		p.heads = append(p.heads, branch{metered: newDelay(s.transportS(f, h), s.IntervalS)})
	}
	for _, r := range d.Runs() {
		h, _ := d.Head(r.Head)
		w := hose{Run: r, share: math.Exp(s.Law.ShareSD * s.made("outlet", r.ID)), drift: s.Law.DriftSD * rng.NormFloat64()}
		w.gate = s.gate(h)
		for k, sec := range d.Sections {
			for _, id := range d.SectionRuns(sec) {
				if id == r.ID {
					w.sections = append(w.sections, k)
				}
			}
		}
		p.heads[at[r.Head]].hoses = append(p.heads[at[r.Head]].hoses, len(p.hoses))
		p.hoses = append(p.hoses, w)
	}
	p.place(s.Faults, at)
	return p
}

// place hands each fault of the flow to the part that it befalls.
func (p *plumbing) place(faults []Fault, at map[drill.HeadID]int) {
	for i := range faults {
		f := &faults[i]
		switch f.Kind {
		case review.Blocked, review.Restricted:
			for k := range p.hoses {
				if p.hoses[k].ID == f.Run {
					p.hoses[k].faults = append(p.hoses[k].faults, f)
				}
			}
		case review.HeadStarved:
			b := &p.heads[at[f.Head]]
			b.faults = append(b.faults, f)
		case review.ProductOut:
			for k := range p.products {
				if p.products[k].id == f.Product {
					p.products[k].faults = append(p.products[k].faults, f)
				}
			}
		}
	}
}

func leftOf(faults []*Fault, t float64) float64 {
	left := 1.0
	for _, f := range faults {
		left *= f.left(t)
	}
	return left
}

// step sets every hose's particles per second for the sample that ends at t.
func (p *plumbing) step(t, dt, speedMPS float64, inGround bool) {
	p.wander(dt)
	for k := range p.shut {
		p.shut[k] = false
	}
	for _, sp := range p.spells {
		for k, sec := range p.sections {
			if sec.ID == sp.Section && t > sp.AtS && t <= sp.AtS+sp.ForS {
				p.shut[k] = true
			}
		}
	}
	for k := range p.hoses {
		h := &p.hoses[k]
		open := inGround && !h.Closed
		for _, s := range h.sections {
			open = open && !p.shut[s]
		}
		h.gate.step(open, dt)
		if on := h.gate.level >= 0.5; on != (len(h.turns)%2 == 1) {
			h.turns = append(h.turns, t)
		}
		h.weight = h.share * math.Exp(h.drift) * h.gate.level
	}
	for k := range p.products {
		p.divide(&p.products[k], t, dt, speedMPS)
	}
}

// wander moves the shares' drift once a second (Ornstein-Uhlenbeck).
func (p *plumbing) wander(dt float64) {
	if p.driftDue -= dt; p.driftDue > 0 || p.law.DriftSD == 0 {
		return
	}
	p.driftDue += 1
	a := math.Exp(-1 / p.law.DriftS)
	for k := range p.hoses {
		h := &p.hoses[k]
		h.drift = a*h.drift + math.Sqrt(1-a*a)*p.law.DriftSD*p.rng.NormFloat64()
	}
}

// divide splits what the meter gives: first among heads, then among hoses. A
// branch that takes less leaves SiblingRise of the difference to its siblings.
// Speed and rate reach a head's sensors after its lag; faults show at once,
// their times being those at the sensors.
func (p *plumbing) divide(pr *stream, t, dt, speedMPS float64) {
	out := leftOf(pr.faults, t)
	perRun := pr.perRunS * speedMPS / p.usualMPS * p.pulse(pr, t, dt)
	for _, s := range pr.steps {
		if t > s.AtS {
			perRun *= s.Factor
		}
	}
	due, taken := 0.0, 0.0
	for _, b := range pr.heads {
		w := p.wanted(b)
		due, taken = due+w, taken+w*leftOf(p.heads[b].faults, t)
	}
	for _, b := range pr.heads {
		perRun := p.heads[b].metered.put(perRun) * out
		share := leftOf(p.heads[b].faults, t) * p.rise(due, taken)
		due, taken := 0.0, 0.0
		for _, k := range p.heads[b].hoses {
			w := p.hoses[k].weight
			due, taken = due+w, taken+w*leftOf(p.hoses[k].faults, t)
		}
		up := p.rise(due, taken)
		for _, k := range p.heads[b].hoses {
			h := &p.hoses[k]
			h.perS = perRun * share * h.weight * leftOf(h.faults, t) * up
		}
	}
}

func (p *plumbing) rise(due, taken float64) float64 {
	if taken <= 0 {
		return 1
	}
	return 1 + p.law.SiblingRise*(due/taken-1)
}

func (p *plumbing) wanted(b int) float64 {
	t := 0.0
	for _, k := range p.heads[b].hoses {
		t += p.hoses[k].weight
	}
	return t
}

// pulse is the meter's pulsing averaged over the sample that ends at t.
func (p *plumbing) pulse(pr *stream, t, dt float64) float64 {
	if p.law.PulseSwing == 0 || p.law.PulseHz == 0 {
		return 1
	}
	x := math.Pi * p.law.PulseHz * dt
	return 1 + p.law.PulseSwing*math.Sin(x)/x*math.Cos(2*math.Pi*p.law.PulseHz*(t-dt/2)+pr.phase)
}

// made is how one part of the drill was made: a standard normal deviation that
// stays with the part in every recording of the same DrillSeed.
func (s *Scenario) made(what string, id drill.RunID) float64 {
	h := fnv.New64a()
	h.Write([]byte(what + " " + string(id)))
	return rand.New(rand.NewPCG(s.DrillSeed, h.Sum64())).NormFloat64()
}
