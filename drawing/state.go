package drawing

import "math"

// Mark is a small sign that carries a state without colour. The zero value is none.
type Mark uint8

// The signs.
const (
	NoMark Mark = iota
	FullDisc
	Ring
	HalfDisc // left half full
	Square
	Triangle // point up
	Diamond
	Cross // x
	Bar   // level bar
	Tick  // check mark
)

// State is how a condition is shown: never by its colour alone. The zero
// value is a state of no name, drawn as plain paper.
type State struct {
	Word  string
	Ink   Ink
	Hatch Hatch
	Mark  Mark
}

// Mark draws a sign of the given height [mm], centred on a point.
func (s *Sheet) Mark(at Point, sizeMM float64, m Mark, k Ink) {
	h := sizeMM / 2
	pen := Pen{Ink: k, WidthMM: sizeMM / 7}
	switch m {
	case FullDisc:
		s.Circle(at, h, Pen{}, k)
	case Ring:
		s.Circle(at, h-pen.WidthMM/2, pen, NoInk)
	case HalfDisc:
		s.Circle(at, h-pen.WidthMM/2, pen, NoInk)
		s.Polygon(ArcPoints(at, h, 90, 270), Pen{}, k)
	case Square:
		s.Rect(Rect{at.X - h*0.88, at.Y - h*0.88, h * 1.76, h * 1.76}, Pen{}, k)
	case Triangle:
		s.Polygon([]Point{at.Add(0, -h), at.Add(h*1.1, h*0.9), at.Add(-h*1.1, h*0.9)}, Pen{}, k)
	case Diamond:
		s.Polygon([]Point{at.Add(0, -h*1.15), at.Add(h*1.15, 0), at.Add(0, h*1.15), at.Add(-h*1.15, 0)}, Pen{}, k)
	case Cross:
		d := h * 0.85
		s.Polylines([][]Point{{at.Add(-d, -d), at.Add(d, d)}, {at.Add(-d, d), at.Add(d, -d)}}, Pen{Ink: k, WidthMM: sizeMM / 5})
	case Bar:
		s.Rect(Rect{at.X - h, at.Y - h*0.3, sizeMM, h * 0.6}, Pen{}, k)
	case Tick:
		s.Polyline([]Point{at.Add(-h, h*0.1), at.Add(-h*0.25, h*0.8), at.Add(h, -h*0.8)}, Pen{Ink: k, WidthMM: sizeMM / 5})
	}
}

// Shade fills an area with a state's colour and its hatch, in dark lines on
// light colours and paper-coloured lines on dark ones.
func (s *Sheet) Shade(rings [][]Point, st State, spacingMM float64) {
	s.Polygons(rings, Pen{}, st.Ink)
	s.Hatch(rings, st.Hatch, spacingMM, Pen{Ink: st.Ink.Over(), WidthMM: 0.15})
}

// Over returns the ink that shows on this one: Dark on light inks, Ground on dark ones.
func (k Ink) Over() Ink {
	if k == NoInk || k.Luminance() > 0.22 {
		return Dark
	}
	return Ground
}

// Luminance returns the relative luminance of WCAG 2.1, 0 (black) to 1
// (white): 0.2126 R + 0.7152 G + 0.0722 B of the linear parts of sRGB.
func (k Ink) Luminance() float64 {
	lin := func(c uint8) float64 {
		v := float64(c) / 255
		if v <= 0.04045 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	}
	r, g, b := k.RGB()
	return 0.2126*lin(r) + 0.7152*lin(g) + 0.0722*lin(b)
}

// Legend draws states in a row, each a swatch with its hatch and mark and its
// word, wrapping at the width of r; it returns the height used [mm].
func (s *Sheet) Legend(r Rect, states []State, style TextStyle) float64 {
	const swatch, gap = 5.0, 4.0
	line := math.Max(style.LineMM(), 4.2)
	x, y := r.X, r.Y
	for _, st := range states {
		w := swatch + 1.2 + style.WidthMM(st.Word)
		if x > r.X && x+w > r.Right() {
			x, y = r.X, y+line
		}
		s.Swatch(Rect{x, y + (line-3)/2, swatch, 3}, st)
		s.Label(Point{x + swatch + 1.2, y + line/2}, st.Word, style)
		x += w + gap
	}
	return y + line - r.Y
}

// Swatch draws a small sample of a state: an outlined box with its colour and hatch, or its mark alone when it has no hatch.
func (s *Sheet) Swatch(r Rect, st State) {
	if st.Hatch == NoHatch && st.Mark != NoMark {
		s.Mark(r.Centre(), math.Min(r.W, r.H), st.Mark, st.Ink)
		return
	}
	s.Shade([][]Point{r.Corners()}, st, 0.9)
	s.Rect(r, Hair.Of(Dark), NoInk)
}
