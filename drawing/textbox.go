package drawing

import "math"

// Outline returns the corners of the box that a text's ink fills on the sheet
// [mm]: as wide as the text, from the capitals' height to a little below the
// base line, turned with it. Layouts and tests ask it whether texts collide.
func (t Text) Outline() [4]Point {
	w, up, down := t.Style.WidthMM(t.Text), t.Style.CapMM(), 0.12*t.Style.SizeMM()
	from := 0.0
	switch t.Style.Align {
	case Left:
	case Centre:
		from = -w / 2
	case Right:
		from = -w
	}
	sin, cos := math.Sincos(t.Style.AngleDeg * math.Pi / 180)
	at := func(x, y float64) Point { return t.At.Add(x*cos-y*sin, x*sin+y*cos) }
	return [4]Point{at(from, -up), at(from+w, -up), at(from+w, down), at(from, down)}
}

// Overlap returns how deep two convex outlines lie in each other [mm], by the
// axis that parts them most easily (separating axis theorem, Gottschalk, Lin
// and Manocha 1996): 0 or less where they do not meet.
func Overlap(a, b [4]Point) float64 {
	least := math.Inf(1)
	for _, o := range [2][4]Point{a, b} {
		for i := range 2 {
			dx, dy := o[i+1].X-o[i].X, o[i+1].Y-o[i].Y
			l := math.Hypot(dx, dy)
			if l == 0 {
				continue
			}
			aLo, aHi := along(a, dx/l, dy/l)
			bLo, bHi := along(b, dx/l, dy/l)
			least = math.Min(least, math.Min(aHi, bHi)-math.Max(aLo, bLo))
		}
	}
	return least
}

// along returns the range of the outline's shadow on a direction.
func along(o [4]Point, ux, uy float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, p := range o {
		v := p.X*ux + p.Y*uy
		lo, hi = math.Min(lo, v), math.Max(hi, v)
	}
	return lo, hi
}
