package parquet

import (
	"encoding/binary"
	"math"
	"slices"
	"strconv"

	"runproof/flowlog"
)

// convert turns len(dst) values in PLAIN encoding into dst.
type convert[T any] func(dst []T, src []byte)

// toFloats is how numbers of a kind become float64; scale as of a DECIMAL.
func toFloats(k kind, scale int32) convert[float64] {
	f := plainFloats(k)
	if scale == 0 {
		return f
	}
	by := math.Pow10(int(scale))
	return func(dst []float64, src []byte) {
		f(dst, src)
		for i := range dst {
			dst[i] /= by
		}
	}
}

func plainFloats(k kind) convert[float64] {
	le := binary.LittleEndian
	switch k {
	case booleans:
		return each(1, func(b []byte) float64 { return float64(b[0]) })
	case int32s:
		return each(4, func(b []byte) float64 { return float64(int32(le.Uint32(b))) })
	case uint32s:
		return each(4, func(b []byte) float64 { return float64(le.Uint32(b)) })
	case int64s:
		return each(8, func(b []byte) float64 { return float64(int64(le.Uint64(b))) })
	case uint64s:
		return each(8, func(b []byte) float64 { return float64(le.Uint64(b)) })
	case floats:
		return each(4, func(b []byte) float64 { return float64(math.Float32frombits(le.Uint32(b))) })
	case halves:
		return each(2, func(b []byte) float64 { return half(le.Uint16(b)) })
	}
	return each(8, func(b []byte) float64 { return math.Float64frombits(le.Uint64(b)) })
}

func each(width int, one func([]byte) float64) convert[float64] {
	return func(dst []float64, src []byte) {
		for i := range dst {
			dst[i] = one(src[i*width : (i+1)*width])
		}
	}
}

// half is an IEEE 754 binary16 number.
func half(b uint16) float64 {
	sign := 1 - 2*float64(b>>15)
	exponent, fraction := int(b>>10)&31, float64(b&1023)
	switch exponent {
	case 0:
		return sign * math.Ldexp(fraction, -24)
	case 31:
		if fraction != 0 {
			return math.NaN()
		}
		return sign * math.Inf(1)
	}
	return sign * math.Ldexp(1024+fraction, exponent-25)
}

// noTime stands for a time that is no number or that int64 nanoseconds do not
// hold.
const noTime = math.MinInt64

// firstNoTime returns the index of the first such time, or -1.
func firstNoTime(ns []int64) int { return slices.Index(ns, noTime) }

// toTimes is how a column's values become nanoseconds.
func toTimes(k kind, t timeForm) convert[int64] {
	le := binary.LittleEndian
	switch {
	case k == int96s:
		return eachTime(12, func(b []byte) int64 {
			// Nanoseconds of the day, then the Julian day; 1970-01-01 is 2440588.
			day := scaled(int64(le.Uint32(b[8:]))-2440588, 86400e9)
			if ofDay := le.Uint64(b); ofDay < 86400e9 && day != noTime && day < math.MaxInt64-86400e9 {
				return day + int64(ofDay)
			}
			return noTime
		})
	case k == floats:
		return eachTime(4, func(b []byte) int64 { return fromSeconds(float64(math.Float32frombits(le.Uint32(b))), 32) })
	case k == doubles:
		return eachTime(8, func(b []byte) int64 { return fromSeconds(math.Float64frombits(le.Uint64(b)), 64) })
	case k == uint32s:
		return eachTime(4, func(b []byte) int64 { return t.whole(int64(le.Uint32(b))) })
	case k == int32s:
		return eachTime(4, func(b []byte) int64 { return t.whole(int64(int32(le.Uint32(b)))) })
	case k == uint64s:
		return eachTime(8, func(b []byte) int64 { return t.whole(int64(min(le.Uint64(b), math.MaxInt64))) })
	}
	return eachTime(8, func(b []byte) int64 { return t.whole(int64(le.Uint64(b))) })
}

func eachTime(width int, one func([]byte) int64) convert[int64] {
	return func(dst []int64, src []byte) {
		for i := range dst {
			dst[i] = one(src[i*width : (i+1)*width])
		}
	}
}

// whole is the time of v units.
func (t timeForm) whole(v int64) int64 {
	if t.shrink > 1 {
		return v / t.shrink
	}
	return scaled(v, t.unitNS)
}

func scaled(v, unit int64) int64 {
	p := v * unit
	if v != 0 && (p/v != unit || v == noTime) {
		return noTime
	}
	return p
}

// exactSeconds is the greatest time, in seconds, whose nanoseconds come back
// right from v*1e9: below 2^51 ns both roundings together stay under half a
// nanosecond.
const exactSeconds = 2.25e6

// fromSeconds is v seconds in nanoseconds. Beyond exactSeconds it takes the
// shortest decimal that means v, because that is what somebody wrote:
// 1778577330.003 is not 1778577330.003000021.
func fromSeconds(v float64, bits int) int64 {
	switch {
	case v != v || math.IsInf(v, 0):
		return noTime
	case bits == 64 && math.Abs(v) < exactSeconds:
		return int64(math.Round(v * 1e9))
	}
	ns, _, err := flowlog.ParseTime(strconv.FormatFloat(v, 'f', -1, bits))
	if err != nil {
		return noTime
	}
	return ns
}
