package drawing

import (
	"fmt"
	"math"
	"strconv"
)

// TickMark is one mark of an axis: where, and what stands beside it (nothing beside a minor mark).
type TickMark struct {
	At    float64
	Label string
}

// NiceTicks returns marks at multiples of a step of 1, 2 or 5 times a power of
// ten, about n of them, all within [lo, hi]. Labels carry as many decimals as
// the step needs. It returns nil if the range is empty or not finite, or so
// narrow where it is that its steps cannot be told apart.
func NiceTicks(lo, hi float64, n int) []TickMark {
	span := hi - lo
	if !(span > 0) || math.IsInf(span, 0) || n < 1 {
		return nil
	}
	step := niceAbove(span / float64(n))
	if most := math.Max(math.Abs(lo), math.Abs(hi)) / step; !(most < 1/exactPart) {
		return nil
	}
	decimals := max(0, -int(math.Floor(math.Log10(step)+1e-9)))
	var ticks []TickMark
	for k := math.Ceil(lo/step - 1e-9); k*step <= hi+step*1e-9; k++ {
		v := k*step + 0 // + 0 turns a negative zero into zero
		ticks = append(ticks, TickMark{v, strconv.FormatFloat(v, 'f', decimals, 64)})
	}
	return ticks
}

// exactPart is the part of a number that a float still tells: counting up by
// one from more than its inverse may stay where it is.
const exactPart = 1e-15

// niceAbove returns the least of 1, 2 and 5 times a power of ten that is at least x > 0.
func niceAbove(x float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(x)))
	for _, m := range []float64{1, 2, 5, 10} {
		if m*p >= x*(1-1e-9) {
			return m * p
		}
	}
	return 10 * p
}

// LogTicks returns marks at 1, 2 and 5 times the powers of ten within [lo, hi];
// when that makes more than n labels, at the powers of ten alone. It needs 0 < lo < hi.
func LogTicks(lo, hi float64, n int) []TickMark {
	if !(lo > 0) || !(hi > lo) || math.IsInf(hi, 0) {
		return nil
	}
	factors := []float64{1, 2, 5}
	if int(math.Ceil(3*math.Log10(hi/lo))) > n {
		factors = factors[:1]
	}
	var ticks []TickMark
	for e := math.Floor(math.Log10(lo)); e <= math.Ceil(math.Log10(hi)); e++ {
		for _, f := range factors {
			if v := f * math.Pow(10, e); v >= lo*(1-1e-9) && v <= hi*(1+1e-9) {
				ticks = append(ticks, TickMark{v, strconv.FormatFloat(v, 'g', 6, 64)})
			}
		}
	}
	return ticks
}

// clockSteps are the steps of a time axis [s].
var clockSteps = []float64{
	1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 10800, 21600, 43200, 86400,
}

// ClockTicks returns marks of a time axis, at most about n, at whole seconds,
// minutes or hours; loS and hiS are seconds after midnight of the first day.
// Labels are hh:mm, or hh:mm:ss for steps below a minute.
func ClockTicks(loS, hiS float64, n int) []TickMark {
	if !(hiS > loS) || math.IsInf(hiS-loS, 0) || n < 1 {
		return nil
	}
	step := clockSteps[len(clockSteps)-1]
	for _, s := range clockSteps {
		if (hiS-loS)/s <= float64(n) {
			step = s
			break
		}
	}
	for (hiS-loS)/step > float64(n) {
		step *= 2
	}
	var ticks []TickMark
	for k := math.Ceil(loS/step - 1e-9); k*step <= hiS+1e-9; k++ {
		ticks = append(ticks, TickMark{k * step, ClockLabel(k*step, step < 60)})
	}
	return ticks
}

// ClockLabel writes a time of day: hh:mm, with seconds hh:mm:ss. Times beyond a day wrap.
func ClockLabel(s float64, seconds bool) string {
	t := int(math.Round(s)) % 86400
	if t < 0 {
		t += 86400
	}
	if seconds {
		return fmt.Sprintf("%02d:%02d:%02d", t/3600, t/60%60, t%60)
	}
	return fmt.Sprintf("%02d:%02d", t/3600, t/60%60)
}

// Axis is one axis of a plot. Log needs 0 < Min < Max.
type Axis struct {
	Min, Max float64
	Title    string // quantity and unit: "missed [m]"
	Log      bool
	Ticks    []TickMark // nil = chosen by the plot
	NoGrid   bool
}

// part returns where a value lies between Min (0) and Max (1).
func (a Axis) part(v float64) float64 {
	if a.Log {
		return math.Log(v/a.Min) / math.Log(a.Max/a.Min)
	}
	return (v - a.Min) / (a.Max - a.Min)
}

func (a Axis) ticks(n int) []TickMark {
	switch {
	case a.Ticks != nil:
		return a.Ticks
	case a.Log:
		return LogTicks(a.Min, a.Max, n)
	}
	return NiceTicks(a.Min, a.Max, n)
}

// Plot is a pair of axes around a frame on the sheet.
type Plot struct {
	Frame Rect // the area of the data; labels stand outside to the left and below
	X, Y  Axis
	Text  TextStyle // size of the labels; zero means 8 pt
}

// PlotIn returns a plot whose frame leaves room for its labels within r.
func PlotIn(r Rect, x, y Axis) Plot {
	p := Plot{X: x, Y: y, Text: TextStyle{SizePT: 8}}
	left := 0.0
	for _, t := range y.ticks(ticksAlong(r.H)) {
		left = math.Max(left, p.Text.WidthMM(t.Label))
	}
	left += 2.5
	if y.Title != "" {
		left += p.Text.LineMM() + 0.5
	}
	below := p.Text.LineMM() + 1.5
	if x.Title != "" {
		below += p.Text.LineMM() + 0.5
	}
	p.Frame = Rect{r.X + left, r.Y + 2, math.Max(1, r.W-left-4), math.Max(1, r.H-below-2)}
	return p
}

func ticksAlong(mm float64) int { return max(2, int(mm/14)) }

// At returns the place of a value pair on the sheet. It is not a number where a logarithm does not exist.
func (p Plot) At(x, y float64) Point {
	return Point{p.Frame.X + p.X.part(x)*p.Frame.W, p.Frame.Bottom() - p.Y.part(y)*p.Frame.H}
}

// Axes draws frame, grid, marks and labels.
func (p Plot) Axes(s *Sheet) {
	style := p.Text
	if style.SizePT == 0 {
		style.SizePT = 8
	}
	p.xAxis(s, style.Aligned(Centre))
	p.yAxis(s, style)
	s.Rect(p.Frame, Thin, NoInk)
}

func (p Plot) xAxis(s *Sheet, style TextStyle) {
	var grid, marks [][]Point
	f := p.Frame
	for _, t := range p.X.ticks(ticksAlong(f.W * 0.8)) {
		x := f.X + p.X.part(t.At)*f.W
		grid = append(grid, []Point{{x, f.Y}, {x, f.Bottom()}})
		marks = append(marks, []Point{{x, f.Bottom()}, {x, f.Bottom() + 1.2}})
		s.Text(Point{x, f.Bottom() + 1.8 + style.CapMM()}, t.Label, style)
	}
	if !p.X.NoGrid {
		s.Polylines(grid, Grid)
	}
	s.Polylines(marks, Thin)
	s.Text(Point{f.Centre().X, f.Bottom() + 2.6 + style.CapMM() + style.LineMM()}, p.X.Title, style.In(Soft))
}

func (p Plot) yAxis(s *Sheet, style TextStyle) {
	var grid, marks [][]Point
	f, wide := p.Frame, 0.0
	for _, t := range p.Y.ticks(ticksAlong(f.H)) {
		y := f.Bottom() - p.Y.part(t.At)*f.H
		grid = append(grid, []Point{{f.X, y}, {f.Right(), y}})
		marks = append(marks, []Point{{f.X - 1.2, y}, {f.X, y}})
		s.Label(Point{f.X - 1.8, y}, t.Label, style.Aligned(Right))
		wide = math.Max(wide, style.WidthMM(t.Label))
	}
	if !p.Y.NoGrid {
		s.Polylines(grid, Grid)
	}
	s.Polylines(marks, Thin)
	s.Text(Point{f.X - 3.2 - wide, f.Centre().Y}, p.Y.Title, style.In(Soft).Aligned(Centre).Turned(-90))
}

// Line draws a curve through value pairs, cut to the frame; a pair that is not a number breaks it.
func (p Plot) Line(s *Sheet, xs, ys []float64, pen Pen) {
	pts := make([]Point, min(len(xs), len(ys)))
	for i := range pts {
		pts[i] = p.At(xs[i], ys[i])
	}
	s.Polylines(ClipPolyline(pts, p.Frame), pen)
}
