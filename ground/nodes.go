package ground

import "math"

const (
	nodeM             = 0.5   // the antenna is looked at no more often than once in so many metres,
	straightM         = 4.0   // and no less than in so many; between them where its way bends,
	bendSine          = 0.035 // by two degrees;
	stillM            = 0.15  // within this it stands,
	stoodNS           = 2e9   // and where it has stood so long, or turned back, it is looked at, too
	finestM           = 1.0   // longer ways are gone in steps of this where they bend
	straight          = 2 * math.Pi / 180
	holdNS            = 30e9      // fixes no farther apart than this in time,
	holdM             = 60.0      // and this in place, are joined;
	bridgeM           = 500.0     // up to here where another measure says that the way was straight
	jumpM, fastestMPS = 2.0, 12.0 // beyond so far and so fast a receiver jumped
	shortM            = 3.0       // a way shorter than this before or after a sharp corner shows that the outfit stood and went back
	cornerRad         = 100 * math.Pi / 180
)

// node is a fix that the outfit is followed to.
type node struct {
	ns      int64
	leftNS  int64 // when it went on from here
	at      place
	tangent float64 // in which the antenna comes here, where known
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
	last, moved := t.fix, t.movedM
	t.fix, t.movedM = n, 0
	if broken(n.at.minus(last.at).length(), n.ns-last.ns, moved) {
		t.restart(n)
		return
	}
	before := t.before()
	s := n.at.minus(before.at).length()
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
	t.to, t.far, t.queued = n, node{}, true
}

// broken says whether too little is known of the way between two fixes, moved as
// far as another measure says.
func broken(s float64, ns int64, movedM float64) bool {
	switch {
	case s > jumpM+fastestMPS*float64(ns)/1e9: // no outfit goes so fast: the receiver jumped
		return true
	case s <= holdM && ns <= holdNS, s < 2*nodeM: // the latter stood
		return false
	}
	onward := movedM > 0 && math.Abs(s-movedM) <= 0.05*movedM+2
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
