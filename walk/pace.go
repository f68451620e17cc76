package walk

import (
	"math"
	"slices"
)

// pace is how the walk goes on: seconds from one pinch to the next.
type pace struct{ mean, sd float64 }

// density is the probability density [1/s] of the time from one pinch to the
// k-th after it.
func (p pace) density(s float64, k int) float64 {
	n := float64(k)
	if s < shortestGapS {
		return 0
	}
	mean, sd := n*p.mean, math.Sqrt(n)*p.sd
	z := (s - mean) / sd
	d := math.Pow(1-pausePart, n) * math.Exp(-z*z/2) / (sd * math.Sqrt(2*math.Pi))
	// A pause comes on top of nearly the usual time; a hurried step is as rare.
	paused := 1 - math.Pow(1-pausePart, n)
	if late := s - max(shortestGapS, mean-2*sd); late > 0 {
		d += 0.9 * paused * math.Exp(-late/pauseS) / pauseS
	}
	return d + 0.1*paused*math.Exp(-s/(mean+pauseS))/(mean+pauseS)
}

// firstPace guesses the pace from the clear reactions of ports that the plan
// has one after the other.
func (h *path) firstPace() pace {
	var steps, any []float64
	last := -1
	for i, c := range h.cands {
		if c.nats < clearReaction {
			continue
		}
		if last >= 0 {
			d := c.atS - h.cands[last].atS
			a, ok := h.place[h.cands[last].col]
			b, ok2 := h.place[c.col]
			if d >= shortestGapS {
				any = append(any, d)
				if ok && ok2 && b == a+1 {
					steps = append(steps, d)
				}
			}
		}
		last = i
	}
	if len(steps) < 3 {
		steps = any
	}
	return paceOf(steps)
}

// paceOf is the median and the spread (from the median deviation) of steps.
func paceOf(steps []float64) pace {
	if len(steps) < 3 {
		return pace{mean: 8, sd: 4}
	}
	mean := quantile(steps, 0.5)
	dev := make([]float64, len(steps))
	for i, s := range steps {
		dev[i] = math.Abs(s - mean)
	}
	few := 1 + 3/float64(len(steps)) // a few steps promise too little spread
	return pace{mean: mean, sd: max(1.4826*quantile(dev, 0.5)*few, 0.1*mean, 0.5)}
}

// laterPace measures it on the likeliest path.
func (h *path) laterPace() pace {
	var steps []float64
	as := h.likely()
	for i := 1; i < len(as); i++ {
		if as[i].k == as[i-1].k+1 {
			steps = append(steps, h.cands[as[i].cand].atS-h.cands[as[i-1].cand].atS)
		}
	}
	if len(steps) < 3 {
		return h.pace
	}
	return paceOf(steps)
}

// likely are the states that are likelier than not, in order of time.
func (h *path) likely() []anchor {
	out := h.anchors()
	slices.SortFunc(out, func(a, b anchor) int { return a.cand - b.cand })
	return out
}

const (
	leastGap   = -700 // ln of a density that is none
	unknownGap = 1    // no ln of a density of steps: they spread over more than a second
)

// setPace forgets the densities of another pace.
func (h *path) setPace(p pace) {
	h.pace = p
	farthest := h.p.tr.step(min(float64(farthestSkip)*p.mean+5*pauseS, h.p.g.spanS())) + 2
	h.gaps = make([][]float64, farthestSkip+1)
	h.gaps[0] = make([]float64, farthest)
}

// gap is ln of the density of a time of d steps from one pinch to the n-th
// after it. Each is worked out once.
func (h *path) gap(n, d int) float64 {
	if h.gaps[n] == nil {
		h.gaps[n] = make([]float64, len(h.gaps[0]))
		for i := range h.gaps[n] {
			h.gaps[n][i] = unknownGap
		}
	}
	f := h.gaps[n][d]
	if f == unknownGap {
		f = max(leastGap, math.Log(h.pace.density(float64(d)*h.p.tr.stepS, n)))
		h.gaps[n][d] = f
	}
	return f
}
