package views

import (
	"math"

	"runproof/drawing"
	"runproof/drill"
	"runproof/fit"
)

// gatewayAsideMM is how far the gateway is drawn beside a junction that it sits
// above: both would be one sign from above.
const gatewayAsideMM = 9.0

// placeSigns finds where the sign of each place is drawn: where it stands, or
// beside a junction that it would hide.
func (l *loom) placeSigns() {
	l.spots = make(map[string]drawing.Point)
	for _, p := range l.f.Harness.Places {
		at := l.g.at(p.At)
		if p.Kind == fit.GatewayPlace {
			for _, q := range l.f.Harness.Places {
				if o := l.g.at(q.At); q.Kind == fit.JunctionPlace && math.Hypot(at.X-o.X, at.Y-o.Y) < 2*boxHalfMM+1 {
					at = o.Add(-gatewayAsideMM, 0)
				}
			}
		}
		l.spots[p.ID] = at
	}
}

// toSigns leads the way of a leg on to a sign that is drawn aside.
func (l *loom) toSigns(leg fit.Leg, way []drawing.Point) []drawing.Point {
	aside := func(id string, end drawing.Point) (drawing.Point, bool) {
		at, ok := l.spots[id]
		return at, ok && math.Hypot(at.X-end.X, at.Y-end.Y) > 0.5*gatewayAsideMM
	}
	if len(way) == 0 {
		return way
	}
	if at, ok := aside(leg.To, way[len(way)-1]); ok {
		way = append(way, at)
	}
	if at, ok := aside(leg.From, way[0]); ok {
		way = append([]drawing.Point{at}, way...)
	}
	return way
}

// The leads that are no legs.
var (
	antennaLead = drawing.Thin.Of(drawing.Blue)
	switchLead  = drawing.Thin.Of(drawing.Purple).With(drawing.Dashed)
)

// leads draws those of antenna and switch, straight.
func (l *loom) leads() {
	lead := func(from, to drawing.Point, pen drawing.Pen) {
		l.Line(from, to, pen)
		l.words.avoid([]drawing.Point{from, to})
	}
	for _, p := range l.f.Harness.Places {
		if b := l.f.Radio.Best(); p.Kind == fit.GatewayPlace && b.Name != "" {
			lead(l.spots[p.ID], l.g.at(b.Antenna), antennaLead)
		}
		if w := l.f.WorkSwitch; p.Kind == fit.NodePlace && p.ID == w.Node {
			lead(l.g.at(w.At), l.spots[p.ID], switchLead)
		}
	}
}

// origin marks the point that places are measured from.
func (l *loom) origin() {
	at := l.g.at(drill.Point{})
	originCross(l.Sheet, at)
	l.words.keepAround(at, 1.6)
	l.words.write(beside(at, 3.6, "0, places are measured from here", l.small))
}

// originCross is the sign of that point on every drawing.
func originCross(s *drawing.Sheet, at drawing.Point) {
	const half = 3.4
	s.Line(at.Add(-half, 0), at.Add(half, 0), drawing.Stout)
	s.Line(at.Add(0, -half), at.Add(0, half), drawing.Stout)
	s.Circle(at, 2, drawing.Thin, drawing.NoInk)
}
