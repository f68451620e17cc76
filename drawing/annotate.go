package drawing

import (
	"math"
	"strconv"
)

// LengthUnit is a unit that lengths are shown in.
type LengthUnit struct {
	Name string
	M    float64 // one unit in metres
}

// Metre and Foot (international, 0.3048 m exactly) are the units of plans and maps.
var (
	Metre = LengthUnit{"m", 1}
	Foot  = LengthUnit{"ft", 0.3048}
)

// ScaleBar draws a bar of a round length, no longer than maxMM, with its left
// end at a point, and the scale beside it. It returns the length in units.
func (s *Sheet) ScaleBar(at Point, v View, maxMM float64, u LengthUnit) float64 {
	perUnit := v.MMPerM * u.M
	if !(perUnit > 0) || !(maxMM > 0) {
		return 0
	}
	length := niceBelow(maxMM / perUnit)
	const parts, h = 4, 1.4
	w := length * perUnit / parts
	for i := range parts {
		fill := Dark
		if i%2 == 1 {
			fill = Ground
		}
		s.Rect(Rect{at.X + float64(i)*w, at.Y - h, w, h}, Pen{Ink: Dark, WidthMM: 0.18}, fill)
	}
	small := TextStyle{SizePT: 7, Align: Centre}
	for i := 0; i <= parts; i += 2 {
		s.Text(Point{at.X + float64(i)*w, at.Y - h - 1}, number(length*float64(i)/parts), small)
	}
	s.Text(Point{at.X + parts*w + 2.2, at.Y - 0.1}, u.Name, small.Aligned(Left))
	return length
}

// niceBelow returns the greatest of 1, 2 and 5 times a power of ten that is at most x > 0.
func niceBelow(x float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(x)))
	for _, m := range []float64{5, 2, 1} {
		if m*p <= x*(1+1e-9) {
			return m * p
		}
	}
	return p / 2
}

func number(v float64) string { return strconv.FormatFloat(roundTo(v, 6), 'f', -1, 64) }

func roundTo(v float64, decimals int) float64 {
	p := math.Pow(10, float64(decimals))
	return math.Round(v*p) / p
}

// NorthArrow draws an arrow that points up, with its foot at a point.
func (s *Sheet) NorthArrow(foot Point, heightMM float64) {
	h, w := heightMM, heightMM*0.24
	tip := foot.Add(0, -h)
	s.Polygon([]Point{tip, foot.Add(w, 0), foot.Add(0, -h*0.24)}, Thin, Ground)
	s.Polygon([]Point{tip, foot.Add(-w, 0), foot.Add(0, -h*0.24)}, Thin, Dark)
	s.Text(tip.Add(0, -1), "N", TextStyle{SizePT: 8, Align: Centre}.Bold())
}

// Arrow draws a line with a full head at its end.
func (s *Sheet) Arrow(from, to Point, p Pen, headMM float64) {
	dx, dy := to.X-from.X, to.Y-from.Y
	l := math.Hypot(dx, dy)
	if l == 0 {
		return
	}
	ux, uy := dx/l, dy/l
	neck := to.Add(-ux*headMM, -uy*headMM)
	s.Line(from, neck, p)
	s.Polygon([]Point{to, neck.Add(-uy*headMM*0.32, ux*headMM*0.32), neck.Add(uy*headMM*0.32, -ux*headMM*0.32)}, Pen{}, p.Ink)
}

// Dimension draws a dimension line parallel to a-b at a distance [mm], to the
// left of the way from a to b as seen on the sheet, with extension lines,
// strokes at the ends and the text over its middle. Text that is wider than
// the line stands beyond its end.
func (s *Sheet) Dimension(a, b Point, offsetMM float64, text string, style TextStyle) {
	dx, dy := b.X-a.X, b.Y-a.Y
	l := math.Hypot(dx, dy)
	if l == 0 {
		return
	}
	ux, uy := dx/l, dy/l
	nx, ny := uy, -ux // to the left of the way, y runs down
	a1, b1 := a.Add(nx*offsetMM, ny*offsetMM), b.Add(nx*offsetMM, ny*offsetMM)
	out := math.Copysign(1.2, offsetMM)
	var lines [][]Point
	for _, e := range [2][2]Point{{a, a1}, {b, b1}} {
		lines = append(lines,
			[]Point{e[0].Add(nx*out, ny*out), e[1].Add(nx*out, ny*out)},
			[]Point{e[1].Add((nx-ux)*0.8, (ny-uy)*0.8), e[1].Add((ux-nx)*0.8, (uy-ny)*0.8)})
	}
	lines = append(lines, []Point{a1, b1})
	s.Polylines(lines, Hair)
	s.dimensionText(a1, b1, l, text, style)
}

func (s *Sheet) dimensionText(a, b Point, l float64, text string, style TextStyle) {
	style.AngleDeg = math.Atan2(b.Y-a.Y, b.X-a.X) * 180 / math.Pi
	if style.AngleDeg > 90.001 || style.AngleDeg <= -90.001 { // never upside down
		style.AngleDeg -= math.Copysign(180, style.AngleDeg)
		a, b = b, a
	}
	sin, cos := math.Sincos(style.AngleDeg * math.Pi / 180)
	at := Point{(a.X + b.X) / 2, (a.Y + b.Y) / 2}
	style.Align = Centre
	if style.WidthMM(text) > l-1 {
		at, style.Align = b.Add(2*cos, 2*sin), Left
	}
	s.Text(at.Add(sin, -cos), text, style)
}
