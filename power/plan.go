package power

import (
	"math"

	"runproof/check"
	"runproof/drill"
	"runproof/fit"
	"runproof/measure"
	"runproof/parts"
)

// Result is the electrical side of a fit.
type Result struct {
	Harness    fit.Harness // with the cross-sections that the boxes and the fuse want
	Cases      []fit.PowerCase
	Protection fit.Protection
	Wires      []fit.Wire // advice on each leg, in the order of the circuit
}

// Plan sizes the supply conductors of a harness, chooses the fuse, and solves
// the circuit in every case of the supply.
//
// The voltage told of a power point is that under load, so the resistance of
// the source counts in a short and nowhere else. A harness without legs has no
// circuit: the result is the harness alone.
func Plan(f *fit.Fit, h fit.Harness, cat parts.Catalogue) (Result, check.Results) {
	return DefaultTables().Plan(f, h, cat)
}

// Sizing is how far cross-sections are raised.
type Sizing int

// The ways to size.
const (
	SizeForWishes Sizing = iota // until limits and wishes are kept
	SizeForLimits               // until limits are kept: where copper is short
	SizeNothing                 // legs stay as they are
)

// Plan is Plan with other tables.
func (t Tables) Plan(f *fit.Fit, h fit.Harness, cat parts.Catalogue) (Result, check.Results) {
	return t.Sized(SizeForWishes, f, h, cat)
}

// Sized is Plan with cross-sections raised so far and no further.
func (t Tables) Sized(by Sizing, f *fit.Fit, h fit.Harness, cat parts.Catalogue) (Result, check.Results) {
	if len(h.Legs) == 0 {
		return Result{Harness: h}, nil
	}
	c := newCircuit(f, h, cat, t)
	c.sparing = by == SizeForLimits
	if by == SizeNothing {
		c.stock.areas = nil
	}
	told, source := f.Drill.Supply.Volts, t.sourceOhm(f.Drill.Supply)
	c.fused(told, source)
	r := Result{Harness: c.harness(h), Protection: c.protection(told, source)}
	var states []state
	for _, k := range t.Cases {
		s := c.solve(k, told)
		states = append(states, s)
		r.Cases = append(r.Cases, c.document(s))
	}
	r.Wires = c.wires(states)
	j := judge{circuit: c, states: states, supply: f.Drill.Supply, told: told, source: source}
	return r, j.all()
}

// sourceOhm is the resistance of battery and leads up to the power point.
func (t Tables) sourceOhm(s drill.Supply) float64 {
	if s.Ohm > 0 {
		return s.Ohm
	}
	return t.Joints.SourceOhm
}

// wires is what each leg is, and what it would have to be for the drop that one
// would wish.
func (c *circuit) wires(states []state) []fit.Wire {
	out := make([]fit.Wire, len(c.legs))
	worst := c.worstBeyond(states)
	for i, l := range c.legs {
		w := fit.Wire{Leg: l.ID, AreaMM2: l.AreaMM2, Gauge: GaugeNearest(math.Max(l.AreaMM2, 1e-3)).String(), AmpacityA: measure.Round(c.ampacity(l), 2)}
		for _, s := range states {
			w.Amps = math.Max(w.Amps, measure.Round(s.now.Amps[i], ampDigits))
			if !s.Brief {
				from := s.supplyV
				if k := c.from[i]; k > 0 {
					from = s.now.Volts[k]
				}
				w.DropV = math.Max(w.DropV, measure.Round(from-s.now.Volts[i+1], voltDigits))
			}
		}
		w.WishMM2 = l.AreaMM2
		if over := worst[i] / c.t.Limits.DropWished; over > 1 {
			w.WishMM2 = l.AreaMM2 * over
			if a, ok := c.t.Resistance[0].AtOrAbove(w.WishMM2); ok {
				w.WishMM2 = a
			}
		}
		out[i] = w
	}
	return out
}

// worstBeyond is, for each leg, the greatest drop in parts of the supply of the
// boxes that it feeds, in cases that last.
func (c *circuit) worstBeyond(states []state) []float64 {
	worst := make([]float64, len(c.legs))
	for _, s := range states {
		if s.Brief {
			continue
		}
		for i := range c.legs {
			if c.boxes[i].said {
				worst[i] = math.Max(worst[i], 1-s.volts(i)/s.supplyV)
			}
		}
	}
	for i := len(c.legs) - 1; i >= 0; i-- {
		if k := c.from[i]; k > 0 {
			worst[k-1] = math.Max(worst[k-1], worst[i])
		}
	}
	return worst
}
