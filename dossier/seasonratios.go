package dossier

import (
	"math"

	"runproof/drawing"
	"runproof/season"
)

// The looks of a ratio before and after a repair.
var (
	ratioOwn    = drawing.State{Word: "the repaired place, with its 95 % interval", Ink: drawing.Accent, Mark: drawing.Square}
	ratioOthers = drawing.State{Word: "the others of its kind in the same days", Ink: drawing.Soft, Mark: drawing.Ring}
)

// ratiosPerPicture is how many repairs stand under each other on a page.
const (
	ratiosPerPicture = 14
	ratioRowMM       = 8.0
)

// ratiosMM is the height of the picture of so many repairs.
func ratiosMM(n int) float64 { return 22 + ratioRowMM*(float64(n)+0.55) }

// The range of ratios that is drawn; what lies beyond ends in an arrow.
const leastRatio, mostRatio = 0.01, 100

// drawRatios draws the rate after each repair over the rate before, on a
// logarithmic scale: left of 1 there was less trouble after it.
func drawRatios(s *drawing.Sheet, r drawing.Rect, rs []season.Aftermath) {
	h := s.Legend(drawing.Rect{X: r.X, Y: r.Y, W: r.W}, []drawing.State{ratioOwn, ratioOthers}, drawing.TextStyle{SizePT: 8})
	const left = 62.0
	st := drawing.TextStyle{SizePT: 8.5}
	x := drawing.Axis{Min: leastRatio, Max: mostRatio, Log: true, Title: "rate of troubles after the repair over that before"}
	y := drawing.Axis{Min: 0, Max: float64(len(rs)) + 0.55, Ticks: []drawing.TickMark{}, NoGrid: true}
	p := drawing.PlotIn(drawing.Rect{X: r.X + left, Y: r.Y + h, W: r.W - left, H: r.H - h}, x, y)
	p.Axes(s)
	one := p.At(1, 0).X
	s.Line(drawing.Point{X: one, Y: p.Frame.Y}, drawing.Point{X: one, Y: p.Frame.Bottom()}, drawing.Stout)
	small := drawing.TextStyle{SizePT: 7.5, Ink: drawing.Soft}
	s.Text(drawing.Point{X: one - 1.5, Y: p.Frame.Y + 3}, "better", small.Aligned(drawing.Right))
	s.Text(drawing.Point{X: one + 1.5, Y: p.Frame.Y + 3}, "worse", small)
	for i, a := range rs {
		v := float64(len(rs)) - float64(i) - 0.5
		at := p.At(1, v)
		label := repairPlace(a) + ", " + a.Trouble.String()
		s.Label(drawing.Point{X: r.X, Y: at.Y - 1.7}, label, st.Bold().Shrink(label, left-3, 5))
		what := dateOf(a.Date) + " " + a.What
		s.Label(drawing.Point{X: r.X, Y: at.Y + 1.9}, st.In(drawing.Soft).Fit(what, left-3), st.In(drawing.Soft))
		ratioBar(s, p, v+0.12, a.Ratio, a.Low, a.High, ratioOwn, 0.5)
		ratioBar(s, p, v-0.25, a.Others.Ratio, a.Others.Low, a.Others.High, ratioOthers, 0.25)
	}
}

// ratioBar draws one ratio with its interval; where nothing is known, nothing.
func ratioBar(s *drawing.Sheet, p drawing.Plot, y float64, ratio *float64, low float64, high *float64, st drawing.State, wide float64) {
	if ratio == nil && high == nil && low == 0 {
		return
	}
	pen := drawing.Pen{Ink: st.Ink, WidthMM: wide}
	end := func(v, beyond float64) drawing.Point {
		return p.At(math.Max(leastRatio, math.Min(mostRatio, v)), y).Add(beyond, 0)
	}
	a, b := end(low, 0), end(mostRatio, 0)
	if high != nil {
		b = end(*high, 0)
	}
	s.Line(a, b, pen)
	for _, e := range []struct {
		at  drawing.Point
		out bool
		to  float64
	}{{a, low < leastRatio, 2}, {b, high == nil || *high > mostRatio, -2}} {
		if e.out {
			s.Polyline([]drawing.Point{e.at.Add(e.to, -1), e.at, e.at.Add(e.to, 1)}, pen)
		} else {
			s.Line(e.at.Add(0, -1), e.at.Add(0, 1), pen)
		}
	}
	if ratio != nil && *ratio >= leastRatio && *ratio <= mostRatio {
		s.Mark(p.At(*ratio, y), 2.6, st.Mark, st.Ink)
	}
}
