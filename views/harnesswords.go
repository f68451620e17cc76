package views

import (
	"fmt"
	"math"
	"strings"

	"runproof/drawing"
	"runproof/fit"
)

func (l *loom) legLabels() {
	for i, leg := range l.f.Harness.Legs {
		text := fmt.Sprintf("%s  %s", leg.ID, l.units.length(leg.LengthM))
		if leg.AreaMM2 > l.leastArea() {
			text += fmt.Sprintf(", %.3g mm²", leg.AreaMM2)
		}
		places := along(l.lines[i], text, l.small)
		if line := l.lines[i]; lengthMM(line) < 2*boxHalfMM { // it goes up or down, or lies under its box
			places = beside(line[len(line)-1], boxHalfMM+0.2, text, l.small)
		}
		if !l.words.write(places) {
			l.bare = append(l.bare, fmt.Sprintf("%s (%s to %s)", text, leg.From, leg.To))
		}
	}
}

// leastArea is the thinnest copper of the harness: what the legend states, mm2.
func (l *loom) leastArea() float64 {
	least := math.Inf(1)
	for _, leg := range l.f.Harness.Legs {
		least = math.Min(least, leg.AreaMM2)
	}
	return least
}

// rest lists the boxes and legs that the drawing had no room to name, and returns the
// height used [mm].
func (l *loom) rest(r drawing.Rect) float64 {
	if len(l.bare) == 0 {
		return 0
	}
	y := r.Y
	for _, line := range l.small.Wrap("Without room for their name: "+strings.Join(l.bare, "; "), r.W) {
		y += l.small.LineMM()
		l.Text(drawing.Point{X: r.X, Y: y}, line, l.small)
	}
	return y + 1 - r.Y
}

func (l *loom) foot(r drawing.Rect) {
	y := r.Y + 8
	l.ScaleBar(drawing.Point{X: r.X, Y: y}, l.g.view, 40, ScaleUnit(l.units.System))
	l.Text(drawing.Point{X: r.X, Y: y + 6}, "scale "+l.g.view.Scale(), l.small.Bold())
	arrow := drawing.Point{X: r.X + 50, Y: y + 5}
	l.Arrow(arrow, arrow.Add(0, -9), drawing.Stout.Of(drawing.Accent), 3)
	l.Text(arrow.Add(2, -2.5), "forward", l.small.In(drawing.Accent))
	k := newLegend(l.Sheet, drawing.Rect{X: r.X + 66, Y: r.Y + 1, W: r.W - 66, H: r.H - 1}, l.small)
	k.line(legPen(fit.Leg{AreaMM2: 2.5}), "supply lead")
	k.line(legPen(fit.Leg{AreaMM2: 1, Bus: true}), fmt.Sprintf("power and bus; %.3g mm² where not said, thicker line for thicker copper", l.leastArea()))
	k.line(legPen(fit.Leg{AreaMM2: 1, Drop: true}), "drop")
	k.entry(3, "connectors within a leg", func(q drawing.Point) { l.Line(q.Add(1.5, -1.2), q.Add(1.5, 1.2), drawing.Stout) })
	k.entry(3, "hinge: leave slack", func(q drawing.Point) { l.Mark(q.Add(1.5, 0), 3, drawing.Diamond, drawing.Orange) })
	k.entry(3, "node", func(q drawing.Point) {
		l.Rect(drawing.Rect{X: q.X, Y: q.Y - 1.4, W: 2.8, H: 2.8}, drawing.Thin.Of(drawing.Accent), drawing.Ground)
	})
	k.entry(3, "gateway", func(q drawing.Point) {
		l.Rect(drawing.Rect{X: q.X, Y: q.Y - 1.4, W: 2.8, H: 2.8}, drawing.Stout.Of(drawing.Green), drawing.Ground)
	})
	k.entry(3, "junction", func(q drawing.Point) { l.Circle(q.Add(1.5, 0), 1.1, drawing.Thin, drawing.Dark) })
	k.entry(3, "terminator", func(q drawing.Point) {
		l.Line(q.Add(0, 0.6), q.Add(3, 0.6), drawing.Pen{Ink: drawing.Dark, WidthMM: 0.9})
	})
	k.entry(3, "power point", func(q drawing.Point) { l.Mark(q.Add(1.5, 0), 3, drawing.Triangle, drawing.Vermillion) })
	if l.f.Radio.Best().Name != "" {
		k.entry(9, "antenna and its lead", func(q drawing.Point) {
			l.Line(q, q.Add(9, 0), antennaLead)
			l.Mark(q.Add(1.5, 0), 2.6, drawing.Ring, drawing.Blue)
		})
	}
	if l.f.WorkSwitch.Node != "" {
		k.entry(9, "work-state switch and its lead", func(q drawing.Point) {
			l.Line(q, q.Add(9, 0), switchLead)
			l.Mark(q.Add(1.5, 0), 2.6, drawing.HalfDisc, drawing.Purple)
		})
	}
}
