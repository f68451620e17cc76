package walk

import (
	"math"
	"slices"
)

const (
	coreFallS = 0.6  // a hose takes about that long to run dry
	coreRiseS = 0.25 // and the end of a pinch is known about so well
	oddLevel  = 0.1  // part of the pinches that leave more flow than this walk's others
)

// core is what a port counted in the middle of a pinch, between the fall and
// the release, and what it should have counted untouched. How deep a pinch
// goes shows here, where no single bin is cut off.
type core struct {
	x, m float64
	phi  float64 // of the sum: variance = mean + phi mean^2
}

// core adds up the bins that lie whole between the fall and the release of a
// pinch from step a to z; where there is none, all that touch it.
func (p *prover) core(col, a, z int) core {
	t := p.tr
	lo := (a + t.step(coreFallS) + t.parts - 1) / t.parts
	hi := (z - t.step(coreRiseS)) / t.parts
	if hi <= lo {
		lo, hi = (a+t.parts/2)/t.parts, (z+t.parts/2)/t.parts
	}
	if hi <= lo {
		hi = lo + 1
	}
	var c core
	n := 0.0
	for i := max(0, lo); i < min(hi, p.g.n); i++ {
		if m := p.ex[col].mean[i]; m > 0 {
			c.x += float64(p.g.x[col][i])
			c.m += float64(m)
			n++
		}
	}
	c.phi = p.ex[col].phi / max(1, n)
	return c
}

// left is the part of its usual count that the port kept; 1 where nothing is
// known.
func (c core) left() float64 {
	if c.m == 0 {
		return 1
	}
	return c.x / c.m
}

// against is ln of the likelihood of the count at the levels, averaged, over
// that of the usual count.
func (c core) against(levels []float64) float64 {
	if c.m == 0 {
		return 0
	}
	return logMean(levels, func(v float64) float64 { return logCount(c.x, v*c.m, c.phi) }) - logCount(c.x, c.m, c.phi)
}

func logMean(v []float64, f func(float64) float64) float64 {
	acc := math.Inf(-1)
	for _, a := range v {
		acc = logAdd(acc, f(a))
	}
	return acc - math.Log(float64(len(v)))
}

// levels are what the pinched runs of this walk keep, as quantiles over the
// clear reactions: sensors differ in noise, people in grip.
func (p *prover) levels(bs []belief) []float64 {
	var left []float64
	for _, b := range bs {
		col, prob := b.best()
		if prob < 0.9 || b.nats[col] < clearEnough {
			continue
		}
		a := p.start(col, b.atS[0])
		_, n := p.tr.peak(col, a, p.full)
		left = append(left, min(p.core(col, a, a+n).left(), 0.45))
	}
	if len(left) < 4 {
		return pinchFull
	}
	slices.Sort(left)
	out := make([]float64, 0, 9)
	for k := range 9 {
		out = append(out, max(0.01, left[(2*k+1)*len(left)/18]))
	}
	return out
}

// wholly is the evidence that the port, which hears one run alone, was pinched
// from step a to z; byHalf that it hears two, of which one was pinched.
func (p *prover) wholly(col, a, z int) float64 {
	c := p.core(col, a, z)
	return logAdd(math.Log(1-oddLevel)+c.against(p.whole), math.Log(oddLevel)+c.against(pinchFull))
}

func (p *prover) byHalf(col, a, z int) float64 {
	half := make([]float64, len(p.whole))
	for i, v := range p.whole {
		half[i] = (1 + v) / 2
	}
	return p.core(col, a, z).against(half)
}
