package airflow

import "math"

// LevelTransit is the time [s] and final speed [m/s] of a particle that is
// dropped at rest into level air of airMPS and travels lengthM without touching
// the wall: a lower bound. Drag is quadratic, so that with a = g U/Vt^2
//
//	v = U - U/(1 + a t),  x = U t - (Vt^2/g) ln(1 + a t)
func LevelTransit(airMPS, fallMPS, lengthM float64) (seconds, mps float64) {
	a, b := gravity*airMPS/(fallMPS*fallMPS), fallMPS*fallMPS/gravity
	t := timeOf(lengthM, func(t float64) float64 { return airMPS*t - b*math.Log1p(a*t) })
	return t, airMPS - airMPS/(1+a*t)
}

// RiserTransit is the same up a riser, airMPS > fallMPS: with w = U - v
//
//	w = Vt coth(g t/Vt + atanh(Vt/U)),  x = U t - (Vt^2/g) ln(sinh(tau)/sinh(tau0))
//
// where tau is coth's argument and tau0 that at rest. It is +Inf where the air
// does not lift the particle.
func RiserTransit(airMPS, fallMPS, heightM float64) (seconds, mps float64) {
	if airMPS <= fallMPS {
		return math.Inf(1), 0
	}
	tau0 := math.Atanh(fallMPS / airMPS)
	tau := func(t float64) float64 { return gravity*t/fallMPS + tau0 }
	b := fallMPS * fallMPS / gravity
	t := timeOf(heightM, func(t float64) float64 { return airMPS*t - b*(logSinh(tau(t))-logSinh(tau0)) })
	return t, airMPS - fallMPS/math.Tanh(tau(t))
}

// logSinh does not overflow.
func logSinh(x float64) float64 { return x + math.Log(-math.Expm1(-2*x)) - math.Ln2 }

// timeOf finds when a way that never goes back reaches x, by bisection.
func timeOf(x float64, way func(t float64) float64) float64 {
	lo, hi := 0.0, 1.0
	for way(hi) < x && hi < 1e9 {
		lo, hi = hi, 2*hi
	}
	for range 200 {
		if mid := (lo + hi) / 2; way(mid) < x {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// Stretch is a stretch of line on which product keeps a steady speed.
type Stretch struct{ LengthM, MPS float64 }

// LagS is the time that product takes through the stretches: sum L/U.
func LagS(line ...Stretch) float64 {
	sum := 0.0
	for _, l := range line {
		sum += l.LengthM / l.MPS
	}
	return sum
}
