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

// alongPaths is what the walk says of every run, over all orders it may have
// had and all slips in each, and the posterior that it went in plan order.
func (p *prover) alongPaths() ([]belief, float64) {
	cands := p.candidates()
	var plain ways
	for _, o := range p.orders() {
		h, ll := p.along(o.runs, p.planCols(o.runs), cands)
		plain.add(h, ll+o.logPrior)
	}
	var all ways
	for i, h := range plain.paths {
		if plain.lls[i] > slices.Max(plain.lls)-orderInReach {
			all.join(p.withSlips(h, plain.lls[i], cands))
		}
	}
	return all.blend(p)
}

// orderInReach is by how much, nats, an order may lag behind the likeliest
// before slips in it are looked for: a few swaps are worth it.
const orderInReach = 30

// ways are paths that a walk may have taken, with ln of likelihood and prior.
type ways struct {
	paths []*path
	lls   []float64
}

func (w *ways) add(h *path, ll float64) {
	w.paths, w.lls = append(w.paths, h), append(w.lls, ll)
}

func (w *ways) join(o ways) {
	w.paths, w.lls = append(w.paths, o.paths...), append(w.lls, o.lls...)
}

func (w ways) likeliest() int { return slices.Index(w.lls, slices.Max(w.lls)) }

// withSlips are the path and those with slips of a person in it.
func (p *prover) withSlips(h *path, ll float64, cands []candidate) ways {
	var w ways
	w.add(h, ll)
	for _, s := range p.slips(h) {
		g, gl := p.along(h.order, s.cols, cands)
		w.add(g, gl+ll-h.total()+s.logPrior)
	}
	for range mostSwaps {
		i := w.likeliest()
		more := p.swapped(w.paths[i], w.lls[i], cands)
		if len(more.lls) == 0 || slices.Max(more.lls) <= w.lls[i] {
			break
		}
		w.join(more)
	}
	return w
}

// blend weighs what each path says of every run of the fit by its likelihood.
func (w ways) blend(p *prover) (bs []belief, ordered float64) {
	total := math.Inf(-1)
	for _, ll := range w.lls {
		total = logAdd(total, ll)
	}
	first := w.likeliest()
	bs = p.everyRun(w.paths[first].beliefs())
	for i := range bs {
		bs[i].scale(math.Exp(w.lls[first] - total))
	}
	for j, h := range w.paths {
		odds := math.Exp(w.lls[j] - total)
		ordered += odds * h.ordered()
		if j == first || odds <= negligibleOdds {
			continue
		}
		for i, o := range p.everyRun(h.beliefs()) {
			bs[i].add(o, odds)
		}
	}
	return bs, ordered
}

// everyRun is the beliefs in the order of the fit's runs; the walk went past
// those that are not among them.
func (p *prover) everyRun(bs []belief) []belief {
	out := make([]belief, len(p.runs))
	for i := range out {
		out[i] = belief{run: i, silent: 1, assigned: -1, slot: passedBy, ports: map[int]float64{}, nats: map[int]float64{}}
	}
	for _, b := range bs {
		out[b.run] = b
	}
	return out
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
	h.findDisorder(out, top)
	for i := range out {
		out[i].assigned, _ = out[i].best()
	}
	return out
}
