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
	hurry      = 1.2  // turns are driven so much faster than passes at most
)

// drive moves the outfit up and down the field: passes in the ground, turns
// lifted, now and then a stand. The tractor goes straight until the drill is at
// the end of its pass, turns, and goes straight until it is at the next.
type drive struct {
	field    Field
	usualMPS float64
	outfit   *outfit
	leadM    float64 // tractor ahead of the drill
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
	atS      float64 // time since the beginning
	trace    trace
}

func newDrive(f Field, d *drill.Drill, rng *rand.Rand) *drive {
	v := &drive{field: f, usualMPS: d.Work.SpeedMPS, speedMPS: d.Work.SpeedMPS, outfit: newOutfit(d), rng: rng}
	v.leadM = v.outfit.leadM()
	v.gapM = max(d.Rows.SpacingM, d.WidthM()-f.OverlapM)
	v.turn = append(newTurn(v.gapM, f.TurnRadiusM), arc{2 * v.leadM, 0})
	v.turnMPS = min(hurry*v.usualMPS, v.turn.lengthM()/f.TurnS)
	v.plane = track.At(f.LatDeg, f.LonDeg)
	v.outfit.stand(v.tractor())
	v.trace.add(stop{at: v.outfit.drill(), first: true}, false)
	return v
}

// inGround says whether the drill is lowered.
func (v *drive) inGround() bool { return !v.turning }

// step moves on by dt seconds.
func (v *drive) step(dt float64) {
	want := v.wanted(dt)
	most := changeMPS2 * dt
	v.speedMPS += max(-most, min(most, want-v.speedMPS))
	way := v.speedMPS * dt
	for n := math.Ceil(way / pullM); n > 0; n-- {
		was := v.turning
		v.advance(way / n)
		way -= way / n
		v.outfit.pull(v.tractor())
		v.atS += dt / n
		dt -= dt / n
		if !v.turning || !was {
			v.trace.add(stop{v.atS, v.outfit.drill(), was}, v.turning)
		}
	}
	v.atS += dt // it stood
}

// advance goes on by some metres.
func (v *drive) advance(m float64) {
	v.doneM += m
	if v.turning {
		if over := v.doneM - v.turn.lengthM(); over >= 0 {
			v.turning, v.doneM = false, over
			v.pass++
			v.workM += over
		}
		return
	}
	v.workM += m
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

// tractor is where the tractor is, from where the drill begins the first pass and
// seen along it.
func (v *drive) tractor() pose {
	p := pose{forward: v.doneM}
	if v.turning {
		p = v.turn.at(v.doneM)
		p.forward += v.field.PassM
	}
	p.forward += v.leadM
	side := float64(v.pass)*v.gapM + p.right
	if v.pass%2 == 0 {
		return pose{p.forward, side, p.heading}
	}
	// on the way back a turn leads to the left, and forward is back
	return pose{v.field.PassM - p.forward, side, math.Pi - p.heading}
}

// place is the antenna's position and its course over ground.
func (v *drive) place() (latDeg, lonDeg, courseDeg float64) {
	p := v.outfit.at()
	latDeg, lonDeg = v.plane.ToDegrees(track.Turned(v.field.HeadingDeg, p.forward, p.right))
	courseDeg = math.Mod(v.field.HeadingDeg+v.outfit.course*180/math.Pi+720, 360)
	return latDeg, lonDeg, courseDeg
}
