package walk

import (
	"math"
	"slices"

	"runproof/drill"
)

// A walk without marks: the runs were pinched in the order of the plan, but
// when is not known. Which reaction answers to which run is a path through
// reactions and runs, both rising; a run that no reaction answers leaves a gap
// in time about as long as a pinch and a step take.
const (
	worthALook   = 4.0   // nats from which a reaction may be one
	worthAMove   = 4.0   // nats from which it may be that of a run planned elsewhere
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
		return 0.95
	case p.ex[c].odd:
		return 0.5
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
	emit := math.Log(prior) + c.weight
	if h.p.full.tap && h.cols[k] != c.col {
		emit += h.p.direct(c.col, c.step)
	}
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
		if c.nats < worthAMove {
			continue
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

func (h *path) total() float64 {
	total := h.atEnds(0, len(h.order)) // nothing reacts at all
	for _, s := range h.states {
		total = logAdd(total, s.alpha+h.atEnds(s.k+1, len(h.order)))
	}
	return total
}

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

// orders are the ways in which a person may take "plan order": the map as it
// stands, or one product after the other; with and without the closed runs.
func (p *prover) orders() [][]int {
	var prods []drill.ProductID
	for _, r := range p.runs {
		if !slices.Contains(prods, r.Product) {
			prods = append(prods, r.Product)
		}
	}
	seqs := [][]drill.ProductID{nil}
	if n := len(prods); n > 1 {
		seqs = append(seqs, prods)
		if n == 2 {
			seqs = append(seqs, []drill.ProductID{prods[1], prods[0]})
		}
	}
	var out [][]int
	for _, seq := range seqs {
		for _, closed := range []bool{false, true} {
			o := p.orderOf(seq, closed)
			if len(o) > 0 && !slices.ContainsFunc(out, func(x []int) bool { return slices.Equal(x, o) }) {
				out = append(out, o)
			}
		}
	}
	return out
}

func (p *prover) orderOf(seq []drill.ProductID, closed bool) []int {
	var o []int
	for i, r := range p.runs {
		if closed || !r.Closed {
			o = append(o, i)
		}
	}
	if seq != nil {
		slices.SortStableFunc(o, func(a, b int) int {
			return slices.Index(seq, p.runs[a].Product) - slices.Index(seq, p.runs[b].Product)
		})
	}
	return o
}
