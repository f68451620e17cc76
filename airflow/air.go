package airflow

import "math"

// gravity is the standard acceleration, m/s2.
const gravity = 9.80665

// ZeroC is 0 °C in kelvin.
const ZeroC = 273.15

// Gas is the air in a line.
type Gas struct {
	KgM3 float64 // density
	PaS  float64 // dynamic viscosity
}

// GasAt is the air of a temperature in °C and a relative humidity (0 to 1) at
// the standard pressure of an altitude in m. A fan raises the pressure in the
// line by a few percent above that, which is left out.
func GasAt(altitudeM, temperatureC, humidity float64) Gas {
	_, pa := StandardAtmosphere(altitudeM)
	return Gas{KgM3: DensityKgM3(pa, temperatureC, humidity), PaS: ViscosityPaS(temperatureC + ZeroC)}
}

// StandardAtmosphere is temperature [K] and pressure [Pa] at a geometric
// altitude below 11 km (US Standard Atmosphere 1976):
//
//	h = r z / (r + z), T = 288.15 - 0.0065 h, p = 101325 (T / 288.15)^(g M / (R 0.0065))
//
// with r = 6356766 m, M = 0.0289644 kg/mol and that standard's R = 8.31432.
func StandardAtmosphere(altitudeM float64) (kelvin, pa float64) {
	const r, lapse, m, gas = 6356766, 0.0065, 0.0289644, 8.31432
	h := r * altitudeM / (r + altitudeM)
	kelvin = 288.15 - lapse*h
	return kelvin, 101325 * math.Pow(kelvin/288.15, gravity*m/(gas*lapse))
}

// VapourPa is the partial pressure of water at a temperature in °C and relative
// humidity (0 to 1), Magnus form with the constants of the WMO:
//
//	e = RH 611.2 exp(17.62 t / (243.12 + t))
func VapourPa(temperatureC, humidity float64) float64 {
	return humidity * 611.2 * math.Exp(17.62*temperatureC/(243.12+temperatureC))
}

// DensityKgM3 is the density of moist air (ideal gas):
//
//	rho = (p - e) / (287.05 T) + e / (461.5 T)
func DensityKgM3(pa, temperatureC, humidity float64) float64 {
	t, e := temperatureC+ZeroC, VapourPa(temperatureC, humidity)
	return (pa-e)/(287.05*t) + e/(461.5*t)
}

// ViscosityPaS is the dynamic viscosity of dry air (Sutherland):
//
//	1.458e-6 T^1.5 / (T + 110.4)
func ViscosityPaS(kelvin float64) float64 {
	return 1.458e-6 * math.Pow(kelvin, 1.5) / (kelvin + 110.4)
}

// PitotMPS is the air speed at the mouth of a pitot tube, from the dynamic
// pressure (Bernoulli): sqrt(2 q / rho). A tube in the middle of a pipe reads
// 1/MeanOfCentre times the mean speed.
func PitotMPS(dynamicPa, kgM3 float64) float64 { return math.Sqrt(2 * dynamicPa / kgM3) }

// MeanOfCentre is mean over centre speed of turbulent flow in a round pipe, by
// the 1/7 power law: exactly 49/60.
const MeanOfCentre = 49.0 / 60
