package views

import (
	"fmt"
	"math"
	"slices"

	"runproof/align"
	"runproof/drawing"
	"runproof/flowlog"
)

// Offset draws what a clock offset rests on: above, how well each offset explains
// the two logs; below, ten minutes of flow and speed laid over each other.
func Offset(o *align.Offset) *drawing.Sheet {
	s := drawing.NewSheet(drawing.Size{WMM: 200, HMM: 130})
	s.Title = "What a clock offset rests on"
	title := drawing.TextStyle{SizePT: 11, Ink: drawing.Accent}.Bold()
	s.Text(drawing.Point{X: 8, Y: 9}, fmt.Sprintf("Offset %+.2f s (position log's clock minus the flow log's), 95 %% %+.2f to %+.2f s, %s", o.S, o.LowS, o.HighS, o.Verdict), title)
	offsetCurve(s, drawing.Rect{X: 6, Y: 14, W: 188, H: 50}, o)
	offsetStretch(s, drawing.Rect{X: 6, Y: 74, W: 188, H: 50}, o)
	return s
}

// offsetCurve is the log likelihood ratio by offset, in minutes from the best
// where the offset places a log without dates.
func offsetCurve(s *drawing.Sheet, r drawing.Rect, o *align.Offset) {
	curve := o.Picture.Curve
	if len(curve) < 2 {
		return
	}
	origin, title := 0.0, "offset [s]"
	if math.Abs(o.S) > 1e6 {
		origin, title = o.S, "offset from the best [s]"
	}
	xs, ys, top := make([]float64, len(curve)), make([]float64, len(curve)), 1.0
	for i, p := range curve {
		xs[i], ys[i] = p.OffsetS-origin, p.Nats
		top = math.Max(top, p.Nats)
	}
	p := drawing.PlotIn(r, drawing.Axis{Min: xs[0], Max: xs[len(xs)-1], Title: title}, drawing.Axis{Min: 0, Max: top * 1.05, Title: "evidence [nats]"})
	p.Axes(s)
	s.Group("curve", "how well each offset explains the logs", func() { p.Line(s, xs, ys, drawing.Stout.Of(drawing.Blue)) })
	for i, k := range o.Peaks {
		at := p.At(k.OffsetS-origin, k.Nats)
		style := drawing.TextStyle{SizePT: 7, Align: drawing.Left}
		if i == 0 {
			s.Label(at.Add(2, 0), "taken", style)
		}
	}
}

// offsetStretch lays flow, shifted by the offset, over speed: the usual flow at
// the usual speed in work.
func offsetStretch(s *drawing.Sheet, r drawing.Rect, o *align.Offset) {
	pic := o.Picture
	if len(pic.SpeedMPS) == 0 {
		return
	}
	fast, usual := speedsOf(pic)
	day := math.Mod(float64(pic.T0NS)/1e9, 86400)
	if day < 0 {
		day += 86400
	}
	xs, flow := make([]float64, len(pic.Flow)), make([]float64, len(pic.Flow))
	for i := range xs {
		xs[i] = day + float64(i)*pic.StepS
		flow[i] = pic.Flow[i] * usual
	}
	x := drawing.Axis{Min: xs[0], Max: xs[len(xs)-1], Title: "position log's clock, " + flowlog.UTC.Format(pic.T0NS)[:10], Ticks: drawing.ClockTicks(xs[0], xs[len(xs)-1], 8)}
	p := drawing.PlotIn(r, x, drawing.Axis{Min: 0, Max: fast * 1.05, Title: "speed [m/s]"})
	p.Axes(s)
	speedPen, flowPen := drawing.Stout.Of(drawing.Black), drawing.Stout.Of(drawing.Vermillion).With(drawing.Dashed)
	s.Group("speed", "speed of the position log", func() { p.Line(s, xs, pic.SpeedMPS, speedPen) })
	s.Group("flow", "flow, shifted by the offset", func() { p.Line(s, xs, flow, flowPen) })
	offsetKey(s, drawing.Point{X: p.Frame.X, Y: p.Frame.Y - 3}, speedPen, flowPen)
}

// speedsOf is the fastest speed of a picture, and the middle one where flow runs.
func speedsOf(pic align.Picture) (fast, usual float64) {
	const runs = 0.5 // of the usual flow
	fast = 0.1
	var inWork []float64
	for i, v := range pic.SpeedMPS {
		if v > fast {
			fast = v
		}
		if v == v && pic.Flow[i] > runs {
			inWork = append(inWork, v)
		}
	}
	if len(inWork) == 0 {
		return fast, fast
	}
	slices.Sort(inWork)
	return fast, inWork[len(inWork)/2]
}

func offsetKey(s *drawing.Sheet, at drawing.Point, speed, flow drawing.Pen) {
	const dash, apart = 8.0, 50.0
	style := drawing.TextStyle{SizePT: 7}
	for i, k := range []struct {
		pen  drawing.Pen
		word string
	}{{speed, "speed of the position log"}, {flow, "flow, shifted, its usual at the usual speed"}} {
		from := at.Add(float64(i)*apart, 0)
		s.Line(from, from.Add(dash, 0), k.pen)
		s.Label(from.Add(dash+1.5, 0), k.word, style)
	}
}
