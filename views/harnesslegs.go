package views

import (
	"fmt"
	"math"
	"slices"

	"runproof/drawing"
	"runproof/drill"
	"runproof/fit"
)

// legPen is the pen of a leg: its ink and pattern by what it carries, its width by
// the copper in it.
func legPen(leg fit.Leg) drawing.Pen {
	p := drawing.Pen{Ink: drawing.Vermillion, WidthMM: 0.35 + 0.2*math.Sqrt(math.Max(leg.AreaMM2, 0.5))}
	switch {
	case leg.Bus:
		p.Ink = drawing.Accent
	case leg.Drop:
		p.Ink, p.Dash = drawing.Green, drawing.Dashed
	}
	return p
}

func (l *loom) legs() {
	ways := make([][]drawing.Point, len(l.f.Harness.Legs))
	for i, leg := range l.f.Harness.Legs {
		ways[i] = l.g.path(leg.Path)
	}
	l.lines = sideBySide(ways, besideMM)
	for i, leg := range l.f.Harness.Legs {
		title := fmt.Sprintf("leg %s, %s to %s, %s", leg.ID, leg.From, leg.To, l.units.length(leg.LengthM))
		l.Group("leg-"+leg.ID, title, func() {
			l.Polyline(l.lines[i], legPen(leg))
			l.joints(leg, l.lines[i])
		})
		l.words.avoid(l.lines[i])
	}
	l.hinges()
}

// joints marks where pieces of a leg are plugged together.
func (l *loom) joints(leg fit.Leg, line []drawing.Point) {
	sum, total := 0.0, leg.LengthM
	lengths := l.pieceLengths(leg)
	for _, m := range lengths[:max(0, len(lengths)-1)] {
		sum += m
		p, ux, uy := pointAt(line, sum/total)
		const half = 1.2
		l.Line(p.Add(-uy*half, ux*half), p.Add(uy*half, -ux*half), drawing.Stout)
	}
}

// pieceLengths are the lengths of a leg's pieces, m; alike where a part is not
// in the fit.
func (l *loom) pieceLengths(leg fit.Leg) []float64 {
	out := make([]float64, len(leg.Pieces))
	for i, id := range leg.Pieces {
		out[i] = leg.LengthM / float64(len(leg.Pieces))
		for _, p := range l.f.Parts {
			if p.ID == id {
				out[i] = p.LengthM
			}
		}
	}
	return out
}

// hinges marks each hinge that a leg crosses, once.
func (l *loom) hinges() {
	var done []drill.FrameLink
	for _, leg := range l.f.Harness.Legs {
		for _, k := range leg.Hinges {
			if slices.Contains(done, k) {
				continue
			}
			done = append(done, k)
			a, okA := l.f.Harness.Frame.Point(k.From)
			b, okB := l.f.Harness.Frame.Point(k.To)
			if !okA || !okB {
				continue
			}
			at := l.g.at(between(a, b, 0.5))
			l.Mark(at, 3.4, drawing.Diamond, drawing.Orange)
			l.words.keepAround(at, 1.9)
			l.slack = append(l.slack, beside(at, 1.7, "slack "+l.units.length(k.SlackM), l.small.In(drawing.Soft)))
		}
	}
}
