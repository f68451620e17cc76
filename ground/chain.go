package ground

import "math"

// place is metres north and east on the plane of the trail.
type place struct{ north, east float64 }

func (p place) minus(q place) place { return place{p.north - q.north, p.east - q.east} }

func (p place) plus(q place, by float64) place {
	return place{p.north + by*q.north, p.east + by*q.east}
}

func (p place) length() float64 { return math.Hypot(p.north, p.east) }

// direction is radians from north, clockwise.
func (p place) direction() float64 { return math.Atan2(p.east, p.north) }

const (
	jackknifeRad = 75 * math.Pi / 180  // no joint of an outfit closes further (common practice, no source)
	reverseRad   = 100 * math.Pi / 180 // motion farther than this off the heading is backwards
	longReverseM = 40.0                // nobody backs an outfit farther: it was taken to face the wrong way
)

// chain carries the rig along the antenna's path.
type chain struct {
	rig       Rig
	heading   []float64 // radians, of the carrier and each body behind it; it counts on through whole turns
	facing    []place   // the same as a step of a metre
	was       []place   // where the hitches were
	line      []place   // the middle of each one's line
	at        place     // the antenna
	course    float64   // radians, along which the carrier's path went last, seen forward
	curvature float64   // of that path, 1/m, smoothed
	backM     float64   // gone backwards without a break
}

// newChain stands at a place, all bodies in line.
func newChain(rig Rig, at place, heading float64) *chain {
	n := len(rig.Links) + 1
	c := &chain{rig: rig, heading: make([]float64, n), facing: make([]place, n), line: make([]place, n), was: make([]place, n), at: at, course: heading}
	for k := range c.heading {
		c.face(k, heading)
	}
	c.settle()
	for k := range rig.Links {
		c.line[k+1] = c.hitch(k).plus(c.facing[k+1], -rig.Links[k].DrawM)
	}
	return c
}

func ahead(heading float64) place {
	sin, cos := math.Sincos(heading)
	return place{cos, sin}
}

func (c *chain) face(k int, heading float64) { c.heading[k], c.facing[k] = heading, ahead(heading) }

// settle puts the carrier's line where antenna and heading say.
func (c *chain) settle() {
	h := c.facing[0]
	c.line[0] = c.at.plus(h, -c.rig.AheadM).plus(place{-h.east, h.north}, -c.rig.RightM)
}

// hitch is that by which body k draws the next.
func (c *chain) hitch(k int) place {
	return c.line[k].plus(c.facing[k], -c.rig.Links[k].BehindM)
}

// move takes the antenna straight to a place, where it goes along tangent.
func (c *chain) move(to place, tangent float64) {
	d := to.minus(c.at)
	s := d.length()
	if s == 0 {
		return
	}
	for k := range c.rig.Links {
		c.was[k] = c.hitch(k)
	}
	c.face(0, c.steer(d.direction(), tangent, s))
	c.at = to
	c.settle()
	for k, l := range c.rig.Links {
		now := c.hitch(k)
		way := now.minus(c.was[k])
		if s := way.length(); s > 0 {
			h := drawn(c.heading[k+1], way.direction(), s, l.DrawM)
			joint := max(-jackknifeRad, min(jackknifeRad, math.Remainder(h-c.heading[k], 2*math.Pi)))
			c.face(k+1, c.heading[k]+joint)
		}
		c.line[k+1] = now.plus(c.facing[k+1], -l.DrawM)
	}
}

// steer is the heading to which the carrier turns. An antenna well ahead of the line is a hitch of its
// own: what it does across the heading turns the body. Near or behind the line
// that says nothing, or blows up what noise there is; then the heading is the
// direction of travel less the angle at which the antenna swings out.
func (c *chain) steer(way, tangent, s float64) float64 {
	heading := c.heading[0]
	backwards := math.Abs(math.Remainder(way-heading, 2*math.Pi)) > reverseRad
	if !backwards {
		c.backM = 0
	} else if c.backM += s; c.backM > longReverseM {
		c.backM, backwards = 0, false
		for k := range c.heading {
			c.face(k, c.heading[k]+math.Remainder(way-c.heading[k], 2*math.Pi))
		}
		heading = c.heading[0]
	}
	if c.rig.AheadM >= leastDrawM && !backwards {
		return drawn(heading, way, s, c.rig.AheadM)
	}
	forward := s
	if backwards {
		tangent, forward = tangent+math.Pi, -s
	}
	turn := math.Remainder(tangent-c.course, 2*math.Pi)
	c.course = tangent
	c.curvature += (turn/forward - c.curvature) * -math.Expm1(-s/(math.Abs(c.rig.AheadM)+1))
	swing := max(-0.5, min(0.5, c.rig.AheadM*c.curvature))
	return heading + math.Remainder(tangent-swing-heading, 2*math.Pi)
}

// drawn is the heading of a body whose hitch has gone s straight along way: with
// phi between the two, the tractrix
//
//	d phi/ds = -sin(phi)/L,  tan(phi/2) = tan(phi0/2) exp(-s/L)
//
// which holds for any length of step.
func drawn(heading, way, s, drawM float64) float64 {
	phi := math.Remainder(way-heading, 2*math.Pi)
	if math.Abs(phi) < 1e-3 { // the next term of the series is 1e-10
		return heading - phi*math.Expm1(-s/drawM)
	}
	return heading + phi - 2*math.Atan(math.Tan(phi/2)*math.Exp(-s/drawM))
}

// drill is where the drill's reference point is, and its heading in degrees.
func (c *chain) drill() (place, float64) {
	k := len(c.heading) - 1
	return c.line[k].plus(c.facing[k], -c.rig.LineM), c.heading[k] * 180 / math.Pi
}
