package walk

import "math"

// inOrderWalk works out a walk without marks. ordered is the posterior that it
// went in plan order at all.
func (p *prover) fromOrder() (bs []belief, ordered float64) {
	p.trace()
	h, _ := p.bestPath()
	p.full = p.learn(h.beliefs())
	p.trace()
	h, ordered = p.bestPath()
	return h.beliefs(), ordered
}

// bestPath is the likeliest way of going, worked out, and the posterior that
// the walk went in plan order.
func (p *prover) bestPath() (*path, float64) {
	cands := p.candidates()
	var best *path
	bestLL := math.Inf(-1)
	jumbled := math.Inf(-1)
	for _, o := range p.orders() {
		h := newPath(p, o, cands, pace{})
		h.pace = h.firstPace()
		h.solve()
		h.pace = h.laterPace()
		ll := h.solve()
		jumbled = max(jumbled, h.jumbled())
		if ll > bestLL+1e-9 {
			best, bestLL = h, ll
		}
	}
	return best, 1 / (1 + math.Exp(jumbled-bestLL))
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
		if nats, ok := b.nats[c.col]; !ok || w > 0.5 {
			b.nats[c.col] = max(nats, c.nats)
		}
		if w > top[s.k] {
			top[s.k], b.atS = w, []float64{c.atS}
		}
	}
	h.guessTimes(out, top)
	return out
}

// guessTimes gives runs without a likely reaction the time at which, going by
// the runs around them, they were pinched; outside the recording if so.
func (h *path) guessTimes(bs []belief, top []float64) {
	known := func(k int) bool { return top[k] > 0.5 }
	for k := range bs {
		b := &bs[k]
		if !known(k) {
			b.atS, b.slackS = []float64{h.timeOf(k, bs, known)}, max(1.5, 2*h.pace.sd)
		}
		if c := h.p.runs[b.run].col; c >= 0 {
			if _, ok := b.nats[c]; !ok {
				b.nats[c] = h.faint(b, c)
			}
		}
	}
}

// faint lets a run that seems silent be as planned after all, as far as its
// port shows a reaction too faint for a candidate, and returns the evidence.
func (h *path) faint(b *belief, col int) float64 {
	if h.p.ex[col].dead {
		return deadNats
	}
	t, tr := h.p.tr, h.p.settled[col]
	lo, hi := max(0, t.step(b.atS[0]-b.slackS)), min(len(tr), t.step(b.atS[0]+b.slackS)+1)
	if hi <= lo {
		return 0 // outside the recording
	}
	nats := min(logSum(tr[lo:hi])-math.Log(float64(hi-lo)), worthALook)
	odds := priorPlanned / h.p.silentInPath(b.run) * math.Exp(nats)
	b.ports[col] += b.silent * odds / (1 + odds)
	b.silent /= 1 + odds
	return nats
}

func (h *path) timeOf(k int, bs []belief, known func(int) bool) float64 {
	lo, hi := k, k
	for lo >= 0 && !known(lo) {
		lo--
	}
	for hi < len(bs) && !known(hi) {
		hi++
	}
	switch {
	case lo < 0 && hi == len(bs):
		return h.p.g.spanS() / 2
	case lo < 0:
		return bs[hi].atS[0] - float64(hi-k)*h.pace.mean
	case hi == len(bs):
		return bs[lo].atS[0] + float64(k-lo)*h.pace.mean
	}
	a, z := bs[lo].atS[0], bs[hi].atS[0]
	return a + (z-a)*float64(k-lo)/float64(hi-lo)
}
