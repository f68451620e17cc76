package ground

import (
	"math"

	"runproof/track"
)

// Fix is one reading of position and work state. It stands for the time since
// the reading before it, in which the work state was Work.
type Fix struct {
	FromNS, NS     int64
	LatDeg, LonDeg float64 // of the antenna at NS; NaN or 0, 0 = not known
	Work           bool    // in the ground from FromNS to NS
	MovedM         float64 // travelled from FromNS to NS by another measure than position; NaN or 0 = not known
}

// Pose is where the drill's reference point was, on the trail's plane, and which
// way the drill faced: degrees from north, clockwise, counted on through turns.
type Pose struct {
	NS          int64
	North, East float64
	HeadingDeg  float64
}

// Pass is unbroken travel in the ground, from lowering to lifting.
type Pass []Pose

// Trail takes fixes in order of time and keeps where the drill was in the
// ground: poses only where a line through those kept would be farther off than
// a few centimetres. The zero Trail is not valid; NewTrail makes one.
type Trail struct {
	rig     Rig
	plane   track.Plane
	begun   bool
	chain   *chain
	from    node    // last node that the chain has reached
	to      node    // the one behind it, which waits for its tangent
	far     node    // farthest from that since, no node yet
	queued  bool    // there is such a node
	fix     node    // the last place
	movedM  float64 // by the other measure since then
	last    Fix     // last reading of the work state
	turns   []turning
	working bool
	pose    Pose
	passes  []Pass
	thin    thinner
}

// turning is a change of the work state.
type turning struct {
	ns int64
	on bool
}

// NewTrail is an empty trail of an outfit.
func NewTrail(rig Rig) *Trail { return &Trail{rig: rig} }

// Plane is the plane on which the poses stand; its origin is the first fix.
func (t *Trail) Plane() track.Plane { return t.plane }

// Begun says whether there was a position.
func (t *Trail) Begun() bool { return t.begun }

// Passes are the passes so far; Close ends the last.
func (t *Trail) Passes() []Pass { return t.passes }

// Add takes the next fix.
func (t *Trail) Add(f Fix) {
	changed := f.Work != t.last.Work
	if changed {
		t.turns = append(t.turns, turning{f.FromNS, f.Work})
	}
	t.last = f
	if f.MovedM == f.MovedM {
		t.movedM += f.MovedM
	}
	if !(math.Abs(f.LatDeg) <= 90 && math.Abs(f.LonDeg) <= 360) || f.LatDeg == 0 && f.LonDeg == 0 {
		return
	}
	if !t.begun {
		t.plane, t.begun = track.At(f.LatDeg, f.LonDeg), true
		n, e := t.plane.ToLocal(f.LatDeg, f.LonDeg)
		t.restart(node{ns: f.NS, leftNS: f.NS, at: place{n, e}})
		return
	}
	n, e := t.plane.ToLocal(f.LatDeg, f.LonDeg)
	t.arrive(node{ns: f.NS, leftNS: f.NS, at: place{n, e}})
}

// restart begins anew at a node: nothing is known of what lies before it.
func (t *Trail) restart(n node) {
	t.flush()
	t.end(t.pose)
	t.chain, t.from, t.far, t.fix, t.queued, t.movedM = nil, n, node{}, n, false, 0
	t.pose = Pose{NS: n.ns}
	t.drop(n.ns)
}

// drop forgets changes of the work state up to a time, and keeps the last.
func (t *Trail) drop(ns int64) {
	for len(t.turns) > 0 && t.turns[0].ns <= ns {
		t.working = t.turns[0].on
		t.turns = t.turns[1:]
	}
}

// advance goes on to a pose, and begins and ends passes on the way.
func (t *Trail) advance(p Pose) {
	for len(t.turns) > 0 && t.turns[0].ns <= p.NS {
		c := t.turns[0]
		t.turns = t.turns[1:]
		at := blend(t.pose, p, c.ns)
		if c.on && !t.working {
			t.working = true
			t.open(at)
		} else if !c.on && t.working {
			t.end(at)
			t.working = false
		}
	}
	if t.working {
		t.extend(p)
	}
	t.pose = p
}

func (t *Trail) open(p Pose) {
	t.passes = append(t.passes, Pass{p})
	t.thin = startThin(p)
}

// extend takes a pose of the open pass, of which the thinner may keep the one
// before.
func (t *Trail) extend(p Pose) {
	if kept, ok := t.thin.add(p); ok {
		t.passes[len(t.passes)-1] = append(t.passes[len(t.passes)-1], kept)
	}
}

// end closes the open pass at a pose; a pass without length is none.
func (t *Trail) end(p Pose) {
	if !t.working || len(t.passes) == 0 || t.chain == nil {
		return
	}
	t.extend(p)
	k := len(t.passes) - 1
	if last := t.thin.last; last.NS > t.passes[k][len(t.passes[k])-1].NS {
		t.passes[k] = append(t.passes[k], last)
	}
	if len(t.passes[k]) < 2 {
		t.passes = t.passes[:k]
	}
}

// Close takes the outfit to the last fix and ends the open pass.
func (t *Trail) Close() {
	t.flush()
	t.end(t.pose)
	t.working = false
}
