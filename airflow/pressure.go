package airflow

import "math"

// Reynolds is rho U D / mu.
func Reynolds(gas Gas, mps, lengthM float64) float64 { return gas.KgM3 * mps * lengthM / gas.PaS }

// DarcyBlasius is the Darcy friction factor of smooth pipes, 3000 < Re < 1e5:
// 0.3164 Re^-0.25. Fanning's, 0.0791 Re^-0.25, is a quarter of it.
func DarcyBlasius(re float64) float64 { return 0.3164 * math.Pow(re, -0.25) }

// DarcyColebrook is the Darcy friction factor of a pipe whose roughness is
// relative times its bore, Re > 4000: the root of
//
//	1/sqrt(f) = -2 lg(relative/3.7 + 2.51/(Re sqrt(f)))
func DarcyColebrook(re, relative float64) float64 {
	x := 1 / math.Sqrt(DarcyBlasius(re))
	for range 100 { // contracts by more than three each time
		x = -2 * math.Log10(relative/3.7+2.51*x/re)
	}
	return 1 / (x * x)
}

// AirFrictionPaM is the friction of the air alone in a metre of pipe, with
// Darcy's factor: f rho U^2 / (2 D).
func AirFrictionPaM(gas Gas, darcy, airMPS, boreM float64) float64 {
	return darcy * gas.KgM3 * airMPS * airMPS / (2 * boreM)
}

// LevelSlip is particle speed over air speed in a level pipe (Hinkle 1953, from
// memory, SI): 1 - 0.0638 d^0.3 rp^0.5. It was fitted to particles of a few
// millimetres; NaN where it would give nothing.
func LevelSlip(p Particle) float64 {
	r := 1 - 0.0638*math.Pow(p.DiameterM, 0.3)*math.Sqrt(p.KgM3)
	if r <= 0 {
		return math.NaN()
	}
	return r
}

// Voidage is the part of the pipe that air fills: 1 - G / (rp Up).
func Voidage(s Stream, p Particle, particleMPS float64) float64 {
	return 1 - s.Flux()/(p.KgM3*particleMPS)
}

// HinkleFriction is the friction factor of particles in a level pipe (Hinkle
// 1953, from memory), Fanning's kind; gasMPS is the air between the particles:
//
//	fp = 3/8 (rho/rp) (D/d) CD ((Uf - Up)/Up)^2
func HinkleFriction(s Stream, p Particle, cd, gasMPS, particleMPS float64) float64 {
	slip := (gasMPS - particleMPS) / particleMPS
	return 3.0 / 8 * s.Gas.KgM3 / p.KgM3 * s.BoreM / p.DiameterM * cd * slip * slip
}

// LevelSolidsPaM is the friction of the product in a metre of level pipe:
// 2 fp G Up / D, fp by HinkleFriction.
func LevelSolidsPaM(s Stream, fp, particleMPS float64) float64 {
	return 2 * fp * s.Flux() * particleMPS / s.BoreM
}

// KonnoSaitoPaM is the friction of the product in a metre of upright pipe
// (Konno and Saito 1969): 0.057 G sqrt(g/D).
func KonnoSaitoPaM(s Stream) float64 { return 0.057 * s.Flux() * math.Sqrt(gravity/s.BoreM) }

// AirAccelerationPa is the pressure that sets the air going: e rho Uf^2 / 2.
func AirAccelerationPa(gas Gas, voidage, gasMPS float64) float64 {
	return voidage * gas.KgM3 * gasMPS * gasMPS / 2
}

// SolidsAccelerationPa is the pressure that sets the product going from rest,
// by the momentum theorem: G Up. Trap: Rhodes prints half of it; the two
// differ by this factor 2 throughout the textbooks.
func SolidsAccelerationPa(s Stream, particleMPS float64) float64 { return s.Flux() * particleMPS }

// WeightPa is the weight of product and air in an upright pipe of a height:
// (1-e) rp g h + e rho g h.
func WeightPa(s Stream, p Particle, voidage, heightM float64) float64 {
	return ((1-voidage)*p.KgM3 + voidage*s.Gas.KgM3) * gravity * heightM
}
