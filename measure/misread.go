package measure

// Reading is one way to take a number: as one of another unit, which makes it
// Value in the unit wanted.
type Reading struct {
	Unit  Unit
	Value float64
}

// Misread lists what a number may have meant that is outside lo to hi in the
// unit wanted: the quantity's other units in which it would be inside. 25
// where metres of row spacing are wanted reads as centimetres (0.25) or inches
// (0.635).
func Misread(q Quantity, want Unit, v, lo, hi float64) []Reading {
	var readings []Reading
	for _, u := range q.units() {
		if u.symbol == want.symbol {
			continue
		}
		if x := want.Value(u.Base(v)); x >= lo && x <= hi {
			readings = append(readings, Reading{u, x})
		}
	}
	return readings
}
