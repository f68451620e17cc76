package alarm

import (
	"math"

	"runproof/counts"
)

// grid holds the chance of a low for a run at one floor, tabulated over the log
// of its share's factor.
type grid struct {
	lo, step float64
	q        []float64
	drift    []node // quadrature over drift
	swirl    swirl
}

type node struct{ at, weight float64 }

// tabulate prepares the sound run at a floor.
func (l *runLaw) tabulate(floor float64) grid {
	return l.table(func(factor float64) float64 { return l.lowAt(floor, factor) })
}

// tabulateFailed prepares the run at a floor when a fault leaves it that share
// of its head.
func (l *runLaw) tabulateFailed(floor, share float64) grid {
	return l.table(func(factor float64) float64 { return l.lowFailed(floor, share*factor) })
}

func (l *runLaw) table(low func(factor float64) float64) grid {
	w := l.waver
	g := grid{drift: gaussNodes(w.driftSD), swirl: newSwirl(w.swirlSD, w.swirlRho)}
	reach := 5 * math.Hypot(w.driftSD, w.swirlSD)
	points := 1
	if reach > 0 {
		points = 17
		g.lo, g.step = -reach, 2*reach/float64(points-1)
	}
	norm := (w.driftSD*w.driftSD + w.swirlSD*w.swirlSD) / 2
	for k := range points {
		g.q = append(g.q, low(math.Exp(g.lo+float64(k)*g.step-norm)))
	}
	return g
}

// low is the chance of a low at log factor u: a cubic through the logits (a
// Catmull-Rom spline), for straight lines between them lie below their curve
// and the error would be taken to the power d.
func (g *grid) low(u float64) float64 {
	n := len(g.q)
	if n == 1 {
		return g.q[0]
	}
	at := (u - g.lo) / g.step
	k := min(n-2, max(0, int(math.Floor(at))))
	t := min(1, max(0, at-float64(k)))
	y := func(i int) float64 { return logit(g.q[min(n-1, max(0, i))]) }
	y1, y2 := y(k), y(k+1)
	m1, m2 := (y2-y(k-1))/2, (y(k+2)-y1)/2
	return 1 / (1 + math.Exp(-(y1 + t*(m1+t*(3*(y2-y1)-2*m1-m2+t*(2*(y1-y2)+m1+m2))))))
}

func logit(p float64) float64 {
	p = min(1-1e-15, max(1e-300, p))
	return math.Log(p) - math.Log1p(-p)
}

// gaussNodes is the seven-point Gauss-Hermite rule for a normal variable of
// standard deviation sd (abscissae and weights: Abramowitz & Stegun 1964, table
// 25.10, from memory; their moments are tested).
func gaussNodes(sd float64) []node {
	if sd == 0 {
		return []node{{0, 1}}
	}
	x := [...]float64{0, 0.816287882858965, 1.673551628767471, 2.651961356835233}
	w := [...]float64{0.8102646175568073, 0.4256072526101278, 0.0545155828191270, 0.0009717812450995}
	out := []node{{0, w[0] / math.Sqrt(math.Pi)}}
	for i := 1; i < len(x); i++ {
		for _, s := range []float64{-1, 1} {
			out = append(out, node{s * math.Sqrt2 * sd * x[i], w[i] / math.Sqrt(math.Pi)})
		}
	}
	return out
}

// swirl is an autoregression of lag one on a uniform grid of levels: stationary
// weights and transitions are the normal densities there, normalised (Tauchen's
// idea, 1986, with densities in place of bins).
type swirl struct {
	at []float64
	pi []float64   // stationary
	to [][]float64 // to[i][j] = P(next j | now i)
}

// still is no swirl.
func still() swirl { return swirl{at: []float64{0}, pi: []float64{1}, to: [][]float64{{1}}} }

// newSwirl reaches five standard deviations, for spells of lows live in the
// tail, in steps no wider than the spread of one move: sums of normal densities
// that far apart are right to 1e-8 (Poisson's summation formula).
func newSwirl(sd, rho float64) swirl {
	if sd == 0 {
		return still()
	}
	const reach = 5.0
	move := math.Sqrt(1 - rho*rho)
	n := max(15, 1+2*int(math.Ceil(reach/move)))
	s := swirl{}
	for k := range n {
		s.at = append(s.at, reach*sd*(2*float64(k)/float64(n-1)-1))
	}
	s.pi = densities(s.at, 0, sd)
	for _, u := range s.at {
		s.to = append(s.to, densities(s.at, rho*u, sd*move))
	}
	return s
}

// densities are normal densities at the levels, made to sum to one.
func densities(at []float64, mean, sd float64) []float64 {
	out, sum := make([]float64, len(at)), 0.0
	for k, u := range at {
		z := (u - mean) / sd
		out[k] = math.Exp(-z * z / 2)
		sum += out[k]
	}
	for k := range out {
		out[k] /= sum
	}
	return out
}

// onsets returns, for d = 1, 2, ... most, how often a sample in the long run
// completes a good sample followed by d lows.
func (g *grid) onsets(most int) []float64 {
	out := make([]float64, most)
	n := len(g.swirl.at)
	low, now, next := make([]float64, n), make([]float64, n), make([]float64, n)
	for _, d := range g.drift {
		for j, u := range g.swirl.at {
			low[j] = g.low(u + d.at)
			now[j] = g.swirl.pi[j] * (1 - low[j])
		}
		for k := range most {
			sum := 0.0
			for j := range next {
				t := 0.0
				for i, v := range now {
					t += v * g.swirl.to[i][j]
				}
				next[j] = t * low[j]
				sum += next[j]
			}
			now, next = next, now
			out[k] += d.weight * sum
			if sum < 1e-15 {
				break
			}
		}
	}
	return out
}

// delay returns the mean number of samples until d lows in a row are first
// complete, counted from a sample after which the run was still good. Swirl
// enters as a two-state chain with the same low share and the same chance of a
// low after a low; drift as quadrature: while it stays where it is when the
// wait is short against slow seconds, and as an average rate when it is long.
func (g *grid) delay(d int, slowSamples float64) float64 {
	mean, rate := 0.0, 0.0
	for _, nd := range g.drift {
		m := g.lows(nd.at).RunLength(d).Mean()
		mean += nd.weight * m
		rate += nd.weight / m
	}
	if mean > slowSamples && rate > 0 {
		return 1 / rate
	}
	return mean
}

// lows is the two-state chain of the swirl at one drift.
func (g *grid) lows(drift float64) counts.Lows {
	q, qq := 0.0, 0.0
	for i, u := range g.swirl.at {
		gi := g.low(u + drift)
		q += g.swirl.pi[i] * gi
		for j, v := range g.swirl.at {
			qq += g.swirl.pi[i] * gi * g.swirl.to[i][j] * g.low(v+drift)
		}
	}
	if q <= 0 || q >= 1 {
		return counts.Independent(min(1, max(0, q)))
	}
	return counts.Lows{AfterGood: min(1, (q-qq)/(1-q)), AfterLow: min(1, qq/q)}
}
