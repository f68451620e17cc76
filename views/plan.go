package views

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"runproof/drawing"
	"runproof/drill"
	"runproof/fit"
)

// plan is one drawing of a drill: what is drawn where.
type plan struct {
	*drawing.Sheet
	f     *fit.Fit
	d     *drill.Drill
	show  Layer
	view  drawing.View
	area  drawing.Rect // of the drawing to scale
	units units
	rows  []rowUse // index 0 = row 1
	flags []headFlag
	turn  bool    // flags stand upright
	strip float64 // top of the flags' strip
	small drawing.TextStyle
}

// The strips around the drawing to scale [mm].
const (
	planFoot  = 13.0 // scale, north, legend
	cartStrip = 9.0
	laneMM    = 4.2 // one lane of sections
	rowStrip  = 6.0 // row numbers
	dimStrip  = 8.0 // one dimension line
	sideStrip = 13.0

	largestMMPerM = 50.0 // 1:20: a drill of one row need not fill the page
)

// DrawTop draws the top view within r, from its top, and returns the height
// used [mm].
func DrawTop(s *drawing.Sheet, r drawing.Rect, f *fit.Fit, show Layer) float64 {
	p := &plan{Sheet: s, f: f, d: &f.Drill, show: show.orUsual(UsualTop), units: unitsOf(f.Drill.Display), small: drawing.TextStyle{SizePT: 7.5}}
	p.rows = rowUses(p.d)
	p.flags, p.turn = planFlags(f, r.W)
	var lanes []lane
	if p.show.has(Sections) {
		lanes = sectionLanes(p.d)
	}
	y := r.Y
	if p.d.Cart.Position == drill.CartBetween {
		y = p.cart(r, y)
	}
	p.strip = y
	y += p.flagStrip()
	below := rowStrip + float64(len(lanes))*laneMM + 2*dimStrip + planFoot
	if p.d.Cart.Position == drill.CartBehind {
		below += cartStrip
	}
	p.area = drawing.Rect{X: r.X + sideStrip, Y: y, W: r.W - 2*sideStrip, H: max(10, r.Bottom()-y-below)}
	p.fit()
	p.frame()
	if p.show.has(Hoses) {
		p.hoses()
	}
	if p.show.has(Tubes) {
		p.tubes()
	}
	p.openers()
	p.drawFlags(r) // before the heads, so that a leader to a rear head passes under a front one
	p.heads()
	y = p.rowNumbers()
	y = p.sections(lanes, y)
	y = p.dimensions(y)
	if p.d.Cart.Position == drill.CartBehind {
		y = p.cart(r, y)
	}
	p.foot(drawing.Rect{X: r.X, Y: y, W: r.W, H: planFoot})
	return y + planFoot - r.Y
}

// fit chooses the scale, and ends the area where the drawing ends.
func (p *plan) fit() {
	e := p.extent()
	scale := min(largestMMPerM, drawing.FitView(e, p.area).MMPerM)
	p.area.H = e.DepthM() * scale
	p.view = drawing.CentredView(e, p.area, scale)
}

// extent holds rows (with half a row's spacing beyond the outer ones), heads,
// and what of the frame is near them: a tongue that reaches far ahead is cut.
func (p *plan) extent() drawing.Extent {
	half := p.d.WidthM() / 2
	e := drawing.Extent{Left: -half, Right: half}
	for _, r := range p.d.Rows.RanksM {
		e = e.Include(0, r)
	}
	for _, h := range p.d.Heads {
		e = e.Include(h.At.Right, h.At.Forward)
	}
	const near = 1.0 // m
	front, back := e.Front+near, e.Back-near
	for _, q := range p.d.Frame.Points {
		e = e.Include(q.At.Right, min(front, max(back, q.At.Forward)))
	}
	return drawing.Extent{Left: e.Left, Right: e.Right, Back: e.Back - 0.2, Front: e.Front + 0.3}
}

func (p *plan) at(q drill.Point) drawing.Point { return p.view.At(q.Right, q.Forward) }

// pitch returns the distance of neighbouring rows on paper [mm].
func (p *plan) pitch() float64 { return p.d.Rows.SpacingM * p.view.MMPerM }

// rowNumbers writes numbers below the rearmost rank and returns the height below them.
func (p *plan) rowNumbers() float64 {
	y := p.area.Bottom() + 1
	step := 1
	widest := p.small.WidthMM(strconv.Itoa(p.d.Rows.Count)) + 1.4
	for _, k := range []int{1, 2, 5, 10, 20, 50, 100} {
		if step = k; float64(k)*p.pitch() >= widest {
			break
		}
	}
	st := p.small.Aligned(drawing.Centre).In(drawing.Soft)
	for row := 1; row <= p.d.Rows.Count; row++ {
		if row == 1 || row%step == 0 {
			q := p.at(p.d.RowAt(row))
			p.Line(drawing.Point{X: q.X, Y: q.Y + 1.4}, drawing.Point{X: q.X, Y: y + 0.4}, drawing.Grid)
			if row > 1 && float64(row-1)*p.pitch() < widest {
				continue // too near to row 1
			}
			p.Text(drawing.Point{X: q.X, Y: y + 1 + st.CapMM()}, strconv.Itoa(row), st)
		}
	}
	p.Text(drawing.Point{X: p.view.At(-p.d.WidthM()/2, 0).X - 1.5, Y: y + 1 + st.CapMM()}, "row", st.Aligned(drawing.Right))
	return y + rowStrip - 1
}

// dimensions draws the working width, the spacing and the ranks' distances,
// and returns the height below them.
func (p *plan) dimensions(y float64) float64 {
	half := p.d.WidthM() / 2
	left, right := p.view.At(-half, 0), p.view.At(half, 0)
	left.Y, right.Y = y-2, y-2
	p.Dimension(left, right, -(dimStrip - 2), p.units.length(p.d.WidthM()), p.small)
	p.rankDistances()
	if p.d.Rows.Count < 2 {
		return y + dimStrip
	}
	a, b := p.at(p.d.RowAt(1)), p.at(p.d.RowAt(2))
	a.Y, b.Y = y-2, y-2
	p.Dimension(a, b, -(2*dimStrip - 2.5), p.units.short(p.d.Rows.SpacingM)+" between rows", p.small)
	return y + 2*dimStrip
}

// leastLabelMM is the least distance of labels under one another.
const leastLabelMM = 2.7

func (p *plan) rankDistances() {
	half := p.d.WidthM() / 2
	ranks := slices.Clone(p.d.Rows.RanksM[:min(p.d.Rows.Count, len(p.d.Rows.RanksM))])
	slices.Sort(ranks)
	for i := 1; i < len(ranks); i++ {
		a, b := p.view.At(half, ranks[i]), p.view.At(half, ranks[i-1])
		if b.Y-a.Y < leastLabelMM {
			continue // too near to tell apart at this scale; the heads' table has the figures
		}
		p.Dimension(a, b, 4, "", p.small)
		p.Label(drawing.Point{X: a.X + 5.5, Y: (a.Y + b.Y) / 2}, p.units.length(ranks[i]-ranks[i-1]), p.small.Sized(7))
	}
	last := math.Inf(-1)
	for k, rank := range p.d.Rows.RanksM[:len(ranks)] {
		if at := p.view.At(-half, rank); math.Abs(at.Y-last) >= leastLabelMM {
			p.Label(at.Add(-2, 0), fmt.Sprintf("rank %d", k+1), p.small.Aligned(drawing.Right).In(drawing.Soft))
			last = at.Y
		}
	}
}

// cart draws the air cart's place on the side where it rides (its size and
// distance are not described) and returns the height below it.
func (p *plan) cart(r drawing.Rect, y float64) float64 {
	where := map[drill.CartPosition]string{
		drill.CartBetween: "air cart, between tractor and drill (not to scale)",
		drill.CartBehind:  "air cart, behind the drill (not to scale)",
	}[p.d.Cart.Position]
	box := drawing.Rect{X: r.Centre().X - 35, Y: y + 1, W: 70, H: 6}
	p.Sheet.Rect(box, drawing.Hair.With(drawing.Dashed), drawing.NoInk)
	p.Label(box.Centre(), where, p.small.Aligned(drawing.Centre).In(drawing.Soft))
	return y + cartStrip
}

// foot draws scale bar, scale, direction of travel and the marks used.
func (p *plan) foot(r drawing.Rect) {
	y := r.Bottom() - 1
	p.ScaleBar(drawing.Point{X: r.X, Y: y}, p.view, 40, ScaleUnit(p.units.System))
	p.Text(drawing.Point{X: r.X + 52, Y: y}, "scale "+p.view.Scale(), p.small.Bold())
	arrow := drawing.Point{X: r.X + 82, Y: y}
	p.Arrow(arrow, arrow.Add(0, -8), drawing.Stout.Of(drawing.Accent), 3)
	p.Text(arrow.Add(2, -2.5), "forward", p.small.In(drawing.Accent))
	p.planLegend(drawing.Rect{X: r.X + 102, Y: r.Y + 1, W: r.W - 102, H: r.H - 1})
}

func (p *plan) planLegend(r drawing.Rect) {
	var used []drawing.State
	for _, st := range []drawing.State{openerSensed, openerBlind, openerClosed, openerUnfed} {
		if slices.ContainsFunc(p.rows, func(u rowUse) bool { return u.state() == st }) {
			used = append(used, st)
		}
	}
	k := &legend{p.Sheet, r, drawing.Point{X: r.X, Y: r.Y + p.Legend(r, used, p.small) + 2.4}, p.small}
	for i, product := range p.d.Products {
		k.entry(8, "hose, "+string(product.ID), func(q drawing.Point) {
			p.Line(q, q.Add(8, 0), drawing.Pen{Ink: hosePen(i).Ink, WidthMM: 0.25, Dash: hosePen(i).Dash})
		})
	}
	if len(p.f.Nodes) > 0 {
		k.entry(3, "node at the head", func(q drawing.Point) {
			p.Sheet.Rect(drawing.Rect{X: q.X, Y: q.Y - 1.4, W: 2.8, H: 2.8}, drawing.Thin.Of(drawing.Accent), drawing.NoInk)
		})
	}
	if len(p.f.Map) > 0 && p.show.has(Tubes) {
		k.entry(8, "tube and its sensor", func(q drawing.Point) {
			p.Line(q, q.Add(8, 0), tubePen())
			p.Circle(q.Add(8, 0), sensorMM, drawing.Hair.Of(drawing.Accent), drawing.Ground)
		})
	}
}
