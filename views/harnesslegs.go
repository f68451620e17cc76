package views

import (
	"fmt"
	"math"
	"strings"

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
		ways[i] = l.toSigns(leg, l.g.path(leg.Path))
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
	sum := 0.0
	lengths := l.pieceLengths(leg)
	for _, m := range lengths[:max(0, len(lengths)-1)] {
		sum += m
		p, ux, uy := nearestOn(line, l.g.at(cableAt(leg, l.f.Harness.Frame, sum)))
		const half = 1.2
		l.Line(p.Add(-uy*half, ux*half), p.Add(uy*half, -ux*half), drawing.Stout)
		l.words.keepAround(p, 0.9)
	}
}

// cableAt is where so many metres of a leg's cable end, from its first place
// along its way: lay and loops go evenly with the way, slack lies at its hinge,
// what is left over is coiled at the end.
func cableAt(leg fit.Leg, frame drill.Frame, cableM float64) drill.Point {
	if len(leg.Path) == 0 {
		return drill.Point{}
	}
	perM := 1.0
	if leg.RouteM > 0 {
		perM = (leg.RouteM + leg.LoopM) / leg.RouteM
	}
	done := make(map[drill.FrameLink]bool)
	for i := 1; i < len(leg.Path); i++ {
		a, b := leg.Path[i-1], leg.Path[i]
		for _, k := range leg.Hinges {
			if !done[k] && onLink(frame, k, a, b) {
				done[k] = true
				cableM = math.Max(0, cableM-k.SlackM)
			}
		}
		long := drill.DistanceM(a, b) * perM
		if cableM < long {
			return between(a, b, cableM/long)
		}
		cableM -= long
	}
	return leg.Path[len(leg.Path)-1]
}

// onLink tells whether a stretch of a way runs along a link of the frame.
func onLink(frame drill.Frame, k drill.FrameLink, a, b drill.Point) bool {
	const near = 0.02 // m
	from, okA := frame.Point(k.From)
	to, okB := frame.Point(k.To)
	long := drill.DistanceM(from, to)
	on := func(q drill.Point) bool { return drill.DistanceM(from, q)+drill.DistanceM(q, to) < long+near }
	return okA && okB && drill.DistanceM(a, b) > near && on(a) && on(b)
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

// mostLegsAtHinge are named at a hinge; of more it says how many.
const mostLegsAtHinge = 4

// hinges marks each hinge that a leg crosses, once, with its number.
func (l *loom) hinges() {
	for _, h := range l.f.Harness.Hinges() {
		a, okA := l.f.Harness.Frame.Point(h.Link.From)
		b, okB := l.f.Harness.Frame.Point(h.Link.To)
		if !okA || !okB {
			continue
		}
		at := l.g.at(between(a, b, 0.5))
		l.Mark(at, 3.4, drawing.Diamond, drawing.Orange)
		l.words.keepAround(at, 1.9)
		words := fmt.Sprintf("%s: slack %s, %s", h.ID, l.units.length(h.Link.SlackM), strings.Join(h.Legs, ", "))
		if len(h.Legs) > 1 {
			words = fmt.Sprintf("%s: slack %s each, %s", h.ID, l.units.length(h.Link.SlackM), strings.Join(h.Legs, ", "))
		}
		if len(h.Legs) > mostLegsAtHinge {
			words = fmt.Sprintf("%s: slack %s each, %d legs", h.ID, l.units.length(h.Link.SlackM), len(h.Legs))
		}
		l.slack = append(l.slack, beside(at, 1.7, words, l.small.In(drawing.Soft)))
	}
}
