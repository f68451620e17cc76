package simulate

import (
	"math"
	"math/rand/v2"

	"runproof/drill"
	"runproof/track"
)

// How a drill is pulled (common practice, no source).
const (
	changeMPS2 = 0.6  // how hard it speeds up and slows down
	wanderS    = 20.0 // correlation time of the speed
)

// drive moves the drill up and down the field: passes in the ground, turns
// lifted, now and then a stand.
type drive struct {
	field    Field
	usualMPS float64
	antenna  drill.Point
	gapM     float64 // from one pass to the next
	turn     turn
	turnMPS  float64
	plane    track.Plane
	rng      *rand.Rand

	pass     int
	doneM    float64 // of the pass or turn
	turning  bool
	standS   float64 // still to stand
	wander   float64 // of the speed, relative
	speedMPS float64
	workM    float64 // travelled in the ground
}

func newDrive(f Field, d *drill.Drill, rng *rand.Rand) *drive {
	v := &drive{field: f, usualMPS: d.Work.SpeedMPS, speedMPS: d.Work.SpeedMPS, antenna: d.GNSS.At, rng: rng}
	v.gapM = max(d.Rows.SpacingM, d.WidthM()-f.OverlapM)
	v.turn = newTurn(v.gapM, f.TurnRadiusM)
	v.turnMPS = min(v.usualMPS, v.turn.lengthM()/f.TurnS)
	v.plane = track.At(f.LatDeg, f.LonDeg)
	return v
}

// inGround says whether the drill is lowered.
func (v *drive) inGround() bool { return !v.turning }

// step moves on by dt seconds.
func (v *drive) step(dt float64) {
	want := v.wanted(dt)
	most := changeMPS2 * dt
	v.speedMPS += max(-most, min(most, want-v.speedMPS))
	v.doneM += v.speedMPS * dt
	if v.turning {
		if over := v.doneM - v.turn.lengthM(); over >= 0 {
			v.turning, v.doneM = false, over
			v.pass++
			v.workM += over
		}
		return
	}
	v.workM += v.speedMPS * dt
	if over := v.doneM - v.field.PassM; over >= 0 {
		v.turning, v.doneM = true, over
		v.workM -= over
	}
}

// wanted is the speed that the driver is after.
func (v *drive) wanted(dt float64) float64 {
	if v.field.SpeedSD > 0 {
		a := math.Exp(-dt / wanderS)
		v.wander = a*v.wander + math.Sqrt(1-a*a)*v.field.SpeedSD*v.rng.NormFloat64()
	}
	if v.turning {
		return v.turnMPS
	}
	if v.field.StopsPerH > 0 && v.standS <= 0 && v.rng.Float64() < v.field.StopsPerH*dt/3600 {
		v.standS = v.field.StopS
	}
	if v.standS > 0 {
		if v.speedMPS == 0 {
			v.standS -= dt
		}
		return 0
	}
	return v.usualMPS * max(0.3, 1+v.wander)
}

// pose is where the drill's reference point is, from the beginning of the
// first pass, seen along it, and the curvature of its path.
func (v *drive) pose() (p pose, curvature float64) {
	p.forward = v.doneM
	if v.turning {
		p, curvature = v.turn.at(v.doneM)
		p.forward += v.field.PassM
	}
	side := float64(v.pass) * v.gapM
	if v.pass%2 == 0 {
		return pose{p.forward, side + p.right, p.heading}, curvature
	}
	// on the way back a turn leads to the left, and forward is back
	return pose{v.field.PassM - p.forward, side + p.right, math.Pi - p.heading}, -curvature
}

// place is the antenna's position and its course over ground, which differs
// from the drill's heading where the path bends.
func (v *drive) place() (latDeg, lonDeg, courseDeg float64) {
	p, curvature := v.pose()
	heading := p.heading * 180 / math.Pi
	f, r := track.Turned(heading, v.antenna.Forward, v.antenna.Right)
	latDeg, lonDeg = v.plane.ToDegrees(track.Turned(v.field.HeadingDeg, p.forward+f, p.right+r))
	slip := math.Atan2(curvature*v.antenna.Forward, 1-curvature*v.antenna.Right)
	courseDeg = math.Mod(v.field.HeadingDeg+heading+slip*180/math.Pi+720, 360)
	return latDeg, lonDeg, courseDeg
}
