package walk

import (
	"math"
)

// ordered is the posterior that the walk went in plan order at all, from two
// counts. In a jumbled walk hardly any run answers in its own place: the
// number of fixed points of a random order is Poisson with mean 1. And a path
// that must rise leaves most of the clear reactions of a jumbled walk unused.
func (h *path) ordered() float64 {
	matched, own := 0.0, 0.0
	used := make([]float64, len(h.cands))
	total := h.total()
	for _, s := range h.states {
		w := math.Exp(s.alpha + s.beta - total)
		used[s.cand] += w
		if h.cands[s.cand].nats < clearReaction {
			continue
		}
		matched += w
		if h.cols[s.k] == h.cands[s.cand].col {
			own += w
		}
	}
	lgOwn, _ := math.Lgamma(own + 1)
	// In an ordered one more are likelier, in proportion.
	fixed := math.Exp(-1-lgOwn) * (matched + 1) * (matched + 1) / (2*own + 1)
	clear, stray := 0.0, 0.0
	for i, c := range h.cands {
		if c.nats >= clearReaction && !h.companion(i, used) {
			clear++
			stray += 1 - min(used[i], 1)
		}
	}
	odds := priorJumble * fixed
	if clear > 0 && stray > 2 {
		odds = max(odds, priorJumble*math.Exp(4*(stray-0.15*clear)))
	}
	return 1 / (1 + odds)
}

// companion says that a reaction comes together with one that is used: a port
// that hears two runs is no sign of disorder.
func (h *path) companion(i int, used []float64) bool {
	for j, c := range h.cands {
		if j != i && used[j] > 0.5 && math.Abs(c.atS-h.cands[i].atS) < 1 {
			return true
		}
	}
	return false
}

// findDisorder marks the runs around which a port reacts out of its turn: a
// clear reaction that the path leaves unused, of a port whose own run has none.
// Then either tubes have changed places or the person has changed the order,
// and for the runs between the two places the recording cannot tell which.
func (h *path) findDisorder(bs []belief, top []float64) {
	used := h.used()
	for i, c := range h.cands {
		k, ok := h.place[c.col]
		if c.nats < clearReaction || used[i] > 0.5 || !ok || top[k] > 0.5 || h.companion(i, used) {
			continue
		}
		lo, hi := c.atS, bs[k].atS[0]
		if lo > hi {
			lo, hi = hi, lo
		}
		for j := range bs {
			if at := bs[j].atS[0]; at > lo-h.pace.mean && at < hi+h.pace.mean {
				bs[j].disorder = true
			}
		}
	}
}

// used is, for each candidate, the probability that it answers to some run.
func (h *path) used() []float64 {
	out := make([]float64, len(h.cands))
	total := h.total()
	for _, s := range h.states {
		out[s.cand] += math.Exp(s.alpha + s.beta - total)
	}
	return out
}
