package walk

import (
	"maps"
	"math"
	"slices"

	"runproof/fit"
)

// fromOrder works out a walk without marks. ordered is the posterior that it
// went in plan order at all.
func (p *prover) fromOrder() (bs []belief, ordered float64) {
	p.trace()
	bs, _ = p.alongPaths()
	p.full = p.learn(bs)
	p.trace()
	return p.alongPaths()
}

// alongPaths is what the likeliest order of the walk says of the runs, and the
// posterior that it went in plan order.
func (p *prover) alongPaths() ([]belief, float64) {
	cands := p.candidates()
	var best *path
	bestLL := math.Inf(-1)
	for _, o := range p.orders() {
		if h, ll := p.along(o, p.planCols(o), cands); ll > bestLL+1e-9 {
			best, bestLL = h, ll
		}
	}
	paths, lls := []*path{best}, []float64{bestLL}
	for _, s := range p.slips(best) {
		h, ll := p.along(best.order, s.cols, cands)
		paths, lls = append(paths, h), append(lls, ll+s.logPrior)
	}
	for range mostSwaps {
		i := slices.Index(lls, slices.Max(lls))
		more, moreLL := p.swapped(paths[i], lls[i], cands)
		if len(more) == 0 || slices.Max(moreLL) <= lls[i] {
			break
		}
		paths, lls = append(paths, more...), append(lls, moreLL...)
	}
	return blend(paths, lls)
}

// A path pays for every moved run alone. Two runs that have changed places are
// one slip, though, and paid for once: mostSwaps of them are tried, among the
// answers that have at least the posterior worthASwap.
const (
	mostSwaps  = 6
	worthASwap = 0.02
)

// swapped are the paths with two more runs in each other's place, with their
// ln likelihoods and priors.
func (p *prover) swapped(h *path, ll float64, cands []candidate) (paths []*path, lls []float64) {
	total := h.total()
	for _, s := range h.swaps() {
		cols := slices.Clone(h.cols)
		cols[s[0]], cols[s[1]] = cols[s[1]], cols[s[0]]
		g, gl := p.along(h.order, cols, cands)
		paths = append(paths, g)
		lls = append(lls, gl+ll-total+math.Log(priorMoved*p.place(h.order[s[0]], h.cols[s[1]])))
	}
	return paths, lls
}

// swaps are pairs of runs, as places in the order, that may have changed
// places: some clear reaction answers to the one at the other's port.
func (h *path) swaps() [][2]int {
	var out [][2]int
	total := h.total()
	for _, s := range h.states {
		c := h.cands[s.cand]
		other, ok := h.place[c.col]
		if !ok || other == s.k || c.nats < clearReaction || s.alpha+s.beta-total < math.Log(worthASwap) {
			continue
		}
		pair := [2]int{min(s.k, other), max(s.k, other)}
		if h.cols[pair[0]] >= 0 && h.cols[pair[1]] >= 0 && !slices.Contains(out, pair) && len(out) < 4*mostSwaps {
			out = append(out, pair)
		}
	}
	return out
}

// blend weighs what each path says of the runs by its likelihood.
func blend(paths []*path, lls []float64) (bs []belief, ordered float64) {
	total := math.Inf(-1)
	for _, ll := range lls {
		total = logAdd(total, ll)
	}
	likeliest := slices.Index(lls, slices.Max(lls))
	bs = paths[likeliest].beliefs()
	for j, h := range paths {
		w := math.Exp(lls[j] - total)
		ordered += w * h.ordered()
		if j == likeliest {
			for i := range bs {
				bs[i].scale(w)
			}
		}
	}
	for j, h := range paths {
		if w := math.Exp(lls[j] - total); j != likeliest && w > negligibleOdds {
			for i, o := range h.beliefs() {
				bs[i].add(o, w)
			}
		}
	}
	return bs, ordered
}

func (p *prover) planCols(order []int) []int {
	cols := make([]int, len(order))
	for k, run := range order {
		cols[k] = p.runs[run].col
	}
	return cols
}

// slips are the ways in which one slip of a person puts many tubes in other
// places: all tubes of a drill with a single node are one port on; or two
// nodes have changed places, of those that the path leaves most to explain.
func (p *prover) slips(h *path) []pattern {
	plan := p.planCols(h.order)
	if p.oneNode() {
		var out []pattern
		for _, d := range []int{-1, 1} {
			if p.mayShift(plan, d) {
				out = append(out, pattern{shifted(plan, inOrder(len(plan)), d), math.Log(priorPatternNode)})
			}
		}
		return out
	}
	var out []pattern
	odd := h.oddNodes()
	for i, a := range odd {
		for _, b := range odd[:i] {
			out = append(out, pattern{p.exchanged(plan, a, b), math.Log(priorNodeSwap)})
		}
	}
	return out
}

const (
	priorNodeSwap = 1e-3 // two given nodes have changed places
	mostOddNodes  = 4
)

// oddNodes are the nodes most of whose clear reactions the path cannot use in
// their own place, worst first.
func (h *path) oddNodes() []string {
	total := h.total()
	own, all := map[string]float64{}, map[string]float64{}
	for _, c := range h.cands {
		if c.nats >= clearReaction {
			all[h.p.g.ports[c.col].Node]++
		}
	}
	for _, s := range h.states {
		if c := h.cands[s.cand]; c.nats >= clearReaction && h.cols[s.k] == c.col {
			own[h.p.g.ports[c.col].Node] += math.Exp(s.alpha + s.beta - total)
		}
	}
	var odd []string
	for _, n := range slices.Sorted(maps.Keys(all)) {
		if own[n] < 0.5*all[n] {
			odd = append(odd, n)
		}
	}
	slices.SortStableFunc(odd, func(a, b string) int { return cmpFloat(own[a]-all[a], own[b]-all[b]) })
	if len(odd) == 1 { // its partner may look right
		for _, n := range slices.Sorted(maps.Keys(all)) {
			if n != odd[0] && len(odd) < mostOddNodes {
				odd = append(odd, n)
			}
		}
	}
	return odd[:min(len(odd), mostOddNodes)]
}

// exchanged gives the runs of two nodes each other's ports, number by number.
func (p *prover) exchanged(plan []int, a, b string) []int {
	at := map[fit.PortRef]int{}
	for i, r := range p.g.ports {
		at[r] = i
	}
	other := map[string]string{a: b, b: a}
	out := slices.Clone(plan)
	for k, c := range plan {
		if c < 0 {
			continue
		}
		r := p.g.ports[c]
		if n, ok := other[r.Node]; ok {
			out[k] = -1
			if to, ok := at[fit.PortRef{Node: n, Port: r.Port}]; ok {
				out[k] = to
			}
		}
	}
	return out
}

// along works out one path.
func (p *prover) along(order, cols []int, cands []candidate) (*path, float64) {
	h := newPath(p, order, cols, cands)
	h.setPace(h.firstPace())
	h.solve()
	h.setPace(h.laterPace())
	ll := h.solve()
	return h, ll
}

// beliefs are what the path says of every run of its order.
func (h *path) beliefs() []belief {
	out := make([]belief, len(h.order))
	top := make([]float64, len(h.order))
	for k, run := range h.order {
		out[k] = belief{run: run, ports: map[int]float64{}, nats: map[int]float64{}, silent: 1, slackS: 0.75}
	}
	total := h.total()
	for _, s := range h.states {
		c := h.cands[s.cand]
		w := math.Exp(s.alpha + s.beta - total)
		b := &out[s.k]
		b.ports[c.col] += w
		b.silent = max(0, b.silent-w)
		if w > 1e-3 {
			b.nats[c.col] = max(b.nats[c.col], c.nats)
		}
		if w > top[s.k] {
			top[s.k], b.atS = w, []float64{c.atS}
		}
	}
	h.guessTimes(out, top)
	for i := range out {
		out[i].assigned, _ = out[i].best()
	}
	return out
}

// guessTimes gives runs without a likely reaction the time at which, going by
// the runs around them, they were pinched; outside the recording if so.
func (h *path) guessTimes(bs []belief, top []float64) {
	known := func(k int) bool { return top[k] > 0.5 }
	claimed := map[int]int{}
	for _, b := range bs {
		if c, prob := b.best(); prob > 0.9 {
			claimed[c] = b.run
		}
	}
	for k := range bs {
		b := &bs[k]
		if !known(k) {
			at, each := h.timeOf(k, bs, known)
			b.atS, b.slackS = []float64{at}, max(1.5, 2*h.pace.sd)
			b.slot = h.slotOf(at, each)
		}
		if c := h.p.runs[b.run].col; c >= 0 {
			if _, ok := b.nats[c]; !ok || !known(k) {
				b.nats[c] = max(b.nats[c], h.faint(b, c, claimed))
			}
		}
	}
}

// faint lets a run that seems silent have reacted after all, as far as a port
// shows a reaction too faint for a candidate: its planned port, or where that
// answers to another run, one that answers to none. It returns the evidence
// for the planned port.
func (h *path) faint(b *belief, col int, claimed map[int]int) float64 {
	nats := h.around(b, col)
	type way struct {
		col  int
		odds float64
	}
	var ways []way
	if by, ok := claimed[col]; !ok || by == b.run {
		ways = []way{{col, priorPlanned / h.p.silentInPath(col) * math.Exp(nats)}}
	} else {
		for q := range h.p.tracks {
			if _, ok := claimed[q]; !ok && !h.p.ex[q].dead {
				e := h.around(b, q)
				b.nats[q] = max(b.nats[q], e)
				ways = append(ways, way{q, priorDisplaced / priorSilent * math.Exp(e)})
			}
		}
		for i := range ways {
			ways[i].odds /= float64(len(ways))
		}
	}
	total := 1.0
	for _, w := range ways {
		total += w.odds
	}
	for _, w := range ways {
		b.ports[w.col] += b.silent * w.odds / total
	}
	b.silent /= total
	return nats
}

// around is the evidence that the port reacted about the time the run was
// pinched, when that is only guessed.
func (h *path) around(b *belief, col int) float64 {
	if h.p.ex[col].dead {
		return deadNats
	}
	t, tr := h.p.tr, h.p.settled[col]
	lo, hi := max(0, t.step(b.atS[0]-b.slackS)), min(len(tr), t.step(b.atS[0]+b.slackS)+1)
	if hi <= lo {
		return 0 // outside the recording
	}
	return min(logSum(tr[lo:hi])-math.Log(float64(hi-lo)), worthALook)
}

// hurried is the part of the usual step below which a run cannot have had its
// turn.
const hurried = 0.65

func (h *path) slotOf(atS, eachS float64) slot {
	switch {
	case atS < 0 || atS+lookS > h.p.g.spanS():
		return beyond
	case eachS < hurried*h.pace.mean:
		return noTime
	}
	return hadTurn
}

// timeOf guesses when the k-th run was pinched, and how much time each run had
// around there.
func (h *path) timeOf(k int, bs []belief, known func(int) bool) (atS, eachS float64) {
	lo, hi := k, k
	for lo >= 0 && !known(lo) {
		lo--
	}
	for hi < len(bs) && !known(hi) {
		hi++
	}
	switch {
	case lo < 0 && hi == len(bs):
		return h.p.g.spanS() / 2, h.pace.mean
	case lo < 0:
		return bs[hi].atS[0] - float64(hi-k)*h.pace.mean, h.pace.mean
	case hi == len(bs):
		return bs[lo].atS[0] + float64(k-lo)*h.pace.mean, h.pace.mean
	}
	a, z := bs[lo].atS[0], bs[hi].atS[0]
	each := (z - a) / float64(hi-lo)
	return a + each*float64(k-lo), each
}
