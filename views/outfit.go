package views

import (
	"math"

	"runproof/drawing"
	"runproof/drill"
)

// What the outfit is drawn as from above, metres: usual sizes, not measured.
const (
	tractorAheadM = 0.6 // drawn ahead of the power point
	wheelInM      = 0.7 // from the middle to the inner side of a rear wheel
	wheelOutM     = 1.25
	wheelLongM    = 1.8
	bodyHalfM     = 0.4
)

// outfit draws cart and tractor in the background: where the harness goes past
// them and where its gateway stands. The tractor is cut where the drawing ends.
func (l *loom) outfit(at drill.Places) {
	c := at.Cart
	pen := drawing.Hair.Of(drawing.Soft)
	ring := []drill.Point{{Forward: c.Front, Right: c.Left}, {Forward: c.Front, Right: c.Right}, {Forward: c.Back, Right: c.Right}, {Forward: c.Back, Right: c.Left}}
	pts := l.g.path(ring)
	l.Polygon(pts, pen, drawing.Zebra)
	l.words.avoid(append(pts, pts[0]))
	tongue := []drill.Point{{Forward: c.Front}, {Forward: at.Tractor.Forward}}
	if l.d.Cart.Position == drill.CartBehind {
		tongue[1].Forward = rearOf(l.d)
	}
	if tongue[1].Forward > tongue[0].Forward {
		l.Polyline(l.g.path(tongue), drawing.Pen{Ink: drawing.Rule, WidthMM: 0.6})
	}
	l.tractor(at, pen)
}

// tractor draws rear wheels and body as far as the drawing reaches.
func (l *loom) tractor(at drill.Places, pen drawing.Pen) {
	back := at.Tractor.Forward + 0.3
	for _, box := range [][4]float64{ // back, left, front, right
		{back, -wheelOutM, back + wheelLongM, -wheelInM},
		{back, wheelInM, back + wheelLongM, wheelOutM},
		{back, -bodyHalfM, back + 2*wheelLongM, bodyHalfM},
	} {
		ring := []drill.Point{{Forward: box[0], Right: box[1]}, {Forward: box[2], Right: box[1]}, {Forward: box[2], Right: box[3]}, {Forward: box[0], Right: box[3]}}
		pts := drawing.ClipPolygon(l.g.path(ring), l.area)
		l.Polygon(pts, pen, drawing.NoInk)
		l.words.avoid(pts)
	}
}

// outfitWords names cart and tractor, where there is room.
func (l *loom) outfitWords(at drill.Places) {
	st := l.small.In(drawing.Soft)
	c := at.Cart
	edge := l.g.path([]drill.Point{{Forward: c.Front, Right: c.Right}, {Forward: c.Back, Right: c.Right}})
	l.words.write(along(edge, "air cart", st))
	side := l.g.at(drill.Point{Forward: at.Tractor.Forward + 0.3 + wheelLongM/3, Right: wheelOutM})
	l.words.write(beside(side, 0.2, "tractor", st))
}

// outfitSeen lists what of the outfit the drawing holds.
func outfitSeen(at drill.Places) []drill.Point {
	front := math.Max(at.Supply.Forward, at.Tractor.Forward) + tractorAheadM
	return []drill.Point{
		{Forward: at.Cart.Front, Right: at.Cart.Left},
		{Forward: at.Cart.Back, Right: at.Cart.Right},
		{Forward: at.Tractor.Forward, Right: -wheelOutM},
		{Forward: front, Right: wheelOutM},
	}
}
