package dossier

import (
	"math"

	"runproof/drawing"
	"runproof/drill"
	"runproof/review"
)

// bars compares the runs: what each sensor counted against its head's mean, and where product was lost.
func (r *report) bars() {
	runs := r.day.Review.Runs
	if len(runs) == 0 {
		return
	}
	r.Turn(r.day.Paper.Landscape())
	if r.day.Evenness != nil { // that chapter has what can be said of shares
		r.Title("Where row went short")
		r.Paragraph("Metres of row in which each run lost product.")
		s, area := r.Rest(60)
		area.H = math.Min(area.H, 90)
		headLines(s, runs, drawLost(s, area, runs, r.units))
		return
	}
	r.Title("Runs compared")
	r.Paragraph("Above: each run's share of its head's counts over the day, 100 % being the head's mean. Sensors differ in gain by tens of percent, so this is not how even the drill is; a bar that changes from one season to the next is worth a look. Below: metres of row in which the run lost product.")
	s, area := r.Rest(80)
	drawBars(s, area, runs, r.units)
}

// Bars draws the comparison of runs as a picture of its own.
func Bars(day Day, size drawing.Size) *drawing.Sheet {
	s := drawing.NewSheet(size)
	s.Title = "Runs compared"
	drawBars(s, s.Bounds().Inset(5), day.Review.Runs, unitsOf(day.Fit.Drill.Display))
	return s
}

func drawBars(s *drawing.Sheet, r drawing.Rect, runs []review.RunSummary, u units) {
	shares := relativeShares(runs)
	top, bottom := r, r
	top.H = r.H * 0.56
	bottom.Y, bottom.H = r.Y+top.H, r.H-top.H
	upper := barPlot(top, runAxis(runs, r.W), drawing.Axis{Min: 0, Max: max(150, roundUp(maxOf(shares))), Title: "share of its head [%]"})
	upper.Axes(s)
	s.Line(upper.At(0, 100), upper.At(float64(len(runs)), 100), drawing.Thin.Of(drawing.Accent))
	for i := range runs {
		bar(s, upper, i, shares[i], drawing.State{Ink: drawing.Rule})
	}
	headLines(s, runs, upper, drawLost(s, bottom, runs, u))
}

func runAxis(runs []review.RunSummary, widthMM float64) drawing.Axis {
	return drawing.Axis{Min: 0, Max: float64(len(runs)), Ticks: headTicks(runs, widthMM), NoGrid: true}
}

// drawLost draws the row that each run left short.
func drawLost(s *drawing.Sheet, r drawing.Rect, runs []review.RunSummary, u units) drawing.Plot {
	lost := lostLengths(runs, u)
	x := runAxis(runs, r.W)
	x.Title = "runs, head by head, outlet 1 first"
	p := barPlot(r, x, drawing.Axis{Min: 0, Max: max(1, roundUp(maxOf(lost))), Title: "row short of product [" + u.scaleUnit().Name + "]"})
	p.Axes(s)
	for i := range runs {
		bar(s, p, i, lost[i], drawing.State{Ink: drawing.Vermillion, Hatch: drawing.Rising})
	}
	return p
}

// barPlot is a plot whose left edge does not depend on its labels, so that plots line up.
func barPlot(r drawing.Rect, x, y drawing.Axis) drawing.Plot {
	p := drawing.PlotIn(r, x, y)
	right := p.Frame.Right()
	p.Frame.X = r.X + 20
	p.Frame.W = right - p.Frame.X
	return p
}

func bar(s *drawing.Sheet, p drawing.Plot, i int, v float64, st drawing.State) {
	if !(v > 0) {
		return
	}
	a, b := p.At(float64(i)+0.12, v), p.At(float64(i)+0.88, 0)
	ring := drawing.Rect{X: a.X, Y: a.Y, W: b.X - a.X, H: b.Y - a.Y}.Corners()
	s.Shade([][]drawing.Point{ring}, st, 1.2)
	if b.X-a.X > 0.6 {
		s.Polygon(ring, drawing.Hair.Of(drawing.Dark), drawing.NoInk)
	}
}

// relativeShares returns each run's mean share as percent of an equal part of its head.
func relativeShares(runs []review.RunSummary) []float64 {
	n := map[drill.HeadID]float64{}
	for _, r := range runs {
		n[r.Head]++
	}
	out := make([]float64, len(runs))
	for i, r := range runs {
		out[i] = 100 * r.MeanShare * n[r.Head]
	}
	return out
}

func lostLengths(runs []review.RunSummary, u units) []float64 {
	out := make([]float64, len(runs))
	for i, r := range runs {
		out[i] = r.LostMetres / u.scaleUnit().M
	}
	return out
}

func maxOf(v []float64) float64 {
	m := 0.0
	for _, x := range v {
		if x > m && !math.IsInf(x, 0) {
			m = x
		}
	}
	return m
}

// roundUp leaves a little room above the highest bar.
func roundUp(v float64) float64 {
	if v <= 0 {
		return 0
	}
	p := math.Pow(10, math.Floor(math.Log10(v)))
	return math.Ceil(v*1.05/p*2) / 2 * p
}

// headTicks puts the head's name under the middle of its runs, of every second
// or third head where they would crowd a plot of that width [mm].
func headTicks(runs []review.RunSummary, widthMM float64) []drawing.TickMark {
	const leastMM = 6
	ticks := []drawing.TickMark{}
	for from := 0; from < len(runs); {
		to := from
		for to < len(runs) && runs[to].Head == runs[from].Head {
			to++
		}
		ticks = append(ticks, drawing.TickMark{At: float64(from+to) / 2, Label: string(runs[from].Head)})
		from = to
	}
	step := int(math.Ceil(leastMM * float64(len(ticks)) / widthMM))
	for i := range ticks {
		if step > 1 && i%step != 0 {
			ticks[i].Label = ""
		}
	}
	return ticks
}

// headLines sets the heads apart.
func headLines(s *drawing.Sheet, runs []review.RunSummary, plots ...drawing.Plot) {
	for i := 1; i < len(runs); i++ {
		if runs[i].Head == runs[i-1].Head {
			continue
		}
		for _, p := range plots {
			s.Line(drawing.Point{X: p.At(float64(i), 0).X, Y: p.Frame.Y}, drawing.Point{X: p.At(float64(i), 0).X, Y: p.Frame.Bottom()}, drawing.Grid)
		}
	}
}
