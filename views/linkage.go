package views

import (
	"fmt"
	"math"
	"strings"

	"runproof/drawing"
	"runproof/fit"
)

// linkage draws what the work-state switch sits on, in both positions, with its
// angles and thresholds; where they are not known it says how the places
// compare. It returns the height used [mm].
func (p *profile) linkage(r drawing.Rect) float64 {
	w := p.f.WorkSwitch
	if w.Node == "" {
		return 0
	}
	p.Text(drawing.Point{X: r.X, Y: r.Y + 4}, "Work-state switch", drawing.TextStyle{SizePT: 10}.Bold())
	right := drawing.Rect{X: r.X + 92, Y: r.Y + 8, W: r.W - 92, H: r.H - 8}
	p.facts(right, w)
	if w.WorkDeg == nil || w.UpDeg == nil {
		p.Text(drawing.Point{X: r.X, Y: r.Y + 14}, p.small.Fit("The linkage is not described: no angle can be drawn.", 86), p.small.In(drawing.Soft))
		return r.H
	}
	p.arms(drawing.Rect{X: r.X, Y: r.Y + 8, W: 86, H: r.H - 10}, w)
	return r.H
}

// arms draws the arm at work and raised, to the angles, its length to the
// height of the drawing.
func (p *profile) arms(r drawing.Rect, w fit.WorkSwitch) {
	pivot := drawing.Point{X: r.Right() - 18, Y: r.Centre().Y}
	steep := math.Max(math.Abs(math.Sin(*w.WorkDeg*math.Pi/180)), math.Abs(math.Sin(*w.UpDeg*math.Pi/180)))
	long := math.Min(r.W-36, (r.H/2-5)/math.Max(steep, 0.1)) // as long as height and words let it be
	tip := func(deg float64) drawing.Point {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		return pivot.Add(-long*cos, -long*sin)
	}
	ray := func(deg float64, pen drawing.Pen) { p.Line(pivot, tip(deg), pen) }
	p.Line(pivot, tip(0), drawing.Hair.Of(drawing.Rule))
	ray(*w.WorkDeg, drawing.Pen{Ink: drawing.Accent, WidthMM: 1.2})
	ray(*w.UpDeg, drawing.Pen{Ink: drawing.Soft, WidthMM: 1.2, Dash: drawing.Dashed})
	p.Circle(pivot, 1.6, drawing.Stout, drawing.Ground)
	words := &labels{Sheet: p.Sheet, inside: drawing.Rect{X: r.X, Y: r.Y - 2, W: r.W, H: r.H + 4}}
	words.keepAround(pivot, 2)
	for _, deg := range []float64{*w.WorkDeg, *w.UpDeg} {
		words.avoid([]drawing.Point{pivot, tip(deg)})
	}
	name := func(deg float64, text string, st drawing.TextStyle) {
		at := tip(deg)
		words.keepAround(at, 0.6)
		words.write(beside(at, 1, text, st))
	}
	name(*w.WorkDeg, fmt.Sprintf("in the ground %.1f°", *w.WorkDeg), p.small.Bold())
	name(*w.UpDeg, fmt.Sprintf("raised %.1f°", *w.UpDeg), p.small.Bold())
	p.thresholds(pivot, long, w, words)
	words.write(beside(pivot, 2, "pivot", p.small))
	arrow := drawing.Point{X: pivot.X - 4, Y: r.Bottom() - 1}
	p.Arrow(arrow, arrow.Add(12, 0), drawing.Stout.Of(drawing.Accent), 3)
	p.Text(arrow.Add(-1.5, 1), "forward", p.small.In(drawing.Accent).Aligned(drawing.Right))
}

// thresholds draws the angles past which the state changes, and beyond each an
// arrow into the state that begins there.
func (p *profile) thresholds(pivot drawing.Point, long float64, w fit.WorkSwitch, words *labels) {
	if w.LowerAt == nil || w.RaiseAt == nil {
		return
	}
	for i, t := range []struct {
		at, to float64
		word   string
	}{{*w.LowerAt, *w.WorkDeg, "working"}, {*w.RaiseAt, *w.UpDeg, "lifted"}} {
		pen := drawing.Hair.Of(drawing.Vermillion).With(drawing.Dashed)
		sin, cos := math.Sincos(t.at * math.Pi / 180)
		end := pivot.Add(-(long+2)*cos, -(long+2)*sin)
		p.Line(pivot, end, pen)
		words.avoid([]drawing.Point{pivot, end})
		r := long * (0.62 - 0.14*float64(i))
		arc := drawing.ArcPoints(pivot, r, 180+t.at, 180+t.at+(t.to-t.at)*0.85)
		ink := drawing.Thin.Of(drawing.Vermillion)
		p.Polyline(arc, ink)
		if n := len(arc); n > 1 {
			p.Arrow(arc[n-2], arc[n-1], ink, 1.4)
			words.avoid(arc)
		}
		words.write(beside(end, 0.4, fmt.Sprintf("past %.1f° %s", t.at, t.word), p.small.In(drawing.Vermillion)))
	}
}

// facts lists where the switch goes, which way round, and how the places
// compare.
func (p *profile) facts(r drawing.Rect, w fit.WorkSwitch) {
	y := r.Y
	line := func(text string, st drawing.TextStyle) {
		for _, l := range st.Wrap(text, r.W) {
			if y+st.LineMM() > r.Bottom() {
				return
			}
			p.Text(drawing.Point{X: r.X, Y: y + st.CapMM()}, l, st)
			y += st.LineMM()
		}
		y += 0.8
	}
	st := drawing.TextStyle{SizePT: 8.5}
	line(fmt.Sprintf("On %s, its lead to the switch input of node %s.", w.On, w.Node), st.Bold())
	switch {
	case w.Kind == fit.ContactSwitch:
		line("A contact: note at the machine whether it is closed or open in the ground.", st)
	case w.RaiseAt != nil && w.LowerAt != nil:
		line(fmt.Sprintf("In the ground: %s. Set: raised past %.1f°, in the ground past %.1f°, each for %.1f s. Plus means the free end is above the pivot.", inTheGround(w.Work), *w.RaiseAt, *w.LowerAt, w.HoldS), st)
	default:
		line("Which way round is in the ground: to be noted at the machine.", st)
	}
	options := w.Options
	if len(options) > 0 && options[0].Usable {
		options = options[:1] // the others are for where this one cannot be had
	} else if len(options) > 1 {
		line("Take the first of these that the drill has:", st)
	}
	for i, o := range options {
		word := "usually turns by " + o.Typical
		if o.SpanDeg != nil {
			word = fmt.Sprintf("turns by %.1f° between raised and lowered; it must be more than %.1f°", *o.SpanDeg, 2*o.NeedDeg)
		}
		if o.Typical == "" && o.SpanDeg == nil {
			word = "needs no angle"
		}
		number := fmt.Sprintf("%d  ", i+1)
		if len(options) == 1 {
			number = ""
		}
		line(fmt.Sprintf("%s%s: %s. %s", number, capital(o.On), word, o.Words), st.In(drawing.Soft))
	}
}

// capital begins a text with a capital.
func capital(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToUpper(text[:1]) + text[1:]
}

// inTheGround says which angle means that the drill works.
func inTheGround(w fit.WorkWay) string {
	switch w {
	case fit.WorkBelow:
		return "the smaller angle"
	case fit.WorkAbove:
		return "the larger angle"
	case fit.WorkClosed, fit.WorkOpen, fit.WorkUnknown:
	}
	return w.String()
}
