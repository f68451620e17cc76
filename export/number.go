package export

import (
	"math"
	"strconv"
)

// Degrees writes a longitude or latitude with seven digits, a centimetre, and no
// zeros behind the last that counts.
func Degrees(b []byte, v float64) []byte {
	v = round7(v) + 0 // no -0
	b = strconv.AppendFloat(b, v, 'f', 7, 64)
	for b[len(b)-1] == '0' {
		b = b[:len(b)-1]
	}
	if b[len(b)-1] == '.' {
		b = b[:len(b)-1]
	}
	return b
}

// Number writes a cell of numbers, and false where it holds none.
func Number(b []byte, cell any, f Field) ([]byte, bool) {
	switch v := cell.(type) {
	case int64:
		return strconv.AppendInt(b, v, 10), true
	case float64:
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return b, false
		}
		return strconv.AppendFloat(b, v, 'f', f.Digits, 64), true
	case bool:
		return strconv.AppendBool(b, v), true
	}
	return b, false
}
