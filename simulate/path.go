package simulate

import (
	"math"
	"math/rand/v2"

	"runproof/track"
)

// motion drives the antenna up and down the field: passes in work, half-circle
// turns lifted.
type motion struct {
	field    Field
	widthM   float64
	usualMPS float64
	plane    track.Plane
	rng      *rand.Rand

	pass     int
	alongM   float64 // on the pass
	turning  bool
	turnS    float64 // into the turn
	wander   float64 // of the speed, relative
	speedMPS float64
	workM    float64 // travelled in work
}

func newMotion(s *Scenario, widthM, usualMPS float64, rng *rand.Rand) *motion {
	return &motion{field: s.Field, widthM: widthM, usualMPS: usualMPS, plane: track.At(s.Field.LatDeg, s.Field.LonDeg), rng: rng, speedMPS: usualMPS}
}

// step moves on by dt seconds.
func (m *motion) step(dt float64) {
	a := math.Exp(-dt / 20)
	m.wander = a*m.wander + math.Sqrt(1-a*a)*0.03*m.rng.NormFloat64()
	if m.turning {
		m.speedMPS = math.Pi * m.gapM() / 2 / m.field.TurnS
		if m.turnS += dt; m.turnS >= m.field.TurnS {
			m.turning, m.turnS, m.alongM = false, 0, 0
			m.pass++
		}
		return
	}
	m.speedMPS = m.usualMPS * max(0.5, 1+m.wander)
	m.alongM += m.speedMPS * dt
	m.workM += m.speedMPS * dt
	if m.alongM >= m.field.PassM {
		m.turning = true
	}
}

func (m *motion) gapM() float64 { return max(1, m.widthM-m.field.OverlapM) }

// place is the antenna's position and course.
func (m *motion) place() (lat, lon, courseDeg float64) {
	up := m.pass%2 == 0
	side := float64(m.pass) * m.gapM()
	along, course := m.alongM, m.field.HeadingDeg
	if !up {
		along, course = m.field.PassM-m.alongM, course+180
	}
	if m.turning {
		a := math.Pi * min(1, m.turnS/m.field.TurnS)
		r := m.gapM() / 2
		along, side = m.field.PassM+r*math.Sin(a), side+r-r*math.Cos(a)
		course = m.field.HeadingDeg + a*180/math.Pi
		if !up {
			along = -r * math.Sin(a)
			course = m.field.HeadingDeg + 180 - a*180/math.Pi
		}
	}
	sin, cos := math.Sincos(m.field.HeadingDeg * math.Pi / 180)
	lat, lon = m.plane.ToDegrees(along*cos-side*sin, along*sin+side*cos)
	return lat, lon, math.Mod(course+360, 360)
}
