package simulate

import (
	"math"

	"runproof/drill"
	"runproof/ground"
)

// pullM is how far the tractor goes at a step of what it draws: no error of the
// path is larger than some hundredths of a millimetre.
const pullM = 0.02

// outfit is tractor, cart and drill on the field: where the middle of each one's
// line is that does not slip sideways, and which way each faces, tractor first.
// They are moved in small steps by the velocity of each hitch, with none of the
// formulas that a review uses.
type outfit struct {
	links   []ground.Link
	bodies  []pose
	frontM  float64 // front rank ahead of the drill's line
	carrier int     // body with the antenna
	antenna drill.Point
	courses
}

// courses tells the antenna's way.
type courses struct {
	was    pose
	course float64 // radians
}

func newOutfit(d *drill.Drill) *outfit {
	from := func(m drill.Mount) ground.Rig {
		as := *d
		as.Tow.Antenna = m
		return ground.RigOf(&as)
	}
	whole, own := from(drill.OnTractor), ground.RigOf(d)
	o := &outfit{links: whole.Links, frontM: -whole.LineM, antenna: drill.Point{Forward: own.AheadM, Right: own.RightM}}
	o.carrier = len(whole.Links) - len(own.Links)
	o.bodies = make([]pose, len(o.links)+1)
	return o
}

// leadM is how far the tractor's line is ahead of the drill's front rank when all
// are in line.
func (o *outfit) leadM() float64 {
	m := -o.frontM
	for _, l := range o.links {
		m += l.BehindM + l.DrawM
	}
	return m
}

// stand puts the outfit in line behind the tractor.
func (o *outfit) stand(tractor pose) {
	o.bodies[0] = tractor
	for k, l := range o.links {
		h := o.hitch(k)
		o.bodies[k+1] = h.ahead(-l.DrawM)
	}
	o.was, o.course = o.at(), tractor.heading
}

func (p pose) ahead(m float64) pose {
	sin, cos := math.Sincos(p.heading)
	return pose{p.forward + m*cos, p.right + m*sin, p.heading}
}

// hitch is that by which body k draws the next, and faces as k does.
func (o *outfit) hitch(k int) pose { return o.bodies[k].ahead(-o.links[k].BehindM) }

// pull takes the tractor a little on and the others after it (midpoint method).
func (o *outfit) pull(tractor pose) {
	hitch := make([]pose, 0, 4)
	for k := range o.links {
		hitch = append(hitch, o.hitch(k))
	}
	o.bodies[0] = tractor
	for k, l := range o.links {
		b := &o.bodies[k+1]
		to := o.hitch(k)
		df, dr := to.forward-hitch[k].forward, to.right-hitch[k].right
		aside := func(heading float64) float64 {
			sin, cos := math.Sincos(heading)
			return dr*cos - df*sin
		}
		half := b.heading + aside(b.heading)/l.DrawM/2
		to.heading = b.heading + aside(half)/l.DrawM
		*b = to.ahead(-l.DrawM)
	}
	at := o.at()
	if df, dr := at.forward-o.was.forward, at.right-o.was.right; math.Hypot(df, dr) > pullM/10 {
		o.course, o.was = math.Atan2(dr, df), at
	}
}

// at is where the antenna is.
func (o *outfit) at() pose {
	b := o.bodies[o.carrier]
	sin, cos := math.Sincos(b.heading)
	f, r := o.antenna.Forward, o.antenna.Right
	return pose{b.forward + f*cos - r*sin, b.right + f*sin + r*cos, b.heading}
}

// drill is the middle of the front rank, and the way the drill faces.
func (o *outfit) drill() pose { return o.bodies[len(o.bodies)-1].ahead(o.frontM) }
