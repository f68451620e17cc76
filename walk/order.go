package walk

import (
	"math"
	"slices"
)

// A walk without marks: the runs were pinched in the order of the plan, but
// when is not known. Which reaction answers to which run is a path through
// reactions and runs, both rising; a run that no reaction answers leaves a gap
// in time about as long as a pinch and a step take.
const (
	worthALook   = 4.0   // nats from which a reaction may be one
	shortestGapS = 2.0   // between the starts of two pinches
	pausePart    = 0.05  // part of the steps at which the person stops to talk
	pauseS       = 40.0  // for so long on average
	farthestSkip = 64    // runs in a row that may all be silent
	priorCutOff  = 0.02  // the walk begins late or ends early
	priorJumble  = 0.005 // the walk did not go in plan order at all
	anchorsOff   = 3     // neighbouring anchors that may be wrong
	rankOff      = 4     // reactions more or less that may be missing before a place
)

// candidate is a reaction that may answer to a run: its weight is ln of the
// evidence times seconds, so that a density of time [1/s] makes it a number.
type candidate struct {
	reaction
	weight float64
}

// candidates are all reactions worth a look, in order of time.
func (p *prover) candidates() []candidate {
	byPort := make([][]candidate, len(p.tracks))
	parallel(len(p.tracks), func(col int) {
		for _, r := range p.tr.tops(col, p.tracks[col], worthALook, p.full) {
			reach := p.tr.step(1)
			near := p.settled[col][max(0, r.step-reach):min(len(p.settled[col]), r.step+reach+1)]
			byPort[col] = append(byPort[col], candidate{r, logSum(near) + math.Log(p.tr.stepS)})
		}
	})
	out := slices.Concat(byPort...)
	slices.SortStableFunc(out, func(a, b candidate) int { return a.step - b.step })
	return out
}

// path is one way of going: the runs in order, and what is believed of each.
type path struct {
	p     *prover
	order []int // index into the prover's runs
	cols  []int // the port that each run of the order should have
	place map[int]int
	cands []candidate
	pace  pace
	gaps  [][]float64 // ln densities of times between pinches, see gap
	// skip[k] is the sum of ln P(silent) of the first k runs of the order.
	skip   []float64
	states []state
	byCand [][]int // states of each candidate
}

// state says that the candidate answers to the k-th run of the order.
type state struct {
	cand, k     int
	emit        float64 // ln prior of the port for that run, plus the candidate's weight
	alpha, beta float64
}

// newPath is a path on which every run of the order should have the port of
// cols (-1: none that is recorded).
func newPath(p *prover, order, cols []int, cands []candidate) *path {
	h := &path{p: p, order: order, cols: cols, place: map[int]int{}, cands: cands, skip: make([]float64, len(order)+1)}
	for k, c := range cols {
		if c >= 0 {
			h.place[c] = k
		}
		h.skip[k+1] = h.skip[k] + math.Log(p.silentInPath(c))
	}
	return h
}

// silentInPath is the prior probability that no port answers to a run that
// should have the port.
func (p *prover) silentInPath(c int) float64 {
	switch {
	case c < 0 || p.ex[c].dead:
		return priorSilentDead
	case p.ex[c].odd:
		return priorSilentOdd
	}
	return priorSilent
}

// silentFrom is ln of the probability that runs lo to hi of the order, hi not
// included, stay silent.
func (h *path) silentFrom(lo, hi int) float64 { return h.skip[hi] - h.skip[lo] }

// atEnds is silentFrom for the runs before the first or after the last that
// reacts: they may not have been walked at all.
func (h *path) atEnds(lo, hi int) float64 {
	if lo == hi {
		return 0
	}
	return max(h.silentFrom(lo, hi), math.Log(priorCutOff))
}

// solve finds the posterior of every state; the returned value is ln of the
// likelihood of all that the recording shows.
func (h *path) solve() float64 {
	h.plannedStates()
	h.run()
	h.otherStates(h.anchors())
	return h.run()
}

func (h *path) add(cand, k int) {
	c := h.cands[cand]
	prior := priorMoved * h.p.place(h.order[k], c.col)
	if h.cols[k] == c.col {
		prior = priorPlanned
	}
	emit := c.weight
	if h.p.full.tap {
		emit = h.p.directly(h.order[k], c.col, c.step, emit)
	}
	emit += math.Log(prior)
	h.byCand[cand] = append(h.byCand[cand], len(h.states))
	h.states = append(h.states, state{cand: cand, k: k, emit: emit})
}

func (h *path) plannedStates() {
	h.states, h.byCand = nil, make([][]int, len(h.cands))
	for i, c := range h.cands {
		if k, ok := h.place[c.col]; ok {
			h.add(i, k)
		}
	}
}

// anchor is a candidate that answers to its planned run on the likeliest path.
type anchor struct{ cand, k int }

func (h *path) anchors() []anchor {
	var out []anchor
	total := h.total()
	for _, s := range h.states {
		if s.alpha+s.beta-total > math.Log(0.5) {
			out = append(out, anchor{s.cand, s.k})
		}
	}
	return out
}

// otherStates adds, for each candidate that is clear enough, the runs that it
// may answer to besides its planned one: those between the anchors around it,
// and those about as far on in the order as it is among the clear reactions.
func (h *path) otherStates(as []anchor) {
	rank, clear := 0, 0
	for _, c := range h.cands {
		if c.nats >= clearReaction {
			clear++
		}
	}
	for i, c := range h.cands {
		if c.nats >= clearReaction {
			rank++
		}
		lo, hi := h.between(as, i)
		near := rank - 1
		far := rank - 1 + len(h.order) - clear
		lo, hi = min(lo, near-rankOff, far-rankOff), max(hi, near+rankOff, far+rankOff)
		for k := max(lo, 0); k < min(hi, len(h.order)); k++ {
			if own, ok := h.place[c.col]; !ok || own != k {
				h.add(i, k)
			}
		}
	}
}

// between are the runs between the anchors around candidate i, a few anchors
// on either side taken for wrong.
func (h *path) between(as []anchor, i int) (lo, hi int) {
	after, _ := slices.BinarySearchFunc(as, i, func(a anchor, i int) int { return a.cand - i })
	hi = len(h.order)
	if j := after - anchorsOff; j >= 0 {
		lo = as[j].k
	}
	if j := after + anchorsOff; j < len(as) {
		hi = as[j].k + 1
	}
	return lo, hi
}

// run sums over all paths through the states, forward and backward.
func (h *path) run() float64 {
	start := -math.Log(h.p.g.spanS())
	for i := range h.cands {
		for _, s := range h.byCand[i] {
			st := &h.states[s]
			st.alpha = start + h.atEnds(0, st.k)
			h.before(i, func(q int, logF float64) { st.alpha = logAdd(st.alpha, h.states[q].alpha+logF) }, st.k)
			st.alpha += st.emit
		}
	}
	for i := range h.states {
		h.states[i].beta = h.atEnds(h.states[i].k+1, len(h.order))
	}
	for i := len(h.cands) - 1; i >= 0; i-- {
		for _, s := range h.byCand[i] {
			st := h.states[s]
			h.before(i, func(q int, logF float64) {
				h.states[q].beta = logAdd(h.states[q].beta, logF+st.emit+st.beta)
			}, st.k)
		}
	}
	return h.total()
}

// before visits every state from which the path may come to candidate i as
// run k, with ln of the density of the time between and of the silence of the
// runs skipped.
func (h *path) before(i int, visit func(q int, logF float64), k int) {
	for j := i - 1; j >= 0; j-- {
		d := h.cands[i].step - h.cands[j].step
		if d >= len(h.gaps[0]) {
			return
		}
		for _, q := range h.byCand[j] {
			if n := k - h.states[q].k; n > 0 && n <= farthestSkip {
				if f := h.gap(n, d); f > leastGap {
					visit(q, f+h.silentFrom(h.states[q].k+1, k))
				}
			}
		}
	}
}

func (h *path) total() float64 {
	total := h.atEnds(0, len(h.order)) // nothing reacts at all
	for _, s := range h.states {
		total = logAdd(total, s.alpha+h.atEnds(s.k+1, len(h.order)))
	}
	return total
}
