package power

import "math"

// Copper of IEC 60028:1925, 100 % IACS.
const (
	CopperOhmMM2PerM = 1.0 / 58 // resistivity at 20 °C, ohm mm2/m
	copperPerK       = 0.00393  // temperature coefficient at 20 °C, 1/K
	copperAtC        = 20.0
)

// TemperatureFactor returns the resistance of copper at a temperature [°C]
// over that at 20 °C (IEC 60028:1925):
//
//	R(T)/R(20) = 1 + 0.00393 (T - 20)
//
// It holds for what conductors meet in the open, -50 to 200 °C.
func TemperatureFactor(celsius float64) float64 { return 1 + copperPerK*(celsius-copperAtC) }

// IdealOhm returns the resistance [ohm] of a conductor of ideal copper, one
// way, of a length [m] and a cross-section [mm2], at a temperature [°C]. Real
// wire has more: reckon with a Column.
func IdealOhm(lengthM, areaMM2, celsius float64) float64 {
	return CopperOhmMM2PerM * lengthM / areaMM2 * TemperatureFactor(celsius)
}

// OhmPerM returns the resistance of one conductor of that cross-section [mm2]
// at 20 °C, ohm/m: that of the column's row at or below, scaled by area within
// a row, so that no area is taken for better than the table promises. Under
// the first row it scales up from it; NaN for an area that is none.
func (c Column) OhmPerM(areaMM2 float64) float64 {
	if !(areaMM2 > 0) || len(c.Rows) == 0 {
		return math.NaN()
	}
	row := c.Rows[0]
	for _, r := range c.Rows {
		if r.MM2 <= areaMM2*(1+sameArea) {
			row = r
		}
	}
	return row.MohmM / 1000 * row.MM2 / areaMM2
}

// sameArea is how far an area may fall short of a table's row and still be it.
const sameArea = 1e-9

// WorstOhmMM2PerM is the highest resistance times area of the column's rows,
// ohm mm2/m at 20 °C: the resistivity that sizes a wire of no standard area
// without hope.
func (c Column) WorstOhmMM2PerM() float64 {
	worst := 0.0
	for _, r := range c.Rows {
		worst = math.Max(worst, r.MohmM/1000*r.MM2)
	}
	return worst
}

// AtOrAbove returns the smallest area [mm2] of the column that is at least
// the one asked for, and whether there is one.
func (c Column) AtOrAbove(areaMM2 float64) (float64, bool) {
	for _, r := range c.Rows {
		if r.MM2 >= areaMM2*(1-sameArea) {
			return r.MM2, true
		}
	}
	return 0, false
}
