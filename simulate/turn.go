package simulate

import "math"

// pose is a place and a heading on the ground: metres forward and right of
// where a turn or pass begins, and radians clockwise.
type pose struct{ forward, right, heading float64 }

// arc is a piece of path of one curvature, 1/m, positive to the right.
type arc struct{ lengthM, curvature float64 }

// along is the pose s metres into the arc, seen from its beginning at p.
func (a arc) along(p pose, s float64) pose {
	sin, cos := math.Sincos(p.heading)
	if a.curvature == 0 {
		return pose{p.forward + s*cos, p.right + s*sin, p.heading}
	}
	h := p.heading + a.curvature*s
	sin2, cos2 := math.Sincos(h)
	return pose{p.forward + (sin2-sin)/a.curvature, p.right + (cos-cos2)/a.curvature, h}
}

// turn is the way from the end of a pass to the beginning of the next.
type turn []arc

// newTurn leads to the right, back beside the pass at a distance of gapM. Where
// two quarter circles leave room it goes straight between them; where they do
// not, it swings out first, as a bulb of three arcs whose middle ones touch:
//
//	cos a = (r + gap/2) / (2 r),  length = r (pi + 4 a)
func newTurn(gapM, radiusM float64) turn {
	quarter := arc{math.Pi / 2 * radiusM, 1 / radiusM}
	if gapM >= 2*radiusM {
		return turn{quarter, {gapM - 2*radiusM, 0}, quarter}
	}
	a := math.Acos((radiusM + gapM/2) / (2 * radiusM))
	swing := arc{a * radiusM, -1 / radiusM}
	return turn{swing, {(math.Pi + 2*a) * radiusM, 1 / radiusM}, swing}
}

func (t turn) lengthM() float64 {
	sum := 0.0
	for _, a := range t {
		sum += a.lengthM
	}
	return sum
}

// at is the pose s metres into the turn.
func (t turn) at(s float64) (p pose) {
	for _, a := range t {
		if s <= a.lengthM {
			return a.along(p, max(0, s))
		}
		p, s = a.along(p, a.lengthM), s-a.lengthM
	}
	return p
}
