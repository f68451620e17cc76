package track

import "math"

// WGS 84 (NIMA TR8350.2): semi-major axis, metres, and flattening.
const (
	SemiMajorM = 6378137.0
	Flattening = 1 / 298.257223563
)

// e2 is the first eccentricity squared, ep2 the second.
const (
	e2  = Flattening * (2 - Flattening)
	ep2 = e2 / (1 - e2)
)

const rad = math.Pi / 180

// Radii returns the radii of curvature, metres, at a latitude: m along the
// meridian, n along the prime vertical:
//
//	M = a (1-e2) / w^3,  N = a / w,  w = sqrt(1 - e2 sin^2 lat)
func Radii(latDeg float64) (m, n float64) {
	s := math.Sin(latDeg * rad)
	w := math.Sqrt(1 - e2*s*s)
	return SemiMajorM * (1 - e2) / (w * w * w), SemiMajorM / w
}

// Plane is a local plane that touches the ellipsoid along the meridian of its
// origin; see the package comment. It is meant for a field or a farm: at 50 km
// from its origin it is off by a part in 30 000. The zero Plane is not valid;
// At makes one.
type Plane struct {
	latDeg, lonDeg float64
	m, n           float64 // radii of curvature at the origin
	m1, m2         float64 // first and second derivative of M by latitude
	cos            float64
}

// At is the plane with its origin at a latitude and longitude, degrees.
func At(latDeg, lonDeg float64) Plane {
	p := Plane{latDeg: latDeg, lonDeg: lonDeg}
	p.m, p.n = Radii(latDeg)
	s, c := math.Sincos(latDeg * rad)
	w2 := 1 - e2*s*s
	p.m1 = 3 * e2 * s * c * p.m / w2
	p.m2 = 3 * e2 * p.m / w2 * (c*c - s*s + 5*e2*s*s*c*c/w2)
	p.cos = c
	return p
}

// ToLocal returns metres north and east of the origin. A place across the 180th
// meridian is taken the short way round.
func (p Plane) ToLocal(latDeg, lonDeg float64) (north, east float64) {
	d := (latDeg - p.latDeg) * rad
	l := math.Remainder(lonDeg-p.lonDeg, 360) * rad
	s, c := math.Sincos(latDeg * rad)
	s2, c2, l2 := s*s, c*c, l*l
	n := SemiMajorM / math.Sqrt(1-e2*s2)
	arc := d * (p.m + d*(p.m1/2+d*p.m2/6))
	bend := l2 / 12 * (5*c2 - s2 + 9*ep2*c2*c2)
	stretch := l2 / 6 * (c2 - s2 + ep2*c2*c2)
	return arc + n*s*c*l2/2*(1+bend), n * c * l * (1 + stretch)
}

// ToDegrees is the inverse of ToLocal, to a micrometre.
func (p Plane) ToDegrees(north, east float64) (latDeg, lonDeg float64) {
	perLat, perLon := p.m*rad, p.n*p.cos*rad
	latDeg, lonDeg = p.latDeg+north/perLat, p.lonDeg+east/perLon
	// the plane is nearly linear: each turn takes off three digits or more
	for range 8 {
		n, e := p.ToLocal(latDeg, lonDeg)
		dn, de := north-n, east-e
		latDeg, lonDeg = latDeg+dn/perLat, lonDeg+de/perLon
		if math.Abs(dn)+math.Abs(de) < 1e-7 {
			break
		}
	}
	return latDeg, math.Remainder(lonDeg, 360)
}

// Scale is how many metres of the plane a metre on the ground takes, east metres
// from the origin's meridian: 1 + (east/R)^2/2 + (east/R)^4/24, R^2 = M N at the
// origin (Redfearn 1948). An area is larger on the plane by its square.
func (p Plane) Scale(east float64) float64 {
	q := east * east / (p.m * p.n)
	return 1 + q/2 + q*q/24
}
