package walk

import (
	"math"
	"slices"
)

// expected is what a port should count in every bin while nobody touches it,
// and how far its counts spread about that.
type expected struct {
	mean    []float32 // counts; 0 where the bin says nothing (no data, no flow)
	phi     float64   // variance = mean + phi mean^2
	level   float64   // counts/s, typical
	dead    bool      // counts (next to) nothing although its product flows, or is never reported
	missing bool      // never reported
	odd     bool      // counts steadily whatever the others do
}

// leastSpread keeps a short quiet recording from promising counts that are
// steadier than swirling air can be.
const leastSpread = 0.005

// expect predicts every port.
func (f *flow) expect() []expected {
	out := make([]expected, len(f.g.ports))
	parallel(len(out), func(p int) { out[p] = f.expectPort(p) })
	f.spread(out)
	f.findDead(out)
	return out
}

func (f *flow) expectPort(p int) expected {
	n := f.g.n
	own := newTeam(n)
	f.join([]team{own}, 0, p)
	own.close()
	m := make([]float32, n)
	hw := max(1, int(math.Round(headS/f.g.binS)))
	for i := range m {
		if f.g.e[p][i] == 0 {
			continue
		}
		factor := f.without(own, p, i, hw)
		if f.still || factor >= flowOn*f.usualOf(p) {
			m[i] = float32(f.at(p, i) * float64(f.g.e[p][i]) * factor)
		}
	}
	return expected{mean: m, level: float64(quantile32(f.level[p], 0.5))}
}

// without is the common factor of the bin from the other ports alone: the
// product's, times what the head did besides within a second either side.
func (f *flow) without(own team, p, i, hw int) float64 {
	s := f.seat[p]
	if s.product < 0 || f.still {
		return 1
	}
	h := f.smooth[s.product]
	factor, any := ratioWithout(f.teams[s.product], own, max(0, i-h), min(f.g.n, i+h+1), 0.5)
	if !any {
		return 1
	}
	if s.head < 0 {
		return factor
	}
	lo, hi := max(0, i-hw), min(f.g.n, i+hw+1)
	hc, he := f.heads[s.head].over(lo, hi)
	oc, oe := own.over(lo, hi)
	wide, _ := ratioWithout(f.teams[s.product], own, lo, hi, 0.5)
	return factor * (max(hc-oc, 0) + headPrior) / (max(he-oe, 0)*wide + headPrior)
}

// ratioWithout is counted over expected for the team less the port; prior
// counts are added on both sides. any says whether the team has other ports.
func ratioWithout(t, own team, lo, hi int, prior float64) (ratio float64, any bool) {
	c, e := t.over(lo, hi)
	oc, oe := own.over(lo, hi)
	if e-oe <= 1e-9*e || e == 0 {
		return 1, false
	}
	return (max(c-oc, 0) + prior) / (e - oe + prior), true
}

// spread measures, over single bins and over three seconds, how much more
// than Poisson counts the ports waver, and takes the larger: swirl with memory
// shows only in the longer sums.
func (f *flow) spread(ex []expected) {
	type at struct{ fano, n, mean float64 }
	spans := []int{1, max(2, int(math.Round(3/f.g.binS)))}
	got := make([][]at, len(ex))
	parallel(len(ex), func(p int) {
		for _, w := range spans {
			fano, n, mean := fano(f.g.x[p], ex[p].mean, w)
			got[p] = append(got[p], at{fano, n, mean})
		}
	})
	ref := f.reference()
	for k, w := range spans {
		var pool []float64
		for p := range ex {
			if a := got[p][k]; a.n >= 8 && a.mean > 0 {
				pool = append(pool, max(a.fano-1, 0)/a.mean)
			}
		}
		common := quantile(pool, 0.5)
		for p := range ex {
			a := got[p][k]
			fano := (a.n*a.fano + 20*(1+common*a.mean)) / (a.n + 20)
			phi := leastSpread
			if a.mean > 0 {
				phi = (fano - 1) / (a.mean / float64(w))
			}
			ex[p].phi = max(ex[p].phi, phi, leastSpread, ref[p])
		}
	}
}

// reference is, per port, the relative variance of the common factor itself,
// which rests on finitely many counts of the other ports.
func (f *flow) reference() []float64 {
	ref := make([]float64, len(f.seat))
	for p, s := range f.seat {
		if s.product < 0 || f.still {
			continue
		}
		t, h := f.teams[s.product], f.smooth[s.product]
		ref[p] = 1 / (t.count[f.g.n]/float64(f.g.n)*float64(2*h+1) + 1)
	}
	return ref
}

// fano is the variance over mean of sums over w bins about their expectation,
// from the smaller 85 % of the squared residuals: pinches are no spread. n is
// the number of sums, mean their mean expectation.
func fano(x, m []float32, w int) (fano, n, mean float64) {
	var z []float64
	for i := 0; i+w <= len(m); i += w {
		var sx, sm float64
		whole := true
		for j := i; j < i+w; j++ {
			sx += float64(x[j])
			sm += float64(m[j])
			whole = whole && m[j] > 0
		}
		if whole && sm > 0.2 {
			z = append(z, (sx-sm)*(sx-sm)/sm)
			mean += sm
		}
	}
	if len(z) == 0 {
		return 1, 0, 0
	}
	n = float64(len(z))
	slices.Sort(z)
	keep := z[:max(1, len(z)*85/100)]
	var s float64
	for _, v := range keep {
		s += v
	}
	// 0.520 = P(chi2_3 < q)/0.85 with q the 85 % quantile of chi2_1, 2.0723:
	// the mean of a squared normal residual cut there.
	return s / float64(len(keep)) / 0.520, n, mean / n
}

// findDead marks ports that are never reported, or count under a tenth of
// what the ports of their product count while that flows.
func (f *flow) findDead(ex []expected) {
	byProduct := map[int][]float64{}
	for p, s := range f.seat {
		byProduct[s.product] = append(byProduct[s.product], ex[p].level)
	}
	typical := map[int]float64{}
	for s, v := range byProduct {
		typical[s] = quantile(v, 0.5)
	}
	for p, s := range f.seat {
		seen := slices.ContainsFunc(f.g.e[p], func(e float32) bool { return e > 0 })
		ex[p].missing = !seen
		ex[p].dead = !seen || (!f.still && ex[p].level < max(0.5, 0.1*typical[s.product]))
		ex[p].odd = s.product == steadyProduct || (f.still && ex[p].level > max(leastRate, 8*typical[s.product]))
	}
}

func quantile32(v []float32, q float64) float32 {
	s := slices.Clone(v)
	slices.Sort(s)
	return s[min(int(q*float64(len(s))), len(s)-1)]
}
