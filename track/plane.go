package track

import "math"

// WGS 84 (NIMA TR8350.2): semi-major axis, metres, and flattening.
const (
	SemiMajorM = 6378137.0
	Flattening = 1 / 298.257223563
)

// Radii returns the radii of curvature, metres, at a latitude: m along the
// meridian, n along the prime vertical:
//
//	M = a (1-e2) / w^3,  N = a / w,  w = sqrt(1 - e2 sin^2 lat)
func Radii(latDeg float64) (m, n float64) {
	e2 := Flattening * (2 - Flattening)
	s := math.Sin(latDeg * math.Pi / 180)
	w := math.Sqrt(1 - e2*s*s)
	return SemiMajorM * (1 - e2) / (w * w * w), SemiMajorM / w
}

// Plane is a local plane that touches the ellipsoid at its origin. Within two
// kilometres of the origin's latitude it is good to millimetres. The zero Plane
// is not valid; At makes one.
type Plane struct {
	latDeg, lonDeg     float64
	mPerLat, mPerLon   float64 // metres per degree at the origin
	mPerLonPerLatDegDN float64 // change of mPerLon per degree of latitude
}

// At is the plane with its origin at a latitude and longitude, degrees.
func At(latDeg, lonDeg float64) Plane {
	m, n := Radii(latDeg)
	rad := math.Pi / 180
	sin, cos := math.Sincos(latDeg * rad)
	return Plane{
		latDeg: latDeg, lonDeg: lonDeg, mPerLat: m * rad, mPerLon: n * cos * rad,
		// d(N cos)/dlat = -M sin: a parallel shortens toward the pole
		mPerLonPerLatDegDN: -m * sin * rad * rad,
	}
}

// ToLocal returns metres north and east of the origin. A place across the 180th
// meridian is taken the short way round.
func (p Plane) ToLocal(latDeg, lonDeg float64) (north, east float64) {
	dLat := latDeg - p.latDeg
	dLon := math.Remainder(lonDeg-p.lonDeg, 360)
	return dLat * p.mPerLat, dLon * (p.mPerLon + dLat*p.mPerLonPerLatDegDN)
}

// ToDegrees is the inverse of ToLocal.
func (p Plane) ToDegrees(north, east float64) (latDeg, lonDeg float64) {
	dLat := north / p.mPerLat
	lon := p.lonDeg + east/(p.mPerLon+dLat*p.mPerLonPerLatDegDN)
	return p.latDeg + dLat, math.Remainder(lon, 360)
}
