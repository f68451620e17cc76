package nmea

import "math"

var nan = math.NaN()

// exact are the powers of ten that a float64 holds exactly.
var exact = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// number reads a decimal number of at most 15 digits, to the last bit; ok is
// false for anything else, an empty field too.
func number(b []byte) (v float64, ok bool) {
	neg := len(b) > 0 && b[0] == '-'
	if neg {
		b = b[1:]
	}
	whole, decimals, ok := digits(b)
	if !ok {
		return nan, false
	}
	v = float64(whole) / exact[decimals]
	if neg {
		v = -v
	}
	return v, true
}

// digits reads the digits of a number without sign, and how many of them stand
// behind the point.
func digits(b []byte) (n uint64, decimals int, ok bool) {
	count, point := 0, -1
	for i, c := range b {
		switch {
		case c >= '0' && c <= '9':
			n = 10*n + uint64(c-'0')
			if count++; count > 15 {
				return 0, 0, false
			}
		case c == '.' && point < 0:
			point = i
		default:
			return 0, 0, false
		}
	}
	if point >= 0 {
		decimals = len(b) - 1 - point
	}
	return n, decimals, count > 0
}

// value is a number, or missing.
func value(b []byte) float64 {
	v, _ := number(b)
	return v
}

// angle reads ddmm.mmmm or dddmm.mmmm and its hemisphere, in degrees.
func angle(b, side []byte, positive, negative byte, most float64) float64 {
	n, decimals, ok := digits(b)
	if !ok || len(side) != 1 || side[0] != positive && side[0] != negative {
		return nan
	}
	unit := uint64(exact[decimals])
	whole := n / (100 * unit)
	minutes := float64(n-whole*100*unit) / float64(unit)
	v := float64(whole) + minutes/60
	if minutes >= 60 || v > most {
		return nan
	}
	if side[0] == negative {
		v = -v
	}
	return v
}

const (
	secondNS = int64(1e9)
	dayNS    = 86400 * secondNS
)

// timeOfDay reads hhmmss with any decimals, in nanoseconds since midnight. A
// leap second is given the last nanosecond of its day.
func timeOfDay(b []byte) (ns int64, ok bool) {
	if len(b) < 6 || len(b) > 6 && b[6] != '.' {
		return 0, false
	}
	n, decimals, ok := digits(b)
	if !ok || decimals > 9 {
		return 0, false
	}
	unit := int64(exact[decimals])
	s, frac := int64(n)/unit, int64(n)%unit*(secondNS/unit)
	h, m, s := s/10000, s/100%100, s%100
	if h > 23 || m > 59 || s > 60 {
		return 0, false
	}
	return min((h*3600+m*60+s)*secondNS+frac, dayNS-1), true
}
