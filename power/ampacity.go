package power

import "math"

// Surroundings are what lowers the current that a wire may carry. The zero
// value is a wire alone in 30 °C air.
type Surroundings struct {
	Warm       bool // 50 °C air: under a machine in the sun
	Conductors int  // that carry current side by side; 0 = reckon with none
}

// Amps returns what a conductor of that cross-section [mm2] may carry for
// long, A, with insulation of a temperature class [°C]. The area is taken for
// the gauge at or below, the class for the one at or below; an area under the
// thinnest gauge is scaled down from it by area. NaN where the table has no
// such class, or the area is none.
func (a Ampacity) Amps(areaMM2, classC float64, in Surroundings) float64 {
	col := -1
	for i, c := range a.ClassesC {
		if c <= classC {
			col = i
		}
	}
	if col < 0 || !(areaMM2 > 0) || len(a.Rows) == 0 {
		return math.NaN()
	}
	first := a.Rows[0]
	amps := first.Amps[col] * math.Min(1, areaMM2/Gauge(first.AWG).AreaMM2())
	for _, r := range a.Rows {
		if Gauge(r.AWG).AreaMM2() <= areaMM2*(1+sameArea) {
			amps = r.Amps[col]
		}
	}
	return amps * a.factor(in)
}

// factor is what the surroundings leave of the table's current.
func (a Ampacity) factor(in Surroundings) float64 {
	f := 1.0
	if in.Warm {
		f = a.WarmFactor
	}
	bundle := 1.0
	for _, b := range a.Bundles {
		if in.Conductors >= b.Conductors {
			bundle = b.Factor
		}
	}
	return f * bundle
}
