package review

import (
	"math"

	"runproof/drill"
	"runproof/track"
)

// trailPoint is the antenna somewhere along the day, on the local plane.
type trailPoint struct {
	ns          int64
	north, east float64 // metres
	headingDeg  float64
}

// stretch is unbroken travel in work.
type stretch []trailPoint

// trail keeps where the drill worked: points only where the path bends or
// every 25 m, so that a day of passes stays small.
type trail struct {
	in      *inputs
	plane   track.Plane
	begun   bool
	parts   []stretch
	working bool
	prev    trailPoint // last fix
	cur     trailPoint // last fix that moved far enough to show a heading
	heading float64
}

func newTrail(in *inputs) *trail { return &trail{in: in, heading: math.NaN()} }

func (t *trail) add(f *frame) {
	if f.lat != f.lat || f.lon != f.lon || f.lat == 0 && f.lon == 0 {
		t.working = t.working && f.work
		return
	}
	if !t.begun {
		t.plane, t.begun = track.At(f.lat, f.lon), true
	}
	n, e := t.plane.ToLocal(f.lat, f.lon)
	p := trailPoint{ns: f.toNS, north: n, east: e}
	t.turn(&p, f.courseDeg)
	if !f.work {
		t.close()
		t.prev = p
		return
	}
	if !t.working || p.ns-t.prev.ns > 10e9 || math.Hypot(n-t.prev.north, e-t.prev.east) > 50 {
		t.parts = append(t.parts, stretch{p})
		t.working = true
	} else if last := t.last(); bends(last, p) {
		t.parts[len(t.parts)-1] = append(t.parts[len(t.parts)-1], p)
	}
	t.prev = p
}

// turn sets the heading: the logged course, else the direction since the last
// fix at least a metre away.
func (t *trail) turn(p *trailPoint, course float64) {
	if d := math.Hypot(p.north-t.cur.north, p.east-t.cur.east); d >= 1 {
		t.heading = math.Mod(math.Atan2(p.east-t.cur.east, p.north-t.cur.north)*180/math.Pi+360, 360)
		t.cur = *p
	}
	p.headingDeg = t.heading
	if course == course {
		p.headingDeg = course
	}
}

func bends(last, p trailPoint) bool {
	d := math.Hypot(p.north-last.north, p.east-last.east)
	turned := math.Abs(math.Mod(p.headingDeg-last.headingDeg+540, 360) - 180)
	return d >= 25 || d >= 1 && turned > 2
}

func (t *trail) last() trailPoint {
	s := t.parts[len(t.parts)-1]
	return s[len(s)-1]
}

// close ends the open stretch at the last fix.
func (t *trail) close() {
	if t.working && t.prev.ns > t.last().ns {
		t.parts[len(t.parts)-1] = append(t.parts[len(t.parts)-1], t.prev)
	}
	t.working = false
}

// between cuts the trail to the time from a to b.
func (t *trail) between(a, b int64) []stretch {
	var out []stretch
	for _, s := range t.parts {
		var cut stretch
		for i := 0; i+1 < len(s); i++ {
			if s[i+1].ns <= a || s[i].ns >= b {
				continue
			}
			if len(cut) == 0 {
				cut = append(cut, blend(s[i], s[i+1], a))
			}
			cut = append(cut, blend(s[i], s[i+1], b))
		}
		if len(cut) > 1 {
			out = append(out, cut)
		}
	}
	return out
}

// blend is the point between p and q at time ns, or the nearer end.
func blend(p, q trailPoint, ns int64) trailPoint {
	if ns <= p.ns || q.ns == p.ns {
		return p
	}
	if ns >= q.ns {
		return q
	}
	w := float64(ns-p.ns) / float64(q.ns-p.ns)
	turn := math.Mod(q.headingDeg-p.headingDeg+540, 360) - 180
	return trailPoint{ns, p.north + w*(q.north-p.north), p.east + w*(q.east-p.east), p.headingDeg + w*turn}
}

// opener is where a place on the drill lies when the antenna is at p.
func (t *trail) opener(p trailPoint, at drill.Point) (north, east float64) {
	g := t.in.fit.Drill.GNSS.At
	f, r := at.Forward-g.Forward, at.Right-g.Right
	north, east = track.Turned(p.headingDeg, f, r)
	return p.north + north, p.east + east
}
