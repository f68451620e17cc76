package can

import (
	"encoding/binary"
	"math"
	"strconv"
	"strings"
)

// field is where the bits of a signal lie in a frame.
type field struct {
	at       int  // first of the 8 bytes that are read together
	shift    uint // Intel: bits below it in the first byte; Motorola: bits above it
	bits     uint
	motorola bool
	bytes    int // a frame must have, to hold the signal
}

// fieldOf places a signal of up to 64 bits. Motorola bits run from the highest
// down, from bit 7 of a byte to bit 0 and on to bit 7 of the next.
func fieldOf(s *Signal) field {
	f := field{at: s.Start / 8, shift: uint(s.Start % 8), bits: uint(s.Bits), motorola: s.Motorola}
	if s.Motorola {
		f.shift = 7 - f.shift
	}
	f.bytes = f.at + (int(f.shift)+s.Bits-1)/8 + 1
	return f
}

// raw is the field's bits as a number. The frame must have f.bytes.
func (f *field) raw(data *[maxData + 16]byte) uint64 {
	w := data[f.at : f.at+9 : f.at+9]
	var v uint64
	if f.motorola {
		v = binary.BigEndian.Uint64(w) << f.shift
		if over := f.shift + f.bits; over > 64 {
			v |= uint64(w[8]) >> (8 - f.shift)
		}
		return v >> (64 - f.bits)
	}
	v = binary.LittleEndian.Uint64(w) >> f.shift
	if f.shift+f.bits > 64 {
		v |= uint64(w[8]) << (64 - f.shift)
	}
	return v << (64 - f.bits) >> (64 - f.bits)
}

// scale makes a physical value of a raw one: (raw x mul + add) / div. Factor and
// offset are decimal numbers, such as 0.001. As a float64 that is not quite a
// thousandth; where all whole numbers fit, mul, add and div are whole, and the
// one division gives the float64 nearest to the true value: 2.16, not
// 2.1600000000000001.
type scale struct{ mul, add, div float64 }

// scaleOf finds the scale for raw values up to most in size.
func scaleOf(factor, offset, most float64) scale {
	plain := scale{factor, offset, 1}
	f, fe, okF := decimal(factor)
	o, oe, okO := decimal(offset)
	const mostPlaces = 22 // 10^22 is the greatest power of ten that a float64 holds exactly
	places := max(0, -fe, -oe)
	if !okF || !okO || places > mostPlaces || places+max(fe, oe) > mostPlaces {
		return plain
	}
	s := scale{mul: f * math.Pow10(places+fe), add: o * math.Pow10(places+oe), div: math.Pow10(places)}
	const whole = 1 << 53
	if math.Abs(s.mul)*most+math.Abs(s.add) > whole {
		return plain
	}
	return s
}

// decimal splits v into a whole number of up to 17 digits and a power of ten.
func decimal(v float64) (digits float64, exp int, ok bool) {
	mantissa, power, _ := strings.Cut(strconv.FormatFloat(v, 'e', -1, 64), "e")
	exp, err := strconv.Atoi(power)
	whole, frac, _ := strings.Cut(mantissa, ".")
	n, errN := strconv.ParseInt(whole+frac, 10, 64)
	const exact = 1 << 53
	return float64(n), exp - len(frac), err == nil && errN == nil && n <= exact && n >= -exact
}

// of is the physical value. The conversion keeps the product from being fused
// with the sum, which some machines do.
func (s scale) of(raw float64) float64 { return (float64(raw*s.mul) + s.add) / s.div }
