package walk

import (
	"math"
	"slices"
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
