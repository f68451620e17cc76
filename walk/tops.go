package walk

import (
	"cmp"
	"math"
	"slices"
)

const (
	faintTop = 3.0 // nats that make a place worth a look
	touchS   = 0.5 // reactions of one port may overlap by this, from rough ends
)

// reaction is one place where a port seems to react.
type reaction struct {
	col  int
	step int
	atS  float64 // start, s on the grid's axis
	endS float64
	nats float64
}

// tops are the places where the track stands above least, strongest first,
// none overlapping a stronger one.
func (t *tracker) tops(col int, tr track, least float64, s shape) []reaction {
	var above []reaction
	for a, v := range tr {
		if float64(v) >= least && isTop(tr, a) {
			above = append(above, reaction{col: col, step: a, atS: float64(a) * t.stepS, nats: float64(v)})
		}
	}
	slices.SortStableFunc(above, func(a, b reaction) int { return -cmp.Compare(a.nats, b.nats) })
	var out []reaction
	for _, r := range above {
		_, n := t.peak(col, r.step, s)
		r.endS = r.atS + float64(n)*t.stepS
		if !slices.ContainsFunc(out, r.overlaps) {
			out = append(out, r)
		}
	}
	return out
}

func (r reaction) overlaps(o reaction) bool {
	touch := min(touchS, 0.3*min(r.endS-r.atS, o.endS-o.atS))
	return r.atS < o.endS-touch && r.endS > o.atS+touch
}

func isTop(tr track, a int) bool {
	return (a == 0 || tr[a-1] < tr[a]) && (a == len(tr)-1 || tr[a+1] <= tr[a])
}

// How many reactions a port has in a whole walk that belong to no run: with
// marks, pinches that nobody noted; without, pinches done twice.
const (
	straysMarked   = 0.03
	straysUnmarked = 0.003
)

// settle makes of a track what it says of one start time against all else that
// could be true of the port, a reaction of its own at another time among it:
//
//	settled(a) = track(a) - ln(1 + rate Z),  Z = integral of exp(track) over the reaction's starts
//
// with rate [1/s] that of stray reactions. A clear reaction is then worth at
// most -ln(rate) nats to the run that claims it: if no run claims it, it is a
// stray. And a start five seconds early, from which a long pinch would cover
// the true one, is worth what it is against the true start.
func (t *tracker) settle(col int, tr track, s shape, rate float64) track {
	out := slices.Clone(tr)
	longest := s.length[len(s.length)-1]
	less := make([]float32, len(tr))
	for _, r := range t.tops(col, tr, faintTop, s) {
		lo, hi := max(0, r.step-longest), min(len(tr), t.step(r.endS))
		c := float32(logAdd(0, math.Log(rate*t.stepS)+logSum(tr[lo:hi])))
		for a := lo; a < hi; a++ {
			less[a] = max(less[a], c)
		}
	}
	for a := range out {
		out[a] -= less[a]
	}
	return out
}

func logSum(tr track) float64 {
	best := math.Inf(-1)
	for _, v := range tr {
		best = max(best, float64(v))
	}
	var sum float64
	for _, v := range tr {
		sum += math.Exp(float64(v) - best)
	}
	return best + math.Log(sum)
}

// clearReaction is the evidence, nats, that leaves no doubt in any recording:
// a thousand ports over a thousand independent stretches give one such by
// chance in three.
const clearReaction = 15
