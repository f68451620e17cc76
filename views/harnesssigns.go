package views

import (
	"fmt"
	"slices"

	"runproof/drawing"
	"runproof/fit"
)

// places draws supply, junctions, boxes, terminators, antenna and switch, with
// their names.
func (l *loom) places() {
	type sign struct {
		at   drawing.Point
		word string
		bold bool
	}
	var signs []sign
	for _, p := range l.f.Harness.Places {
		at := l.spots[p.ID]
		word := p.ID
		switch p.Kind {
		case fit.SupplyPlace:
			l.Mark(at, 3.6, drawing.Triangle, drawing.Vermillion)
			word = "power point"
			if a := l.f.Protection.RatingA; a > 0 {
				word += fmt.Sprintf(", fuse %g A", a)
			}
		case fit.JunctionPlace:
			l.Circle(at, 1.1, drawing.Thin, drawing.Dark)
		case fit.GatewayPlace:
			l.Rect(drawing.Rect{X: at.X - boxHalfMM, Y: at.Y - boxHalfMM, W: 2 * boxHalfMM, H: 2 * boxHalfMM}, drawing.Stout.Of(drawing.Green), drawing.Ground)
		case fit.NodePlace:
			word += l.atHead(p.ID)
			l.Rect(drawing.Rect{X: at.X - boxHalfMM, Y: at.Y - boxHalfMM, W: 2 * boxHalfMM, H: 2 * boxHalfMM}, drawing.Thin.Of(drawing.Accent), drawing.Ground)
		}
		l.words.keepAround(at, boxHalfMM+0.2)
		signs = append(signs, sign{at, word, p.Kind != fit.JunctionPlace})
	}
	l.terminators()
	if b := l.f.Radio.Best(); b.Name != "" {
		at := l.g.at(b.Antenna)
		l.Mark(at, 3, drawing.Ring, drawing.Blue)
		l.words.keepAround(at, 1.6)
		signs = append(signs, sign{at, "antenna", false})
	}
	if w := l.f.WorkSwitch; w.Node != "" {
		at := l.g.at(w.At)
		l.Mark(at, 3, drawing.HalfDisc, drawing.Purple)
		l.words.keepAround(at, 1.6)
		signs = append(signs, sign{at, "work-state switch", false})
	}
	for _, bold := range []bool{true, false} { // boxes first
		for _, s := range signs {
			st := l.small
			if bold {
				st = st.Bold()
			}
			if s.bold == bold && !l.words.write(beside(s.at, boxHalfMM+0.2, s.word, st)) {
				l.bare = append(l.bare, s.word)
			}
		}
	}
}

// mostNodesWithHeads is up to how many nodes are named with their heads; more
// of them stand too close.
const mostNodesWithHeads = 16

// atHead says which head a node is at, where there is room for it.
func (l *loom) atHead(serial string) string {
	i := slices.IndexFunc(l.f.Nodes, func(n fit.Node) bool { return n.Serial == serial })
	if i < 0 || len(l.f.Nodes) > mostNodesWithHeads {
		return ""
	}
	return " at " + string(l.f.Nodes[i].Head)
}

// terminators stand at the two ends of the backbone.
func (l *loom) terminators() {
	bus := l.f.Harness.Bus
	if len(bus) == 0 {
		return
	}
	for _, id := range []string{bus[0], bus[len(bus)-1]} {
		for _, p := range l.f.Harness.Places {
			if p.ID == id {
				at := l.spots[p.ID]
				pen := drawing.Pen{Ink: drawing.Dark, WidthMM: 0.9}
				if p.Kind == fit.JunctionPlace { // beside it: legs go on before and behind
					l.Line(at.Add(1.1, 0), at.Add(boxHalfMM+0.9, 0), drawing.Thin)
					l.Line(at.Add(boxHalfMM+0.9, -1.7), at.Add(boxHalfMM+0.9, 1.7), pen)
					l.words.keep(drawing.Rect{X: at.X, Y: at.Y - 2, W: boxHalfMM + 1.6, H: 4})
					continue
				}
				l.Line(at.Add(-boxHalfMM-0.6, boxHalfMM+0.9), at.Add(boxHalfMM+0.6, boxHalfMM+0.9), pen)
				l.words.keep(drawing.Rect{X: at.X - boxHalfMM - 0.8, Y: at.Y + boxHalfMM, W: 2*boxHalfMM + 1.6, H: 1.6})
			}
		}
	}
}
