package drawing

import (
	"math"
	"testing"
)

func TestOutlineTurnsWithItsText(t *testing.T) {
	flat := Text{At: Point{X: 10, Y: 20}, Text: "C-7", Style: TextStyle{SizePT: 10, Align: Centre}}
	up := flat
	up.Style.AngleDeg = -90
	w, cap := flat.Style.WidthMM("C-7"), flat.Style.CapMM()
	if o := flat.Outline(); math.Abs(o[0].X-(10-w/2)) > 1e-9 || math.Abs(o[0].Y-(20-cap)) > 1e-9 || math.Abs(o[1].X-(10+w/2)) > 1e-9 {
		t.Errorf("level text: %v", o)
	}
	if o := up.Outline(); math.Abs(o[0].X-(10-cap)) > 1e-9 || math.Abs(o[0].Y-(20+w/2)) > 1e-9 {
		t.Errorf("upright text: %v", o)
	}
}

func TestOverlap(t *testing.T) {
	box := func(x, y, w, h float64) [4]Point {
		c := Rect{x, y, w, h}.Corners()
		return [4]Point{c[0], c[1], c[2], c[3]}
	}
	diamond := [4]Point{{0, -1}, {1, 0}, {0, 1}, {-1, 0}}
	for _, c := range []struct {
		name string
		a, b [4]Point
		want float64
	}{
		{"apart by 2", box(0, 0, 3, 1), box(5, 0, 3, 1), -2},
		{"in each other by 1", box(0, 0, 3, 2), box(2, 0, 3, 2), 1},
		{"upright boxes would meet, the turned one does not", diamond, box(0.6, 0.6, 1, 1), 1/math.Sqrt2 - 1.2/math.Sqrt2},
	} {
		if got := Overlap(c.a, c.b); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}
