package power

import (
	"math"

	"runproof/fit"
	"runproof/measure"
	"runproof/parts"
)

// fused puts in the smallest fuse of the catalogue that carries what flows for
// long, and makes legs thicker where it would not protect them. Without such a
// fuse it leaves none.
func (c *circuit) fused(toldV, sourceOhm float64) {
	for _, p := range fusesOf(c.cat) {
		if !c.t.Fuse.Carries(p.Amps, c.leastA(toldV)) {
			continue
		}
		c.fuse = p
		c.size(toldV)
		if c.t.Fuse.Carries(p.Amps, c.continuousA(toldV)) {
			c.grow(func() want { return c.unprotected(toldV, sourceOhm) })
			return
		}
	}
	c.fuse = parts.Part{}
	c.size(toldV)
}

// fusesOf are the fuses of the catalogue, smallest first, one of each rating.
func fusesOf(cat parts.Catalogue) []parts.Part {
	var fuses []parts.Part
	for _, p := range cat.Of(parts.Fuse) {
		i := 0
		for i < len(fuses) && fuses[i].Amps < p.Amps {
			i++
		}
		if i < len(fuses) && fuses[i].Amps == p.Amps {
			continue
		}
		fuses = append(fuses[:i:i], append([]parts.Part{p}, fuses[i:]...)...)
	}
	return fuses
}

// continuousA is the highest current that flows for long, A. Cases that pass
// within seconds do not count.
func (c *circuit) continuousA(toldV float64) float64 {
	most := 0.0
	for _, k := range c.t.Cases {
		if !k.Brief {
			most = math.Max(most, c.supplyA(c.solve(k, toldV)))
		}
	}
	return most
}

// leastA is what the boxes would draw for long if the legs had no resistance, A:
// no harness brings it lower.
func (c *circuit) leastA(toldV float64) float64 {
	most := 0.0
	for _, k := range c.t.Cases {
		if !k.Brief {
			most = math.Max(most, c.drawnAt(k.OfTold*toldV))
		}
	}
	return most
}

// unprotected is how far the fuse is from protecting every leg: ampacity, the heat
// of a short, and a short at the far end.
func (c *circuit) unprotected(toldV, sourceOhm float64) want {
	var w want
	for _, l := range c.legs {
		w.hard += math.Max(0, 1-c.ampacity(l)/c.fuse.Amps)
	}
	f := c.fault(toldV, sourceOhm)
	heat := c.leastAreaMM2(f)
	for _, l := range c.legs {
		w.hard += math.Max(0, 1-l.AreaMM2/heat)
	}
	w.hard += math.Max(0, c.t.Fuse.MultipleFor(math.Inf(1))-f.amps/c.fuse.Amps)
	w.wish += math.Max(0, c.t.Fuse.MultipleFor(c.t.Fuse.WithinS)-f.amps/c.fuse.Amps)
	return w
}

// ampacity is what the leg's wire may carry for long in warm air, A.
func (c *circuit) ampacity(l fit.Leg) float64 {
	return c.t.Ampacity.Amps(l.AreaMM2, c.insulationC(l), Surroundings{Warm: true})
}

// insulationC is the lowest temperature class of the leg's pieces, °C.
func (c *circuit) insulationC(l fit.Leg) float64 {
	class := math.Inf(1)
	for _, id := range l.Pieces {
		if p := c.parts[id]; p.MaxC > 0 {
			class = math.Min(class, p.MaxC)
		} else {
			class = math.Min(class, c.t.Limits.InsulationC)
		}
	}
	if math.IsInf(class, 1) {
		return c.t.Limits.InsulationC
	}
	return class
}

// fault is a short between go and return at the place where it draws least.
type fault struct {
	at    string
	amps  float64 // there, at the lowest supply
	nearA float64 // at the near end of the first leg, at the highest supply, A
	leg   int
}

// fault finds the place at which a short draws least: conductors hot, supply at
// its lowest, contacts and source included.
func (c *circuit) fault(toldV, sourceOhm float64) fault {
	low, high := math.Inf(1), 0.0
	for _, k := range c.t.Cases {
		low, high = math.Min(low, k.OfTold*toldV), math.Max(high, k.OfTold*toldV)
	}
	tree := c.tree(low, c.legsAt(c.t.Fuse.FaultC))
	f := fault{amps: math.Inf(1), leg: -1, nearA: high / math.Max(sourceOhm+c.fuseOhm(), 1e-3)}
	for i, r := range tree.PathOhm() {
		if a := low / (sourceOhm + r); a < f.amps {
			f.at, f.amps, f.leg = c.legs[i].To, a, i
		}
	}
	return f
}

// leastAreaMM2 is the cross-section that bears what a short leaves in a wire
// before the fuse opens, mm2.
func (c *circuit) leastAreaMM2(f fault) float64 {
	return c.t.Fuse.LeastAreaMM2(c.t.Fuse.LetThrough(f.amps, f.nearA, c.fuse.Amps))
}

// protection is what the document says of the fuse.
func (c *circuit) protection(toldV, sourceOhm float64) fit.Protection {
	p := fit.Protection{ContinuousA: measure.Round(c.continuousA(toldV), ampDigits)}
	if c.fuse.Amps == 0 || len(c.legs) == 0 {
		return p
	}
	f := c.fault(toldV, sourceOhm)
	p.Part, p.RatingA = c.fuse.ID, c.fuse.Amps
	p.FaultAt, p.FaultA = f.at, measure.Round(f.amps, ampDigits)
	p.OpensS = c.t.Fuse.OpensS(f.amps / c.fuse.Amps)
	return p
}
