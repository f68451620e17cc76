package export

import (
	"math"

	"runproof/track"
)

// AreaM2 is the area of the ground on the ellipsoid, m2: of each polygon in the
// plane that touches the ellipsoid at its first place, right to a part in a
// million within 8 km of there.
func (g Ground) AreaM2() float64 {
	sum := 0.0
	for _, p := range g {
		plane := track.At(p[0][0][1], p[0][0][0])
		one := 0.0
		for _, r := range p {
			one += ringM2(plane, r) // holes run the other way, and so count less
		}
		sum += math.Abs(one)
	}
	return sum
}

func ringM2(plane track.Plane, r Ring) float64 {
	sum := 0.0
	var n0, e0, pn, pe float64
	for i, at := range r {
		n, e := plane.ToLocal(at[1], at[0])
		if i == 0 {
			n0, e0 = n, e
		}
		n, e = n-n0, e-e0
		sum += pe*n - e*pn
		pn, pe = n, e
	}
	return sum / 2
}

// OutlineM is the length of the outer rings, m.
func (g Ground) OutlineM() float64 {
	sum := 0.0
	for _, p := range g {
		plane := track.At(p[0][0][1], p[0][0][0])
		var pn, pe float64
		for i, at := range p[0] {
			n, e := plane.ToLocal(at[1], at[0])
			if i > 0 {
				sum += math.Hypot(n-pn, e-pe)
			}
			pn, pe = n, e
		}
	}
	return sum
}
