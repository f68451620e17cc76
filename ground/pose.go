package ground

import (
	"math"
	"sort"

	"runproof/track"
)

// blend is the pose between two at a time, or the nearer end.
func blend(p, q Pose, ns int64) Pose {
	if ns <= p.NS || q.NS <= p.NS {
		return p
	}
	if ns >= q.NS {
		return q
	}
	w := float64(ns-p.NS) / float64(q.NS-p.NS)
	return Pose{ns, p.North + w*(q.North-p.North), p.East + w*(q.East-p.East), p.HeadingDeg + w*(q.HeadingDeg-p.HeadingDeg)}
}

// Point is where a point of the drill is, metres forward and right of its
// reference point.
func (p Pose) Point(forward, right float64) (north, east float64) {
	n, e := track.Turned(p.HeadingDeg, forward, right)
	return p.North + n, p.East + e
}

// Between is the part of a pass from a time to another; nothing where it has
// none.
func (p Pass) Between(fromNS, toNS int64) Pass {
	if len(p) < 2 || p[len(p)-1].NS <= fromNS || p[0].NS >= toNS || toNS <= fromNS {
		return nil
	}
	first := sort.Search(len(p), func(i int) bool { return p[i].NS > fromNS })
	end := sort.Search(len(p), func(i int) bool { return p[i].NS >= toNS })
	out := make(Pass, 0, end-first+2)
	if first > 0 {
		out = append(out, blend(p[first-1], p[first], fromNS))
	}
	out = append(out, p[first:end]...)
	if end < len(p) {
		out = append(out, blend(p[end-1], p[end], toNS))
	}
	return out
}

// between cuts the passes, which are in order of time.
func between(passes []Pass, fromNS, toNS int64) []Pass {
	k := sort.Search(len(passes), func(i int) bool { return passes[i][len(passes[i])-1].NS > fromNS })
	var out []Pass
	for ; k < len(passes) && passes[k][0].NS < toNS; k++ {
		if cut := passes[k].Between(fromNS, toNS); len(cut) > 1 {
			out = append(out, cut)
		}
	}
	return out
}

// How far off what is left out may be.
const (
	thinM   = 0.05
	thinDeg = 0.5
)

// thinner leaves out poses that lie on the line between those kept, in place
// and time: as long as one slope of north, east and heading over time serves
// all poses since the last one kept (the swinging door of process recorders,
// after Bristol 1990, with a door for each).
type thinner struct {
	from, last Pose
	low, high  [3]float64
}

func startThin(p Pose) thinner {
	t := thinner{from: p, last: p}
	for k := range t.low {
		t.low[k], t.high[k] = math.Inf(-1), math.Inf(1)
	}
	return t
}

// add takes the next pose and says which must be kept, if one must.
func (t *thinner) add(p Pose) (kept Pose, keep bool) {
	dt := float64(p.NS - t.from.NS)
	if dt <= 0 {
		return kept, false
	}
	if !t.fits(p, dt) {
		kept, keep = t.last, true
		*t = startThin(kept)
		if dt = float64(p.NS - t.from.NS); dt <= 0 {
			return kept, keep
		}
	}
	for k, d := range t.off(p) {
		tol := thinM
		if k == 2 {
			tol = thinDeg
		}
		t.low[k], t.high[k] = max(t.low[k], (d-tol)/dt), min(t.high[k], (d+tol)/dt)
	}
	t.last = p
	return kept, keep
}

func (t *thinner) off(p Pose) [3]float64 {
	return [3]float64{p.North - t.from.North, p.East - t.from.East, p.HeadingDeg - t.from.HeadingDeg}
}

func (t *thinner) fits(p Pose, dt float64) bool {
	for k, d := range t.off(p) {
		if s := d / dt; s < t.low[k] || s > t.high[k] {
			return false
		}
	}
	return true
}
