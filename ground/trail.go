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

const (
	nodeM     = 0.5   // the antenna is looked at no more often than once in so many metres,
	straightM = 3.0   // and no less than in so many; between them where its way bends,
	bendSine  = 0.035 // by two degrees;
	stillM    = 0.15  // within this it stands,
	stoodNS   = 2e9   // and where it has stood so long, or turned back, it is looked at, too
	finestM   = 1.0   // longer ways are gone in steps of this where they bend
	straight  = 2 * math.Pi / 180
	holdNS    = 30e9  // fixes no farther apart than this in time,
	holdM     = 60.0  // and this in place, are joined;
	bridgeM   = 500.0 // up to here where another measure says that the way was straight
	shortM    = 3.0   // a way shorter than this before or after a sharp corner shows that the outfit stood and went back
	cornerRad = 100 * math.Pi / 180
)

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
	movedM  float64 // by the other measure since the last node
	last    Fix     // last reading of the work state
	turns   []turning
	working bool
	pose    Pose
	passes  []Pass
	thin    thinner
}

// node is a fix that the outfit is followed to.
type node struct {
	ns      int64
	leftNS  int64 // when it went on from here
	at      place
	tangent float64 // in which the antenna comes here, where known
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
	t.chain, t.from, t.far, t.queued, t.movedM = nil, n, node{}, false, 0
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

// before is the last node.
func (t *Trail) before() *node {
	if t.queued {
		return &t.to
	}
	return &t.from
}

// arrive takes a fix: it is a node once it is far enough from the last.
func (t *Trail) arrive(n node) {
	before := t.before()
	s := n.at.minus(before.at).length()
	if t.broken(s, n.ns-before.leftNS) {
		t.restart(n)
		return
	}
	if far := t.far; far.ns > 0 {
		gone, way := n.at.minus(far.at).length(), far.at.minus(before.at).length()
		switch {
		case gone < stillM:
			t.far.leftNS = n.ns
			return
		case s < way-stillM, s >= nodeM && n.ns-before.leftNS > stoodNS: // it turned back, or stood
			t.node(far)
			before, s = t.before(), gone
		}
	}
	switch {
	case s >= straightM, s >= nodeM && t.bends(*before, n):
		t.node(n)
	case s >= stillM && (t.far.ns == 0 || s > t.far.at.minus(before.at).length()):
		t.far = n
	case s < stillM:
		before.leftNS = n.ns
	}
}

// bends says whether the way to a fix leads elsewhere than the way to the last
// node did.
func (t *Trail) bends(before, n node) bool {
	if !t.queued {
		return true
	}
	a, b := before.at.minus(t.from.at), n.at.minus(before.at)
	along, aside := a.north*b.north+a.east*b.east, a.north*b.east-a.east*b.north
	return along <= 0 || math.Abs(aside) > bendSine*along
}

// node takes the next node, and the outfit to the one that waited.
func (t *Trail) node(n node) {
	before := *t.before()
	switch {
	case t.chain == nil:
		moved := n.at.minus(before.at).direction()
		t.chain = newChain(t.rig, before.at, moved)
		p, h := t.chain.drill()
		t.pose = Pose{before.ns, p.north, p.east, h}
		t.from.tangent = moved
		if t.working {
			t.open(t.pose)
		}
	case t.queued:
		t.follow(n)
	}
	t.to, t.far, t.queued, t.movedM = n, node{}, true, 0
}

// broken says whether too little is known of the way between two fixes.
func (t *Trail) broken(s float64, ns int64) bool {
	switch {
	case s <= holdM && ns <= holdNS, s < 2*nodeM: // the latter stood
		return false
	}
	onward := t.movedM > 0 && math.Abs(s-t.movedM) <= 0.05*t.movedM+2
	return !onward || s > bridgeM
}

// follow takes the outfit to the node that waited, now that the next is known.
func (t *Trail) follow(next node) {
	way, on := t.to.at.minus(t.from.at), next.at.minus(t.to.at)
	s0, s1 := way.length(), on.length()
	bend := math.Remainder(on.direction()-way.direction(), 2*math.Pi)
	if math.Abs(bend) > cornerRad && min(s0, s1) < shortM {
		t.ride(way.direction()) // it stood here and went back
		t.from, t.from.tangent = t.to, on.direction()
		return
	}
	// the tangent of the circle through the three
	tangent := way.direction() + bend*s0/(s0+s1)
	t.ride(tangent)
	t.from, t.from.tangent = t.to, tangent
}

// flush takes the outfit as far as is known.
func (t *Trail) flush() {
	if far := t.far; far.ns > 0 {
		t.node(far)
	}
	if t.queued {
		t.ride(t.to.at.minus(t.from.at).direction())
		t.queued = false
	}
}

// ride goes from one node to the waiting one: on a cubic whose tangents are
// known at both (Hermite), in steps fine enough for any bend.
func (t *Trail) ride(tangent float64) {
	a, b := t.from, t.to
	way := b.at.minus(a.at)
	s := way.length()
	steps := int(math.Ceil(s / finestM))
	if chord := way.direction(); math.Abs(math.Remainder(chord-a.tangent, 2*math.Pi))+math.Abs(math.Remainder(tangent-chord, 2*math.Pi)) < straight {
		steps = int(math.Ceil(s / straightM))
	}
	out, in := ahead(a.tangent), ahead(tangent)
	was := a.at
	if stood := t.pose; a.leftNS > stood.NS {
		stood.NS = a.leftNS
		t.advance(stood)
	}
	for k := 1; k <= steps; k++ {
		u := float64(k) / float64(steps)
		at := b.at
		if k < steps {
			at = place{}.plus(a.at, (1+2*u)*(1-u)*(1-u)).plus(out, s*u*(1-u)*(1-u)).plus(b.at, u*u*(3-2*u)).plus(in, s*u*u*(u-1))
		}
		course := a.tangent + u*math.Remainder(tangent-a.tangent, 2*math.Pi)
		if at == was {
			continue
		}
		t.chain.move(at, course)
		was = at
		p, h := t.chain.drill()
		t.advance(Pose{a.leftNS + int64(u*float64(b.ns-a.leftNS)), p.north, p.east, h})
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
