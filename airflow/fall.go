package airflow

import "math"

// Drag is a law of the drag coefficient over the particle's Reynolds number.
type Drag func(re float64) float64

// HaiderLevenspiel is the drag coefficient of a sphere, Re < 2.6e5 (Haider and
// Levenspiel 1989, Powder Technology 58:63):
//
//	CD = 24/Re (1 + 0.1806 Re^0.6459) + 0.4251 / (1 + 6880.95/Re)
func HaiderLevenspiel(re float64) float64 {
	return 24/re*(1+0.1806*math.Pow(re, 0.6459)) + 0.4251/(1+6880.95/re)
}

// Barati is the drag coefficient of a smooth sphere, Re <= 2e5 (Barati,
// Neyshabouri and Ahmadi 2014, Powder Technology 257:11). It is an independent
// fit to the same measurements.
func Barati(re float64) float64 {
	return 5.4856e9*math.Tanh(4.3774e-9/re) + 0.0709*math.Tanh(700.6574/re) + 0.3894*math.Tanh(74.1539/re) -
		0.1198*math.Tanh(7429.0843/re) + 1.7174*math.Tanh(9.9851/(re+2.3384)) + 0.4744
}

// HaiderLevenspielShape is the law for particles of a sphericity (0 to 1), by
// the same authors, constants from memory:
//
//	CD = 24/Re (1 + A Re^B) + C / (1 + D/Re)
//
// Trap: the sphericity printed in seed papers puts long grains far too slow;
// 0.63 for wheat gives 4.8 m/s where 6.3 to 10.5 was measured. Nothing in this
// package uses it for grain.
func HaiderLevenspielShape(sphericity float64) Drag {
	s := sphericity
	a := math.Exp(2.3288 - 6.4581*s + 2.4486*s*s)
	b := 0.0964 + 0.5565*s
	c := math.Exp(4.905 - 13.8944*s + 18.4222*s*s - 10.2599*s*s*s)
	d := math.Exp(1.4681 + 12.2584*s - 20.7322*s*s + 15.8855*s*s*s)
	return func(re float64) float64 { return 24/re*(1+a*math.Pow(re, b)) + c/(1+d/re) }
}

// FallMPS is the terminal velocity from the balance of weight, buoyancy and a
// constant drag coefficient, best a measured one:
//
//	Vt = sqrt(4 g d (rp - r) / (3 r CD))
//
// d in m, densities in kg/m3 with rp > r.
func FallMPS(diameterM, particleKgM3, fluidKgM3, cd float64) float64 {
	return math.Sqrt(4 * gravity * diameterM * (particleKgM3 - fluidKgM3) / (3 * fluidKgM3 * cd))
}

// FallByDragMPS is the terminal velocity where the drag coefficient follows a
// law: the root of V = FallMPS(CD(Re)), Re = rho V d / mu, by bisection in the
// logarithm of V. A sphere's is an upper bound for a particle of that volume.
func FallByDragMPS(diameterM, particleKgM3 float64, fluid Gas, law Drag) float64 {
	lo, hi := math.Log(1e-9), math.Log(1e4)
	for range 200 {
		mid := (lo + hi) / 2
		v := math.Exp(mid)
		if v < FallMPS(diameterM, particleKgM3, fluid.KgM3, law(fluid.KgM3*v*diameterM/fluid.PaS)) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return math.Exp((lo + hi) / 2)
}

// DragFrom is the drag coefficient that a measured terminal velocity stands
// for: FallMPS the other way round.
func DragFrom(diameterM, particleKgM3, fluidKgM3, fallMPS float64) float64 {
	return 4 * gravity * diameterM * (particleKgM3 - fluidKgM3) / (3 * fluidKgM3 * fallMPS * fallMPS)
}

// SphereM is the diameter of the sphere that has the mass of one particle:
// cbrt(6 m / (pi rp)), m in kg.
func SphereM(massKg, particleKgM3 float64) float64 {
	return math.Cbrt(6 * massKg / (math.Pi * particleKgM3))
}
