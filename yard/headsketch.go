package yard

import (
	"fmt"
	"math"

	"runproof/drawing"
	"runproof/parts"
)

const headSketchMM = 45.0

// drawHead sketches a head from above with its sensors and where its node sits,
// to one scale, and returns the height used [mm].
func (p *page) drawHead(s *drawing.Sheet, r drawing.Rect) float64 {
	if len(p.nodes) == 0 || len(p.nodes[0].Links) == 0 || r.H < headSketchMM {
		return 0
	}
	n := p.nodes[0]
	s.Text(drawing.Point{X: r.X, Y: r.Y + 4}, "A node at its head", drawing.TextStyle{SizePT: 10}.Bold())
	at := drawing.Point{X: r.X + 44, Y: r.Y + 8 + (headSketchMM-8)/2}
	ring := (headSketchMM - 14) / 2
	p.drawOutlets(s, at, ring, len(n.At.Rows))
	p.drawNode(s, at, ring, len(n.At.Rows))
	p.headWords(s, drawing.Rect{X: r.X + 92, Y: r.Y + 8, W: r.W - 92, H: headSketchMM - 8}, n)
	return headSketchMM
}

// mostSpokes are drawn; a head of more outlets looks no different.
const mostSpokes = 24

// drawOutlets draws the hoses with a sensor in each, the same way out all round.
func (p *page) drawOutlets(s *drawing.Sheet, at drawing.Point, ring float64, outlets int) {
	spokes := min(max(outlets, 1), mostSpokes)
	for i := range spokes {
		sin, cos := math.Sincos((float64(i) + 0.5) / float64(spokes) * 2 * math.Pi)
		out := func(mm float64) drawing.Point { return at.Add(mm*cos, mm*sin) }
		s.Line(out(4), out(ring+4), drawing.Pen{Ink: drawing.Rule, WidthMM: 0.9})
		s.Circle(out(ring), 1.2, drawing.Thin, drawing.Ground)
	}
	s.Circle(at, 2.9, drawing.Hair, drawing.Tint)
}

// drawNode draws the node under the head, and the tube to the sensor farthest from it.
func (p *page) drawNode(s *drawing.Sheet, at drawing.Point, ring float64, outlets int) {
	far := p.tubeReserveM()
	perM := ring / math.Max(p.d.Sensing.SensorFromHeadM, 0.05)
	s.Circle(at, min(far*perM, ring*0.8), drawing.Thin.Of(drawing.Vermillion).With(drawing.Dashed), drawing.NoInk)
	s.Rect(drawing.Rect{X: at.X - 1.9, Y: at.Y - 1.3, W: 3.8, H: 2.6}, drawing.Stout.Of(drawing.Accent), drawing.Ground)
	spokes := min(max(outlets, 1), mostSpokes)
	sin, cos := math.Sincos((float64(spokes/2) + 0.5) / float64(spokes) * 2 * math.Pi)
	end := at.Add((ring-1.2)*cos, (ring-1.2)*sin)
	s.Polyline([]drawing.Point{at.Add(-1.9, 0), at.Add(-ring*0.45, 0.6), end}, drawing.Stout.Of(drawing.Accent))
	label := drawing.TextStyle{SizePT: 7.5}
	s.Text(drawing.Point{X: at.X - ring - 6, Y: at.Y + 1}, "tube", label.Aligned(drawing.Right))
	s.Text(drawing.Point{X: at.X + ring + 6, Y: at.Y + 1}, "sensors", label)
}

// headWords says what the sketch shows.
func (p *page) headWords(s *drawing.Sheet, r drawing.Rect, n node) {
	st := p.Text.Sized(9.5)
	y := r.Y
	for _, text := range []string{
		fmt.Sprintf("Seen from above. Each sensor sits about %s from its outlet, along the hose, the same all round.", p.units.about(p.d.Sensing.SensorFromHeadM)),
		fmt.Sprintf("The node sits close under the middle of the head. Its tubes (here %[2]s for %[3]s) have %[1]s to spare, the dashed circle, for bends, height and a node off the middle together.", p.units.about(p.tubeReserveM()), p.units.cut(parts.CutM(n.Links[0].TubeM)), n.Links[0].Run),
		"Where it must sit farther off: try the farthest sensor first, then cut longer tubes.",
	} {
		lines := st.Wrap(text, r.W)
		y = writeLines(s, drawing.Point{X: r.X, Y: y}, lines, st) + 1
	}
}
