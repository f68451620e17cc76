package can

import (
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// slowBits reads a signal bit by bit as the DBC numbers them: Intel upwards from
// the start bit; Motorola down from it, within a byte from 7 to 0 and on to bit 7
// of the next byte.
func slowBits(s *Signal, data []byte) uint64 {
	v, pos := uint64(0), s.Start
	for i := range s.Bits {
		bit := uint64(data[pos/8]>>(pos%8)) & 1
		if !s.Motorola {
			v |= bit << i
			pos++
			continue
		}
		v = v<<1 | bit
		if pos%8 == 0 {
			pos += 15
		} else {
			pos--
		}
	}
	return v
}

// drawSignal draws one that lies within a frame of 64 bytes.
func drawSignal(t *rapid.T, motorola bool) *Signal {
	s := &Signal{Bits: rapid.IntRange(1, 64).Draw(t, "bits"), Motorola: motorola}
	first := rapid.IntRange(0, 8*maxData-s.Bits).Draw(t, "first bit") // counted along the signal's own order
	s.Start = first
	if s.Motorola {
		s.Start = first/8*8 + 7 - first%8
	}
	return s
}

func TestBitsLikeTheSlowTwin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSignal(t, rapid.Bool().Draw(t, "motorola"))
		var f frame
		copy(f.data[:], rapid.SliceOfN(rapid.Byte(), len(f.data), len(f.data)).Draw(t, "data"))
		at := fieldOf(s)
		if got, want := at.raw(&f.data), slowBits(s, f.data[:maxData]); got != want {
			t.Fatalf("%+v: %x, want %x", s, got, want)
		}
		if at.bytes > maxData {
			t.Fatalf("%+v needs %d bytes", s, at.bytes)
		}
		// What lies behind the bytes it needs does not matter.
		short := f
		for i := at.bytes; i < len(short.data); i++ {
			short.data[i] ^= 0xff
		}
		if at.raw(&short.data) != at.raw(&f.data) {
			t.Fatalf("%+v reads behind its %d bytes", s, at.bytes)
		}
	})
}

// Motorola bits of a frame turned around are Intel bits.
func TestMotorolaIsIntelBackwards(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSignal(t, false)
		var f, turned frame
		copy(f.data[:maxData], rapid.SliceOfN(rapid.Byte(), maxData, maxData).Draw(t, "data"))
		for i := range maxData {
			turned.data[maxData-1-i] = f.data[i]
		}
		highest := s.Start + s.Bits - 1
		m := Signal{Bits: s.Bits, Motorola: true, Start: (maxData-1-highest/8)*8 + highest%8}
		intel, motorola := fieldOf(s), fieldOf(&m)
		if a, b := intel.raw(&f.data), motorola.raw(&turned.data); a != b {
			t.Fatalf("%+v: %x, turned around %x", s, a, b)
		}
	})
}

// A value is the float64 nearest to raw x factor + offset of the decimal numbers
// that the DBC has, wherever whole numbers over one denominator fit 53 bits; big
// rationals say what is nearest.
func TestScaleRoundsOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bits := rapid.IntRange(1, 32).Draw(t, "bits")
		decimalOf := func(name string) (float64, *big.Rat) {
			digits := rapid.Int64Range(-9999, 9999).Draw(t, name)
			places := rapid.IntRange(0, 5).Draw(t, name+" places")
			r := new(big.Rat).SetFrac64(digits, int64(math.Pow10(places)))
			v, _ := r.Float64()
			return v, r
		}
		factor, exactFactor := decimalOf("factor")
		offset, exactOffset := decimalOf("offset")
		raw := rapid.Int64Range(-(1<<bits)/2, 1<<bits-1).Draw(t, "raw")
		want, _ := new(big.Rat).Add(new(big.Rat).Mul(new(big.Rat).SetInt64(raw), exactFactor), exactOffset).Float64()
		s := scaleOf(factor, offset, math.Ldexp(1, bits))
		// 2^32 x 10^4 x 10^0 + 10^4 x 10^5 is below 2^53, but 2^32 x 10^4 x 10^5 is not.
		if got := s.of(float64(raw)); got != want && s.div != 1 {
			t.Fatalf("%d x %v + %v = %v, want %v", raw, factor, offset, got, want)
		} else if math.Abs(got-want) > 0x1p-51*(math.Abs(float64(raw)*factor)+math.Abs(offset)) {
			t.Fatalf("%d x %v + %v = %v, want %v", raw, factor, offset, got, want)
		}
	})
	for _, c := range []struct {
		factor, offset, raw, want float64
	}{
		{1, 0, 16383, 16383},
		{0.001, 0, 2160, 2.16},
		{0.001, 0, 2161, 2.161}, // 2161 x 0.001 is 2.1610000000000000497 in float64
		{0.1, -40, 3, -39.7},
		{0.05, 0, 251, 12.55},
		{1.0 / 128, 0, 1, 0.0078125},
		{-1, 0, 0, 0},
		{1e6, 0, 7, 7e6},
	} {
		if got := scaleOf(c.factor, c.offset, 65535).of(c.raw); got != c.want || math.Signbit(got) != math.Signbit(c.want) {
			t.Errorf("%v x %v + %v = %v, want %v", c.raw, c.factor, c.offset, got, c.want)
		}
	}
}

// Signed values: two's complement of the signal's own length.
func TestForms(t *testing.T) {
	for _, c := range []struct {
		form Form
		bits int
		raw  uint64
		want float64
	}{
		{Signed, 12, 0x7ff, 2047},
		{Signed, 12, 0x800, -2048},
		{Signed, 12, 0xfff, -1},
		{Signed, 1, 1, -1},
		{Signed, 64, 1 << 63, -0x1p63},
		{Unsigned, 64, math.MaxUint64, 0x1p64},
		{Float, 32, 0x40490fdb, float64(float32(math.Pi))},
		{Double, 64, 0x400921fb54442d18, math.Pi},
		{Float, 32, 0x7f800000, math.NaN()}, // infinite: no value
		{Double, 64, 0x7ff8000000000001, math.NaN()},
	} {
		r := readingOf(&Signal{Form: c.form, Bits: c.bits, Factor: 1}, false, 0)
		if got := r.value(c.raw); got != c.want && (got == got || c.want == c.want) {
			t.Errorf("%v of %d bits %#x: %v, want %v", c.form, c.bits, c.raw, got, c.want)
		}
	}
}

// The index finds what was put, and nothing else.
func TestPlaceIndexLikeAMap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var x placeIndex
		twin := map[place]int{}
		for range rapid.IntRange(0, 300).Draw(t, "n") {
			p := placeOf(rapid.IntRange(0, 3).Draw(t, "bus"), ident(rapid.Uint32Range(0, 80).Draw(t, "id"))|extended)
			if _, ok := twin[p]; !ok {
				x.put(p, len(twin))
				twin[p] = len(twin)
			}
		}
		for bus := range 4 {
			for id := range ident(100) {
				p := placeOf(bus, id|extended)
				at, ok := x.find(p)
				if want, has := twin[p]; ok != has || ok && at != want {
					t.Fatalf("%v: %d %v, want %d %v", p, at, ok, want, has)
				}
			}
		}
	})
}
