package views

import (
	"io"
	"math"

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
	lines [][]drawing.Point        // of the legs, side by side
	slack [][]place                // where each hinge's slack can be written
	spots map[string]drawing.Point // where the sign of each place is drawn
	bare  []string                 // boxes and legs for whose name there was no room
}

const (
	loomFootMM  = 26.0
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
	l.placeSigns()
	l.legs()
	l.leads()
	l.origin()
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
