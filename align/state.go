package align

import (
	"math"
	"slices"
)

// works is the flow log as evidence: samples with their middle times, seconds
// from its first sample, and when it sowed.
type works struct {
	mid   []float64 // middle of each sample
	end   []float64
	rate  []float64 // particles per second; NaN where not known
	on    []bool    // flow runs
	pass  [][2]int  // stretches of samples in which flow runs, settled
	level float64   // usual particles per second
}

// onPart is the part of the usual flow from which it runs.
const onPart = 0.35

func newWorks(s *series) *works {
	w := &works{mid: make([]float64, len(s.ns)), end: make([]float64, len(s.ns)), rate: filled(len(s.ns)), on: make([]bool, len(s.ns))}
	limit := s.medNS + s.medNS/2 // counts after a gap may be of the gap, too, or not
	for i, ns := range s.ns {
		w.end[i] = float64(ns-s.ns[0]) / 1e9
		d := s.medNS
		if i > 0 {
			d = ns - s.ns[i-1]
		}
		w.mid[i] = w.end[i] - float64(d)/2e9
		if i > 0 && d <= limit {
			w.rate[i] = s.flow[i] / (float64(d) / 1e9)
		}
	}
	w.level = usual(w.rate)
	w.settle(s)
	return w
}

// usual is the flow when it runs: the median of what is above a third of the
// nine-tenths quantile.
func usual(rate []float64) float64 {
	var v []float64
	for _, r := range rate {
		if r == r {
			v = append(v, r)
		}
	}
	if len(v) == 0 {
		return 0
	}
	slices.Sort(v)
	limit := v[len(v)*9/10] / 3
	at, _ := slices.BinarySearch(v, limit)
	return v[at+(len(v)-at)/2]
}

// settle finds when flow runs: smoothed over a second, above onPart of the usual;
// passes leave out settleS at either end, when openers fill and empty.
func (w *works) settle(s *series) {
	const settleS = 2.0
	k := max(0, int(math.Round(0.4/s.intervalS())))
	first := -1
	for i := range w.rate {
		sum, n := 0.0, 0.0
		for j := max(0, i-k); j <= min(len(w.rate)-1, i+k); j++ {
			if w.rate[j] == w.rate[j] {
				sum += w.rate[j]
				n++
			}
		}
		if n == 0 {
			w.on[i] = i > 0 && w.on[i-1]
		} else {
			w.on[i] = w.level > 0 && sum/n > onPart*w.level
		}
		switch {
		case w.on[i] && first < 0:
			first = i
		case !w.on[i] && first >= 0:
			w.addPass(first, i, settleS)
			first = -1
		}
	}
	if first >= 0 {
		w.addPass(first, len(w.rate), settleS)
	}
}

func (w *works) addPass(from, to int, settleS float64) {
	a, b := from, to
	for a < b && w.end[a] < w.end[from]+settleS {
		a++
	}
	for b > a && w.end[b-1] > w.end[to-1]-settleS {
		b--
	}
	if b-a >= 10 {
		w.pass = append(w.pass, [2]int{a, b})
	}
}

// stretches cuts passes into pieces of at most lengthS.
func (w *works) stretches(lengthS float64) [][2]int { return w.cut(w.pass, lengthS) }

func (w *works) cut(passes [][2]int, lengthS float64) [][2]int {
	var out [][2]int
	for _, p := range passes {
		pieces := int(math.Ceil((w.end[p[1]-1] - w.end[p[0]]) / lengthS))
		for k := range max(1, pieces) {
			a := p[0] + (p[1]-p[0])*k/max(1, pieces)
			b := p[0] + (p[1]-p[0])*(k+1)/max(1, pieces)
			out = append(out, [2]int{a, b})
		}
	}
	return out
}

// edge is a change of a state.
type edge struct {
	s    float64
	up   bool
	half float64 // it lies within that of s
}

// edgesOf finds the changes of a reported state; each lies in the middle between
// the two samples that differ.
func edgesOf(end []float64, state []float64, most float64) []edge {
	var out []edge
	last := -1
	for i, v := range state {
		if v != v {
			continue
		}
		if last >= 0 && v != state[last] && end[i]-end[last] <= most {
			out = append(out, edge{(end[i] + end[last]) / 2, v > state[last], (end[i] - end[last]) / 2})
		}
		last = i
	}
	return settled(out)
}

// settled leaves out states that last less than 3 s: a switch that bounces.
func settled(edges []edge) []edge {
	const leastS = 3.0
	var out []edge
	for _, e := range edges {
		if n := len(out); n > 0 && e.s-out[n-1].s < leastS {
			out = out[:n-1]
			continue
		}
		out = append(out, e)
	}
	return out
}

// flowEdges are when flow passes half its level, between samples.
func (w *works) flowEdges() []edge {
	var out []edge
	half := w.level / 2
	k := 0
	for i := 1; i < len(w.on); i++ {
		if w.on[i] == w.on[i-1] {
			continue
		}
		// the crossing lies within a second of where the smoothed flow changed
		for k = max(1, i-8); k < min(len(w.rate), i+8); k++ {
			a, b := w.rate[k-1], w.rate[k]
			if w.on[i] && a < half && b >= half || !w.on[i] && a >= half && b < half {
				out = append(out, edge{w.mid[k-1] + (w.mid[k]-w.mid[k-1])*(half-a)/(b-a), w.on[i], 0})
				break
			}
		}
	}
	return settled(out)
}
