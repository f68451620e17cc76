package review

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"runproof/drill"
	"runproof/measure"
)

// deadTime is what the day says of the counters of a product: a counter that is
// busy for tau after each particle shows m = n/(1 + n tau) (Knoll, ch. 4;
// counts.DeadTime). Rich runs then lose more than poor ones when the rate goes
// up: it is ln n = ln m - ln(1 - m tau), not ln m, that differs between two runs
// by a constant. Near the usual rate that falls with m by slope = tau/(1-m tau),
// hence tau = slope/(1 + m slope).
type deadTime struct {
	tauS, se float64
	used     bool // sure, and worth correcting for
}

// A dead time is used when it is so many standard errors from none and hides
// leastDead of the particles at the usual rate; it is never taken to hide more
// than mostDead of them.
const (
	deadTimeZ = 3
	leastDead = 0.03
	mostDead  = 0.6
)

// DeadTime is what a review says of a product's counters.
type DeadTime struct {
	Product drill.ProductID `json:"product"` // whose counters
	MS      float64         `json:"ms"`      // estimate; below 0 is chance
	LowMS   float64         `json:"low_ms"`  // 95 % interval
	HighMS  float64         `json:"high_ms"` // 95 % interval
	Used    bool            `json:"used"`    // losses are corrected for it
}

// windowCells are so many cells of the picture within which a run's share is
// taken to stand still but for saturation.
const windowCells = 32

// deadTimes fits tau to each product: y = ln(x/e) of a run against its
// siblings', on z, by how much its usual rate stands above theirs at the
// rate of that cell, both about their means within each run and window; the
// slope is -tau. The standard error allows for what is alike within a run
// (sandwich by runs: Liang & Zeger 1986).
func (s *session) deadTimes(spells []*spell) []deadTime {
	sick := s.sickSpans(spells)
	out := make([]deadTime, len(s.in.products))
	for p, pr := range s.in.products {
		var fits []within
		usual := 0.0
		for _, h := range pr.heads {
			for _, i := range s.in.heads[h].runs {
				if w := s.pic.within(i, sick); w.szz > 0 {
					w.rate = s.k.rateHz[i]
					fits = append(fits, w)
					usual = max(usual, s.k.rateHz[i])
				}
			}
		}
		out[p] = slopeOf(fits)
		d := &out[p]
		hidden := usual * d.tauS
		d.used = d.tauS > deadTimeZ*d.se && hidden > leastDead && hidden < mostDead
	}
	return out
}

// within are a run's sums about its means in each window, and its usual rate.
type within struct{ szz, szy, rate float64 }

func slopeOf(fits []within) deadTime {
	if len(fits) < 12 {
		return deadTime{}
	}
	var szz, szy, rate, meat float64
	for _, w := range fits {
		szz, szy, rate = szz+w.szz, szy+w.szy, rate+w.szz*w.rate
	}
	slope := -szy / szz
	for _, w := range fits {
		meat += (w.szy + slope*w.szz) * (w.szy + slope*w.szz)
	}
	n := float64(len(fits))
	bend := 1 + max(-0.5, rate/szz*slope)
	return deadTime{tauS: slope / bend, se: math.Sqrt(meat*n/(n-1)) / szz / (bend * bend)}
}

func (p *picture) within(i int, sick []spans) within {
	var out within
	for from := 0; from < len(p.cells[i]); from += windowCells {
		var w, z, y, zz, zy float64
		for c := from; c < min(from+windowCells, len(p.cells[i])); c++ {
			s := p.cells[i][c]
			a, b := p.cellSpan(c)
			level := p.siblingsLevel(i, c, sick)
			if s.x < 20 || !(level > 0) || s.workS < 0.9*s.durS || sick[i].touch(a, b) {
				continue
			}
			weight := s.x / p.k.overdisp[i]
			zi, yi := s.e*level/p.k.share[i]/s.workS*p.lead(i), math.Log(s.x/s.e/level)
			w, z, y = w+weight, z+weight*zi, y+weight*yi
			zz, zy = zz+weight*zi*zi, zy+weight*zi*yi
		}
		if w > 0 {
			out.szz, out.szy = out.szz+zz-z*z/w, out.szy+zy-z*y/w
		}
	}
	return out
}

// lead is by how much the run's share stands above its siblings', which count
// by what they carry.
func (p *picture) lead(i int) float64 {
	part, lean := 0.0, 0.0
	for _, j := range p.in.heads[p.in.runs[i].head].runs {
		if j != i {
			part, lean = part+p.k.share[j], lean+p.k.share[j]*p.k.share[j]
		}
	}
	if part == 0 {
		return 0
	}
	return p.k.share[i] - lean/part
}

// hides is n tau at the run's usual rate: by how much its counter falls short.
func (d *detector) hides(i int) float64 {
	if d.dead == nil || !d.dead[d.in.runs[i].product].used {
		return 0
	}
	m := d.k.rateHz[i] * d.dead[d.in.runs[i].product].tauS
	return m / (1 - m)
}

// unsaturated is the part of its flow that a run keeps which shows f of its
// count: with y = n tau, f = g (1+y)/(1+g y).
func unsaturated(f, y float64) float64 { return f / (1 + y*(1-f)) }

func (s *session) deadTimeSummary() []DeadTime {
	z := distuv.UnitNormal.Quantile(0.975)
	var out []DeadTime
	for p, d := range s.det.dead {
		if d.se == 0 {
			continue
		}
		ms := func(v float64) float64 { return measure.Round(1000*v, 3) }
		out = append(out, DeadTime{s.in.products[p].id, ms(d.tauS), ms(d.tauS - z*d.se), ms(d.tauS + z*d.se), d.used})
	}
	return out
}
