package radio

import "math"

const lightMPS = 299792458.0

// LossDB is the loss of a radio wave over a free distance, dB (Friis; ITU-R
// P.525): 20 log10(4 pi d f / c), d in m, f in Hz.
func LossDB(distanceM, hz float64) float64 {
	return 20 * math.Log10(4*math.Pi*distanceM*hz/lightMPS)
}

// MilliwattOf turns dBm into mW.
func MilliwattOf(dBm float64) float64 { return math.Pow(10, dBm/10) }

// DBmOf turns mW into dBm.
func DBmOf(mW float64) float64 { return 10 * math.Log10(mW) }

// FresnelM is the radius of the first Fresnel zone [m] at a place d1 from one
// end of a line and d2 from the other, m: sqrt(lambda d1 d2 / (d1 + d2)).
func FresnelM(d1M, d2M, hz float64) float64 {
	if d1M+d2M <= 0 {
		return 0
	}
	return math.Sqrt(lightMPS / hz * d1M * d2M / (d1M + d2M))
}

// GroundTimes is by how much the reflection of the ground can raise a power
// density at worst: 1.6 squared (OET Bulletin 65, by secondary prints).
const GroundTimes = 2.56

// DensityWM2 is the power density [W/m2] at a distance from a source of that
// EIRP [W], in the open: EIRP / (4 pi r^2).
func DensityWM2(eirpW, distanceM float64) float64 {
	return eirpW / (4 * math.Pi * distanceM * distanceM)
}

// LeastM is the distance [m] at which a source of that EIRP [W] reaches a power
// density [W/m2]: sqrt(EIRP / (4 pi S)).
func LeastM(eirpW, limitWM2 float64) float64 { return math.Sqrt(eirpW / (4 * math.Pi * limitWM2)) }

// PublicUS is the limit for the public of 47 CFR 1.1310 table 1(B), W/m2 over 30
// minutes; NaN outside 30 MHz to 100 GHz.
func PublicUS(mhz float64) float64 {
	const perMW = 10 // 1 mW/cm2 is 10 W/m2
	switch {
	case mhz < 30 || mhz > 100_000:
		return math.NaN()
	case mhz < 300:
		return 0.2 * perMW
	case mhz < 1500:
		return mhz / 1500 * perMW
	}
	return 1.0 * perMW
}

// PublicICNIRP is the limit for the public of ICNIRP 2020 (Health Phys. 118:483)
// for the whole body over 30 minutes, W/m2 (table 5, from memory; the same
// figures as its reference levels of 1998); NaN outside 30 MHz to 300 GHz.
func PublicICNIRP(mhz float64) float64 {
	switch {
	case mhz < 30 || mhz > 300_000:
		return math.NaN()
	case mhz < 400:
		return 2
	case mhz < 2000:
		return mhz / 200
	}
	return 10
}

// PublicICNIRPLocal is the same for a part of the body over 6 minutes (table 6),
// W/m2; NaN outside 30 MHz to 6 GHz.
func PublicICNIRPLocal(mhz float64) float64 {
	switch {
	case mhz < 30 || mhz > 6000:
		return math.NaN()
	case mhz < 400:
		return 10
	case mhz < 2000:
		return 0.058 * math.Pow(mhz, 0.86)
	}
	return 40
}
