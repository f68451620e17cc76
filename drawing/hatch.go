package drawing

import (
	"math"
	"slices"
)

// Hatch is a pattern of lines that tells areas apart without colour. The zero
// value is no hatch.
type Hatch uint8

// The patterns.
const (
	NoHatch  Hatch = iota
	Rising         // ////
	Falling        // \\\\
	Crossed        // both
	Level          // ----
	Upright        // ||||
	Speckled       // dots
)

// hatchLines is one family of parallel lines: the angle of its lines and its dash.
type hatchLines struct {
	deg  float64
	dash Dash
}

func (h Hatch) families() []hatchLines {
	switch h {
	case Rising:
		return []hatchLines{{-45, Solid}}
	case Falling:
		return []hatchLines{{45, Solid}}
	case Crossed:
		return []hatchLines{{-45, Solid}, {45, Solid}}
	case Level:
		return []hatchLines{{0, Solid}}
	case Upright:
		return []hatchLines{{90, Solid}}
	case Speckled:
		return []hatchLines{{-30, Dotted}}
	}
	return nil
}

// Hatch fills an area with lines that are spacingMM apart, cut to the area
// (even-odd: inner rings are holes). Lines of neighbouring areas continue each
// other, since they are counted from the sheet's corner. A spacing of 0 or less draws nothing.
func (s *Sheet) Hatch(rings [][]Point, h Hatch, spacingMM float64, p Pen) {
	for _, f := range h.families() {
		s.Polylines(HatchLines(rings, f.deg, spacingMM), p.With(f.dash))
	}
}

// mostLines is past any sheet; counting up by one still tells lines apart there.
const mostLines = 1e6

// HatchLines returns the parts, inside the area, of parallel lines at an angle
// [deg, clockwise from the x axis] and a distance [mm] of each other. Rings
// are filled even-odd. It returns nil for a distance that is not positive, and
// for an area so far off or so large that its lines cannot be told apart.
func HatchLines(rings [][]Point, deg, spacingMM float64) [][]Point {
	if !(spacingMM > 0) {
		return nil
	}
	sin, cos := math.Sincos(deg * math.Pi / 180)
	turned, lo, hi := turnRings(rings, sin, cos)
	if most := math.Max(math.Abs(lo), math.Abs(hi)) / spacingMM; !(most < mostLines) {
		return nil
	}
	var lines [][]Point
	// Lines run at half steps, so that they rarely meet a corner or an edge that lies on the raster.
	for k := math.Floor(lo / spacingMM); ; k++ {
		v := (k + 0.5) * spacingMM
		if !(v < hi) {
			return lines
		}
		us := crossings(turned, v)
		for i := 0; i+1 < len(us); i += 2 {
			if us[i+1]-us[i] > 1e-9 {
				lines = append(lines, []Point{turnBack(us[i], v, sin, cos), turnBack(us[i+1], v, sin, cos)})
			}
		}
	}
}

// turnRings returns the rings in axes (u, v) with u along the lines, and the range of v.
func turnRings(rings [][]Point, sin, cos float64) (turned [][]Point, lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, ring := range rings {
		t := make([]Point, len(ring))
		for i, p := range ring {
			t[i] = Point{p.X*cos + p.Y*sin, -p.X*sin + p.Y*cos}
			lo, hi = math.Min(lo, t[i].Y), math.Max(hi, t[i].Y)
		}
		turned = append(turned, t)
	}
	return turned, lo, hi
}

func turnBack(u, v, sin, cos float64) Point {
	return Point{u*cos - v*sin, u*sin + v*cos}
}

// crossings returns where the line at v crosses the rings, in ascending order.
// A corner on the line counts for the edge above it only, so the number is even.
func crossings(rings [][]Point, v float64) []float64 {
	var us []float64
	for _, ring := range rings {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			if (a.Y <= v) != (b.Y <= v) {
				us = append(us, a.X+(v-a.Y)/(b.Y-a.Y)*(b.X-a.X))
			}
		}
	}
	slices.Sort(us)
	return us
}
