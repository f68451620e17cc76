package track

import "math"

// Turned returns how far north and east a point of a body lies from the body's
// reference point, when it lies forward and right of it (metres) and the body
// faces the heading:
//
//	north = f cos a - r sin a,  east = f sin a + r cos a
func Turned(headingDeg, forward, right float64) (north, east float64) {
	sin, cos := math.Sincos(headingDeg * rad)
	return forward*cos - right*sin, forward*sin + right*cos
}

// Pose is where a body's reference point is, and which way the body faces,
// degrees from true north, clockwise.
type Pose struct {
	LatDeg, LonDeg float64
	HeadingDeg     float64
}

// Point is the position of a point of the body, metres forward and right of its
// reference point: an opener seen from the antenna.
func (p Pose) Point(forward, right float64) (latDeg, lonDeg float64) {
	return At(p.LatDeg, p.LonDeg).ToDegrees(Turned(p.HeadingDeg, forward, right))
}
