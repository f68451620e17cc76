package dossier

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"runproof/alarm"
	"runproof/drawing"
	"runproof/drill"
)

// The looks of a frontier's points.
var (
	frontBlocked = drawing.State{Word: "run blocked at once", Ink: drawing.Vermillion, Mark: drawing.Square}
	frontHalf    = drawing.State{Word: "half its flow lost", Ink: drawing.Blue, Mark: drawing.Triangle}
	frontChosen  = drawing.State{Word: "chosen", Ink: drawing.Accent, Mark: drawing.Ring}
)

// Frontier draws, for one product, the metres missed before the alarm against
// false alarms for each rule that could have been chosen.
func Frontier(r *alarm.Rules, product drill.ProductID, display drill.Display, size drawing.Size) *drawing.Sheet {
	s := drawing.NewSheet(size)
	s.Title = fmt.Sprintf("Missed metres against false alarms, %s", product)
	drawFrontier(s, s.Bounds().Inset(5), r, product, unitsOf(display))
	return s
}

// front is one drawing of a frontier.
type front struct {
	*drawing.Sheet
	plot drawing.Plot
	unit drawing.LengthUnit
}

// fewestShown is the least rate of false alarms that the axis reaches down to, per 10 h.
const fewestShown = 1e-4

func drawFrontier(s *drawing.Sheet, r drawing.Rect, rules *alarm.Rules, product drill.ProductID, u units) {
	points := pointsOf(rules.Frontier, product)
	chosen := pointsOf(rules.Rules, product)
	f := &front{Sheet: s, unit: u.scaleUnit()}
	high := s.Legend(drawing.Rect{X: r.X, Y: r.Y, W: r.W}, []drawing.State{frontBlocked, frontHalf, frontChosen}, drawing.TextStyle{SizePT: 8})
	r.Y, r.H = r.Y+high+1, r.H-high-1
	x, y := f.axes(append(slices.Clone(points), chosen...), rules.Allowed)
	f.plot = drawing.PlotIn(r, x, y)
	f.plot.Axes(s)
	f.curve(points, func(m alarm.Missed) *float64 { return m.Blocked }, frontBlocked)
	f.curve(points, func(m alarm.Missed) *float64 { return m.Half }, frontHalf)
	f.allowed(rules.Allowed)
	f.best(rules, product)
	for _, c := range chosen {
		f.choice(c)
	}
}

func pointsOf(all []alarm.Working, product drill.ProductID) []alarm.Working {
	var out []alarm.Working
	for _, w := range all {
		if w.Product == product {
			out = append(out, w)
		}
	}
	slices.SortStableFunc(out, func(a, b alarm.Working) int { return cmp.Compare(a.FalseAlarmsPerDay, b.FalseAlarmsPerDay) })
	return out
}

// shownDecades is how far the axis of false alarms reaches on both sides of the allowed rate.
const shownDecades = 1e3

// axes spans whole decades around the points that are near the allowed rate.
func (f *front) axes(points []alarm.Working, allowed float64) (x, y drawing.Axis) {
	least, most := max(fewestShown, allowed/shownDecades), max(10*fewestShown, allowed*shownDecades)
	x0, x1 := max(least, allowed), min(most, max(least, allowed))
	y0, y1 := math.Inf(1), math.Inf(-1)
	for _, w := range points {
		if w.FalseAlarmsPerDay > most {
			continue
		}
		x0, x1 = min(x0, max(least, w.FalseAlarmsPerDay)), max(x1, w.FalseAlarmsPerDay)
		for _, m := range []*float64{w.Missed.Blocked, w.Missed.Half} {
			if m != nil && *m > 0 {
				y0, y1 = min(y0, *m/f.unit.M), max(y1, *m/f.unit.M)
			}
		}
	}
	if y0 > y1 {
		y0, y1 = 1, 10
	}
	x = drawing.Axis{Min: decade(x0, math.Floor), Max: decade(x1, math.Ceil), Log: true, Title: "false alarms in 10 h of work"}
	y = drawing.Axis{Min: decade(y0, math.Floor), Max: decade(y1, math.Ceil), Log: true, Title: "travel to the alarm [" + f.unit.Name + "]"}
	return widened(x), widened(y)
}

// decade rounds a positive number to a power of ten.
func decade(v float64, round func(float64) float64) float64 {
	return math.Pow(10, round(math.Log10(v)))
}

func widened(a drawing.Axis) drawing.Axis {
	if a.Max <= a.Min {
		a.Max = 10 * a.Min
	}
	return a
}

func (f *front) at(falsePerDay, m float64) drawing.Point {
	return f.plot.At(max(f.plot.X.Min, falsePerDay), m/f.unit.M)
}

// curve draws every point, and a line through those that no other betters: the
// points come in the order of their false alarms.
func (f *front) curve(points []alarm.Working, of func(alarm.Missed) *float64, st drawing.State) {
	var line []drawing.Point
	best := math.Inf(1)
	for _, w := range points {
		m := of(w.Missed)
		if m == nil || !(*m > 0) || w.FalseAlarmsPerDay > f.plot.X.Max {
			continue
		}
		p := f.at(w.FalseAlarmsPerDay, *m)
		f.Mark(p, 1.2, st.Mark, st.Ink)
		if *m < best {
			best = *m
			line = append(line, p)
		}
	}
	f.Polylines(drawing.ClipPolyline(line, f.plot.Frame), drawing.Pen{Ink: st.Ink, WidthMM: 0.3})
}

// note writes a label on a ground of its own.
func (f *front) note(at drawing.Point, text string, st drawing.TextStyle) {
	f.Sheet.Rect(drawing.Rect{X: at.X - 0.6, Y: at.Y - 1.7, W: st.WidthMM(text) + 1.2, H: 3.4}, drawing.Pen{}, drawing.Ground)
	f.Label(at, text, st)
}

// allowed draws the line that the false alarms must not pass.
func (f *front) allowed(rate float64) {
	if rate < f.plot.X.Min || rate > f.plot.X.Max {
		return // none allowed, or too few to show
	}
	x := f.plot.At(rate, f.plot.Y.Min).X
	f.Line(drawing.Point{X: x, Y: f.plot.Frame.Y}, drawing.Point{X: x, Y: f.plot.Frame.Bottom()}, drawing.Thin.Of(drawing.Accent).With(drawing.Dashed))
	f.Text(drawing.Point{X: x - 1, Y: f.plot.Frame.Y + 3.4}, "allowed", drawing.TextStyle{SizePT: 7.5, Ink: drawing.Accent, Align: drawing.Right})
}

// best draws what no rule can better at the allowed rate.
func (f *front) best(rules *alarm.Rules, product drill.ProductID) {
	for _, b := range rules.Best {
		if b.Product != product || b.Missed.Blocked == nil || !(rules.Allowed > 0) {
			continue
		}
		p := f.at(rules.Allowed, *b.Missed.Blocked)
		if p.Y <= f.plot.Frame.Bottom() && p.Y >= f.plot.Frame.Y {
			f.Line(p.Add(-8, 0), p.Add(8, 0), drawing.Stout.Of(drawing.Dark))
			const words = "best possible for a blocked run"
			st := drawing.TextStyle{SizePT: 7.5}
			at := p.Add(9, 0)
			if at.X+st.WidthMM(words) > f.plot.Frame.X+f.plot.Frame.W {
				at = p.Add(-9-st.WidthMM(words), 0)
			}
			f.note(at, words, st)
		}
	}
}

// choice rings the chosen rule on both curves and names it.
func (f *front) choice(w alarm.Working) {
	for i, m := range []*float64{w.Missed.Blocked, w.Missed.Half} {
		if m == nil || !(*m > 0) {
			continue
		}
		p := f.at(w.FalseAlarmsPerDay, *m)
		f.Mark(p, 4, frontChosen.Mark, frontChosen.Ink)
		if i == 0 {
			f.note(p.Add(2.5, -4.5), fmt.Sprintf("floor %s, hold %s", percent(w.Floor), span(w.HoldS)), drawing.TextStyle{SizePT: 8}.Bold())
		}
	}
}
