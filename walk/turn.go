package walk

import (
	"math"
)

// slot says whether a run that no reaction answers had its turn in a walk
// without marks. The zero value: it had.
type slot int

const (
	hadTurn  slot = iota
	noTime        // its neighbours followed one another too soon
	beyond        // the recording begins after or ends before its turn
	passedBy      // the walk had no turn for it
)

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
