package workstate

import "math"

// LinkDeg is the angle of an arm from the level, its moving pin above the fixed
// pivot positive, degrees: asin((pin - pivot) / arm). NaN where the pin would be
// farther from the pivot than the arm is long.
func LinkDeg(pinUpM, pivotUpM, armM float64) float64 {
	return math.Asin((pinUpM-pivotUpM)/armM) * degrees
}

const degrees = 180 / math.Pi

// TiltDeg is the angle of a static accelerometer about its y axis, degrees:
// atan2(ax, sqrt(ay^2 + az^2)), any unit alike. It holds only while the whole
// is near 1 g.
func TiltDeg(ax, ay, az float64) float64 {
	return math.Atan2(ax, math.Hypot(ay, az)) * degrees
}

// Steady tells whether an acceleration, in g, is near enough to gravity alone
// for TiltDeg: within 0.1 g (common practice, no source).
func Steady(ax, ay, az float64) bool {
	return math.Abs(math.Sqrt(ax*ax+ay*ay+az*az)-1) < 0.1
}

// BrakingDeg is how much a change of speed [m/s2] looks like an angle, degrees.
func BrakingDeg(mps2 float64) float64 { return math.Atan(mps2/9.80665) * degrees }

// Thresholds are the angles past which the state changes, and how much of the
// span stays inside the band on either side: the middle of both positions, less
// or more a seventh of the span (common practice, no source). The zero
// Thresholds are those of two equal angles.
type Thresholds struct {
	RaiseDeg float64 // past this, on the raised side, it is raised
	LowerDeg float64 // past this, on the working side, it is in the ground
}

// bandPart is half the band over the span.
const bandPart = 0.15

// ThresholdsOf are the thresholds for an angle at work and one raised, degrees.
func ThresholdsOf(workDeg, raisedDeg float64) Thresholds {
	middle, half := (workDeg+raisedDeg)/2, bandPart*(raisedDeg-workDeg)
	return Thresholds{RaiseDeg: middle + half, LowerDeg: middle - half}
}

// Watch turns samples of an angle into a state that does not flutter. Its zero
// value is not usable: see NewWatch.
type Watch struct {
	t      Thresholds
	need   int
	lifted bool
	run    int
}

// NewWatch starts in the given state and changes after need consecutive samples
// past the threshold of the other state. A sample inside the band, on a
// threshold, or on its own side starts the count anew.
func NewWatch(t Thresholds, need int, lifted bool) *Watch {
	return &Watch{t: t, need: need, lifted: lifted}
}

// Lifted takes a sample [degrees] and returns the state after it.
func (w *Watch) Lifted(deg float64) bool {
	sign := 1.0
	if w.t.RaiseDeg < w.t.LowerDeg {
		sign = -1
	}
	past := sign*(deg-w.t.RaiseDeg) > 0
	if w.lifted {
		past = sign*(deg-w.t.LowerDeg) < 0
	}
	if !past {
		w.run = 0
		return w.lifted
	}
	if w.run++; w.run >= w.need {
		w.lifted, w.run = !w.lifted, 0
	}
	return w.lifted
}
