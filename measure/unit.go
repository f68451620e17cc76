package measure

import (
	"math"
	"strconv"
)

// Unit is a unit of measurement: base = value*scale + offset. The zero Unit is
// that of plain numbers: no symbol, whole numbers, scale 1.
type Unit struct {
	symbol   string
	names    []string // other spellings that Parse takes
	scale    float64  // base units in one of this; 0 means 1
	offset   float64  // base value at this unit's zero
	decimals int      // resolution when shown
}

// Symbol is the unit as written behind a number: "m", "lb/ac".
func (u Unit) Symbol() string { return u.symbol }

// Value converts from the quantity's base unit to this one.
func (u Unit) Value(base float64) float64 { return (base - u.offset) / u.factor() }

// Base converts from this unit to the quantity's base unit.
func (u Unit) Base(value float64) float64 { return value*u.factor() + u.offset }

func (u Unit) factor() float64 {
	if u.scale == 0 {
		return 1
	}
	return u.scale
}

// Number writes a base value in this unit without the symbol: with the unit's
// usual decimals, or more where those would be off by over two percent.
// NaN, which stands for "not known", is "?".
func (u Unit) Number(base float64) string {
	v := u.Value(base)
	switch {
	case math.IsNaN(v):
		return "?"
	case math.IsInf(v, 1):
		return "∞"
	case math.IsInf(v, -1):
		return "-∞"
	}
	return fixed(v, decimalsFor(v, u.decimals))
}

// Fixed writes a base value in this unit with the symbol and so many decimals,
// whatever its size: for columns of figures.
func (u Unit) Fixed(base float64, decimals int) string {
	s := fixed(u.Value(base), decimals)
	if u.symbol == "" {
		return s
	}
	return s + " " + u.symbol
}

// fixed writes no minus before a zero.
func fixed(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if f, _ := strconv.ParseFloat(s, 64); f == 0 && s[0] == '-' {
		return s[1:]
	}
	return s
}

// The rounding that a reader does not notice, and the size under which a
// number is noise and may show as 0.
const (
	unnoticed  = 0.02
	leastShown = 1e-9
)

// decimalsFor raises the usual decimals until rounding changes v by no more
// than two percent. Half a step of d decimals is within that of all v from
// halfStep/unnoticed steps on, so that large values, which no step divides
// evenly, keep the usual ones and the search is short.
func decimalsFor(v float64, usual int) int {
	const halfStep = 0.5
	v = math.Abs(v)
	if v < leastShown {
		return usual
	}
	for d := usual; ; d++ {
		step := math.Pow10(-d)
		if halfStep*step <= unnoticed*v || math.Abs(math.Round(v/step)*step-v) <= unnoticed*v {
			return d
		}
	}
}

// Format writes a base value in this unit with the symbol: "3.05 m".
func (u Unit) Format(base float64) string {
	if u.symbol == "" {
		return u.Number(base)
	}
	return u.Number(base) + " " + u.symbol
}
