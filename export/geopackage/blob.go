package geopackage

import (
	"encoding/binary"
	"math"

	"runproof/export"
)

// The types of geometry in WKB (OGC 06-103r4, table 7).
const (
	wkbPoint        = 1
	wkbLineString   = 2
	wkbPolygon      = 3
	wkbMultiLine    = 5
	wkbMultiPolygon = 6
)

const srsID = 4326

// Flags of a geometry's head: little-endian throughout; an envelope of four
// numbers or none.
const (
	littleEndian = 1
	withBox      = 1 << 1
)

// blob is a feature's geometry; nil where its place is not known. Points have no
// box, as the standard advises.
func blob(f export.Feature) []byte {
	switch {
	case f.At != nil:
		return position(number(append(head(0), 1), wkbPoint), *f.At)
	case f.Placed():
		low, high, _ := export.Layer{Features: []export.Feature{f}}.Bounds()
		b := head(withBox)
		for _, v := range []float64{low[0], high[0], low[1], high[1]} {
			b = float(b, v)
		}
		if len(f.Lines) > 0 {
			return lines(b, f.Lines)
		}
		return ground(b, f.Ground)
	}
	return nil
}

func lines(b []byte, ls []export.Line) []byte {
	b = number(number(append(b, 1), wkbMultiLine), len(ls))
	for _, l := range ls {
		b = number(number(append(b, 1), wkbLineString), len(l))
		for _, at := range l {
			b = position(b, at)
		}
	}
	return b
}

func head(flags byte) []byte {
	return number([]byte{'G', 'P', 0, littleEndian | flags}, srsID)
}

func ground(b []byte, g export.Ground) []byte {
	b = number(number(append(b, 1), wkbMultiPolygon), len(g))
	for _, p := range g {
		b = number(number(append(b, 1), wkbPolygon), len(p))
		for _, r := range p {
			b = number(b, len(r))
			for _, at := range r {
				b = position(b, at)
			}
		}
	}
	return b
}

func number(b []byte, v int) []byte { return binary.LittleEndian.AppendUint32(b, uint32(v)) }

func float(b []byte, v float64) []byte {
	return binary.LittleEndian.AppendUint64(b, math.Float64bits(v))
}

func position(b []byte, at export.Position) []byte { return float(float(b, at[0]), at[1]) }
