package dossier

import (
	"fmt"
	"math"
	"slices"

	"runproof/drawing"
	"runproof/drill"
	"runproof/replay"
)

// The looks of a replay's points.
var (
	replayCurve = drawing.State{Word: "least missed by any rule with so many false alarms, on this day", Ink: drawing.Blue, Mark: drawing.FullDisc}
	replayRules = drawing.State{Word: "rules that were played", Ink: drawing.Vermillion, Mark: drawing.Square}
	replayBest  = drawing.State{Word: "best with hindsight", Ink: drawing.Accent, Mark: drawing.Ring}
)

// ReplayProducts are the products with something to draw, in the order of the
// rules.
func ReplayProducts(doc *replay.Document) []drill.ProductID {
	var ids []drill.ProductID
	for _, o := range doc.Rules {
		for _, k := range o.Products {
			drawn := slices.ContainsFunc(doc.Curve, func(p replay.Point) bool { return p.Product == k.Product })
			if drawn && !slices.Contains(ids, k.Product) {
				ids = append(ids, k.Product)
			}
		}
	}
	return ids
}

// Replay draws, one product under the other, the metres missed on the day
// against its false alarms: of the rules that were played, and of every rule
// that could have been.
func Replay(day ReplayDay) *drawing.Sheet {
	const wide, high = 170, 92
	ids := ReplayProducts(day.Replay)
	s := drawing.NewSheet(drawing.Size{WMM: wide, HMM: high * float64(max(1, len(ids)))})
	s.Title = "Travel missed against false alarms of a recorded day"
	for i, id := range ids {
		drawReplay(s, drawing.Rect{X: 4, Y: float64(i)*high + 3, W: wide - 8, H: high - 5}, day.Replay, id, unitsOf(day.Drill.Display))
	}
	if len(ids) == 0 {
		s.Text(drawing.Point{X: 6, Y: 12}, "No event of this day cost product on a single run: there is nothing to draw.", drawing.TextStyle{SizePT: 10})
	}
	return s
}

// replayPlot is one product's picture.
type replayPlot struct {
	*drawing.Sheet
	plot   drawing.Plot
	unit   drawing.LengthUnit
	labels []drawing.Rect // that are written already
}

func drawReplay(s *drawing.Sheet, r drawing.Rect, doc *replay.Document, id drill.ProductID, u units) {
	title := drawing.TextStyle{SizePT: 11}.Bold()
	s.Text(drawing.Point{X: r.X, Y: r.Y + title.CapMM() + 0.5}, fmt.Sprintf("%s: travel missed against false alarms of this day", id), title)
	r.Y, r.H = r.Y+title.LineMM()+1, r.H-title.LineMM()-1
	h := s.Legend(drawing.Rect{X: r.X, Y: r.Y, W: r.W}, []drawing.State{replayRules, replayCurve, replayBest}, drawing.TextStyle{SizePT: 8})
	r.Y, r.H = r.Y+h+1, r.H-h-1
	p := &replayPlot{Sheet: s, unit: u.scaleUnit()}
	curve, keys := pointsOfReplay(doc, id)
	curve = near(curve, keys, doc.Best.MostFalse)
	p.axes(r, curve, keys)
	p.plot.Axes(s)
	p.taken(keys)
	p.allowed(doc.Best.MostFalse)
	p.curve(curve)
	for _, b := range doc.Best.Products {
		if b.Product == id {
			at := p.at(b.FalseCount, b.MissedM)
			p.Mark(at, 4.6, replayBest.Mark, replayBest.Ink)
			if !slices.ContainsFunc(keys, func(k replay.Key) bool { return k.Floor == b.Floor && k.HoldS == b.HoldS }) {
				p.note(at, ruleWords(b.Floor, b.HoldS), drawing.Accent)
			}
		}
	}
	for i, k := range keys {
		at := p.at(k.FalseCount, k.MissedM)
		p.Mark(at, 2.6, replayRules.Mark, replayRules.Ink)
		text := ruleWords(k.Floor, k.HoldS)
		if len(doc.Rules) > 1 {
			text = doc.Rules[i].Name + ": " + text
		}
		p.note(at, text, drawing.Dark)
	}
}

// near leaves out rules that ring far more often than anybody would stand.
func near(curve []replay.Point, keys []replay.Key, allowed int) []replay.Point {
	most := max(20, 5*allowed)
	for _, k := range keys {
		most = max(most, 2*k.FalseCount)
	}
	return slices.DeleteFunc(curve, func(p replay.Point) bool { return p.FalseCount > most })
}

func ruleWords(floor, holdS float64) string {
	return fmt.Sprintf("below %s for %s", percent(floor), span(holdS))
}

// pointsOfReplay are a product's curve, and its rule in each document that has
// one.
func pointsOfReplay(doc *replay.Document, id drill.ProductID) (curve []replay.Point, keys []replay.Key) {
	for _, p := range doc.Curve {
		if p.Product == id {
			curve = append(curve, p)
		}
	}
	for _, o := range doc.Rules {
		for _, k := range o.Products {
			if k.Product == id {
				keys = append(keys, k)
			}
		}
	}
	return curve, keys
}

// spread makes room for none on an axis that grows like a logarithm.
func spread(n float64) float64 { return math.Log10(1 + n) }

// countTicks are marks at 0, 1, 2, 5, 10, ... up to the first past most.
func countTicks(most float64) (ticks []drawing.TickMark, end float64) {
	add := func(n float64) {
		ticks = append(ticks, drawing.TickMark{At: spread(n), Label: fmt.Sprintf("%.0f", n)})
	}
	add(0)
	for p := 1.0; ; p *= 10 {
		for _, m := range []float64{1, 2, 5} {
			add(m * p)
			if m*p >= most {
				return ticks, spread(m * p)
			}
		}
	}
}

// axes: the fewest false alarms that miss least end the curve; what a rule that
// was played lies beyond them widens the axis.
func (p *replayPlot) axes(r drawing.Rect, curve []replay.Point, keys []replay.Key) {
	mostFalse, mostM := 10.0, p.unit.M
	for _, c := range curve {
		mostFalse, mostM = max(mostFalse, float64(c.FalseCount)), max(mostM, c.MissedM)
	}
	for _, k := range keys {
		mostFalse, mostM = max(mostFalse, float64(k.FalseCount)), max(mostM, k.MissedM, k.TakenM)
	}
	x := drawing.Axis{Title: "false alarms of the day"}
	x.Ticks, x.Max = countTicks(mostFalse)
	x.Max += 0.03
	y := drawing.Axis{Title: "travel missed [" + p.unit.Name + "]"}
	y.Ticks, y.Max = countTicks(mostM / p.unit.M * 1.1)
	x.Min, y.Min = -0.05*x.Max, -0.04*y.Max
	p.plot = drawing.PlotIn(r, x, y)
}

func (p *replayPlot) at(falseCount int, m float64) drawing.Point {
	return p.plot.At(spread(float64(falseCount)), spread(m/p.unit.M))
}

// curve is a stair: a rule with fewer false alarms is there for every larger
// number.
func (p *replayPlot) curve(points []replay.Point) {
	var line []drawing.Point
	for i, c := range points {
		at := p.at(c.FalseCount, c.MissedM)
		if i > 0 {
			line = append(line, drawing.Point{X: at.X, Y: line[len(line)-1].Y})
		}
		line = append(line, at)
	}
	if n := len(line); n > 0 {
		line = append(line, drawing.Point{X: p.plot.Frame.Right(), Y: line[n-1].Y})
	}
	p.Polylines(drawing.ClipPolyline(line, p.plot.Frame), drawing.Pen{Ink: replayCurve.Ink, WidthMM: 0.35})
	for _, c := range points {
		p.Mark(p.at(c.FalseCount, c.MissedM), 1.6, replayCurve.Mark, replayCurve.Ink)
	}
}

// taken is the line of what no alarm at all would have missed.
func (p *replayPlot) taken(keys []replay.Key) {
	if len(keys) == 0 {
		return
	}
	y := p.at(0, keys[0].TakenM).Y
	f := p.plot.Frame
	p.Line(drawing.Point{X: f.X, Y: y}, drawing.Point{X: f.Right(), Y: y}, drawing.Thin.Of(drawing.Soft).With(drawing.Dotted))
	const text = "no alarm at all"
	st := drawing.TextStyle{SizePT: 7.5, Ink: drawing.Soft, Align: drawing.Right}
	if !p.words(drawing.Point{X: f.Right() - 1, Y: y - 1.9}, text, st) {
		p.words(drawing.Point{X: f.Right() - 1, Y: y + 1.9}, text, st)
	}
}

// allowed is the line that the false alarms of the whole drill together must
// not pass in the search.
func (p *replayPlot) allowed(most int) {
	x, f := p.at(most, 0).X+1.6, p.plot.Frame
	if x > f.Right() {
		return
	}
	p.Line(drawing.Point{X: x, Y: f.Y}, drawing.Point{X: x, Y: f.Bottom()}, drawing.Thin.Of(drawing.Accent).With(drawing.Dashed))
	p.words(drawing.Point{X: x + 1, Y: f.Bottom() - 2.2}, fmt.Sprintf("given to the search: %d", most), drawing.TextStyle{SizePT: 7.5, Ink: drawing.Accent})
}

// note writes beside a point, on the first side that is free.
func (p *replayPlot) note(at drawing.Point, text string, k drawing.Ink) {
	st := drawing.TextStyle{SizePT: 8, Ink: k}.Bold()
	w := st.WidthMM(text)
	for _, off := range []drawing.Point{{X: 3.2, Y: -4}, {X: 3.2, Y: 4}, {X: 3.2}, {X: -3.2 - w}, {X: -3.2 - w, Y: -4}, {X: -3.2 - w, Y: 4}, {X: 3.2, Y: -8}, {X: 3.2, Y: 8}, {X: -w / 2, Y: -12}} {
		if p.words(at.Add(off.X, off.Y), text, st) {
			return
		}
	}
}

// words writes on a ground of its own where that is inside the frame and free.
func (p *replayPlot) words(at drawing.Point, text string, st drawing.TextStyle) bool {
	box := drawing.Rect{X: at.X - 0.6, Y: at.Y - 1.7, W: st.WidthMM(text) + 1.2, H: 3.4}
	if st.Align == drawing.Right {
		box.X = at.X - box.W + 0.6
	}
	f := p.plot.Frame
	if box.X < f.X || box.Right() > f.Right() || box.Y < f.Y || box.Bottom() > f.Bottom() {
		return false
	}
	for _, b := range p.labels {
		if box.X < b.Right() && b.X < box.Right() && box.Y < b.Bottom() && b.Y < box.Bottom() {
			return false
		}
	}
	p.labels = append(p.labels, box)
	p.Sheet.Rect(box, drawing.Pen{}, drawing.Ground)
	p.Label(at, text, st)
	return true
}
