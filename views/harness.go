package views

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"runproof/drawing"
	"runproof/drill"
	"runproof/fit"
)

// Harness draws the harness to scale, seen from above with forward up: legs
// along the frame with their lengths, connectors within them, hinges where slack
// is left, boxes, junctions, terminators, and where the power comes from. A long
// way without anything to see is cut short between two wavy lines.
func Harness(f *fit.Fit, o Options) *drawing.Sheet {
	return grown(o.widthMM(), "Harness of "+NameOf(&f.Drill)+", seen from above", func(s *drawing.Sheet, r drawing.Rect) float64 {
		r.H = math.Max(lowestHarnessMM, r.H*harnessShape)
		return DrawHarness(s, r, f)
	})
}

// A picture of a harness is this much lower than wide, so that a long feed is
// cut before it makes the picture upright.
const (
	harnessShape    = 0.62
	lowestHarnessMM = 90
)

// WriteHarness writes the harness as an SVG picture that stands alone.
func WriteHarness(w io.Writer, f *fit.Fit, o Options) error { return write(w, Harness(f, o)) }

// loom is one drawing of a harness.
type loom struct {
	*drawing.Sheet
	f     *fit.Fit
	d     *drill.Drill
	g     ground
	area  drawing.Rect
	units units
	small drawing.TextStyle
	words *labels
	lines [][]drawing.Point // of the legs, side by side
	slack [][]place         // where each hinge's slack can be written
	bare  []string          // boxes and legs for whose name there was no room
}

const (
	loomFootMM  = 22.0
	besideMM    = 1.1 // between legs that lie side by side
	boxHalfMM   = 1.9
	loomSideMM  = 14.0
	loomTopMM   = 6.0
	loomBelowMM = 4.0
)

// DrawHarness draws the harness within r, from its top, and returns the height
// used [mm]; 0 where the fit has none.
func DrawHarness(s *drawing.Sheet, r drawing.Rect, f *fit.Fit) float64 {
	if len(f.Harness.Legs) == 0 {
		return 0
	}
	trial, rest := drawLoom(drawing.NewSheet(s.Size), r, f)
	if rest > 0 && trial > r.H { // make room for the list below
		r.H -= rest
	}
	used, _ := drawLoom(s, r, f)
	return used
}

// drawLoom is DrawHarness; it also returns how much of the height the list of
// names without room takes [mm].
func drawLoom(s *drawing.Sheet, r drawing.Rect, f *fit.Fit) (used, rest float64) {
	l := &loom{Sheet: s, f: f, d: &f.Drill, units: unitsOf(f.Drill.Display), small: drawing.TextStyle{SizePT: 7.5}}
	room := drawing.Rect{X: r.X + loomSideMM, Y: r.Y + loomTopMM, W: r.W - 2*loomSideMM, H: math.Max(20, r.H-loomTopMM-loomBelowMM-loomFootMM)}
	e, seen := l.extent()
	l.g = fitGround(e, seen, room)
	front, back := l.g.view.At(0, l.g.folded(e.Front)), l.g.view.At(0, l.g.folded(e.Back))
	up := front.Y - room.Y
	l.g.view.Origin.Y -= up // from the top
	l.area = drawing.Rect{X: r.X, Y: r.Y, W: r.W, H: back.Y - up + loomBelowMM - r.Y}
	l.words = &labels{Sheet: s, inside: l.area}
	out := l.d.Places()
	l.outfit(out)
	l.machine()
	l.cuts()
	l.legs()
	l.places()
	for _, words := range l.slack {
		l.words.write(words)
	}
	l.legLabels()
	l.outfitWords(out)
	l.foot(drawing.Rect{X: r.X, Y: l.area.Bottom(), W: r.W, H: loomFootMM})
	rest = l.rest(drawing.Rect{X: r.X, Y: l.area.Bottom() + loomFootMM, W: r.W})
	return l.area.H + loomFootMM + rest, rest
}

// extent holds everything that the drawing shows, and lists the forward
// coordinates at which there is something to see.
func (l *loom) extent() (drawing.Extent, []float64) {
	half := l.d.WidthM() / 2
	e := drawing.Extent{Left: -half, Right: half}
	var seen []float64
	include := func(q drill.Point) {
		e = e.Include(q.Right, q.Forward)
		seen = append(seen, q.Forward)
	}
	for _, p := range l.f.Harness.Places {
		include(p.At)
		include(p.OnFrame)
	}
	for _, leg := range l.f.Harness.Legs {
		for _, q := range leg.Path {
			include(q)
		}
	}
	for _, rank := range l.d.Rows.RanksM {
		include(drill.Point{Forward: rank})
	}
	for _, h := range l.d.Heads {
		include(h.At)
	}
	if b := l.f.Radio.Best(); b.Name != "" {
		include(b.Antenna)
	}
	for _, q := range outfitSeen(l.d.Places()) {
		include(q)
	}
	e.Front += 0.2
	e.Back -= 0.2
	return e, seen
}

// machine draws ranks, heads and frame in the background.
func (l *loom) machine() {
	half := l.d.WidthM() / 2
	for _, rank := range l.d.Rows.RanksM[:min(len(l.d.Rows.RanksM), l.d.Rows.Count)] {
		l.Line(l.g.view.At(-half, l.g.folded(rank)), l.g.view.At(half, l.g.folded(rank)), drawing.Pen{Ink: drawing.Rule, WidthMM: 0.3, Dash: drawing.Dotted})
	}
	at := make(map[string]drill.Point)
	for _, q := range l.f.Harness.Frame.Points {
		at[q.ID] = q.At
	}
	for _, k := range l.f.Harness.Frame.Links {
		for _, part := range drawing.ClipPolyline(l.g.path([]drill.Point{at[k.From], at[k.To]}), l.area) {
			l.Polyline(part, drawing.Pen{Ink: drawing.Rule, WidthMM: 1.2})
			l.words.avoid(part)
		}
	}
	for _, h := range l.d.Heads {
		l.Circle(l.g.at(h.At), 1.1, drawing.Hair, drawing.Tint)
	}
}

// cuts marks the stretches that are left out.
func (l *loom) cuts() {
	const wave, step = 1.0, 2.0
	for _, c := range l.g.cuts {
		for _, edge := range []float64{c.from, c.to} {
			y := l.g.view.At(0, l.g.folded(edge)).Y
			mid := l.g.view.At(0, 0).X
			var pts []drawing.Point
			for k := -8; k <= 8; k++ {
				dy := wave
				if k%2 == 0 {
					dy = -wave
				}
				pts = append(pts, drawing.Point{X: mid + float64(k)*step, Y: y + dy*0.6})
			}
			l.Polyline(pts, drawing.Hair.Of(drawing.Soft))
			l.words.avoid(pts)
		}
		y := l.g.view.At(0, (l.g.folded(c.from)+l.g.folded(c.to))/2).Y
		text := l.units.length(c.to-c.from) + " not drawn"
		p := drawing.Point{X: l.g.view.At(0, 0).X + 18, Y: y + l.small.CapMM()/2}
		l.words.write([]place{{text: drawing.Text{At: p, Text: text, Style: l.small.In(drawing.Soft)}}})
	}
}

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
		at := l.g.at(p.At)
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
				at := l.g.at(p.At)
				l.Line(at.Add(-boxHalfMM-0.6, boxHalfMM+0.9), at.Add(boxHalfMM+0.6, boxHalfMM+0.9), drawing.Pen{Ink: drawing.Dark, WidthMM: 0.9})
				l.words.keep(drawing.Rect{X: at.X - boxHalfMM - 0.8, Y: at.Y + boxHalfMM, W: 2*boxHalfMM + 1.6, H: 1.6})
			}
		}
	}
}

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
	k.line(legPen(fit.Leg{AreaMM2: 2.5}), "feed, power only")
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
}
