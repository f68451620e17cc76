package views

import (
	"fmt"
	"io"
	"math"

	"runproof/drawing"
	"runproof/drill"
	"runproof/fit"
)

// Side draws the outfit to scale, seen from the right with forward to the right:
// cab, cart, drill, gateway and antenna with their distances, and below it the
// linkage that the work-state switch sits on, in the ground and raised.
func Side(f *fit.Fit, o Options) *drawing.Sheet {
	return grown(o.widthMM(), "Side view of "+NameOf(&f.Drill), func(s *drawing.Sheet, r drawing.Rect) float64 {
		return DrawSide(s, r, f)
	})
}

// WriteSide writes the side view as an SVG picture that stands alone.
func WriteSide(w io.Writer, f *fit.Fit, o Options) error { return write(w, Side(f, o)) }

// profile is one drawing of an outfit from the side.
type profile struct {
	*drawing.Sheet
	f     *fit.Fit
	d     *drill.Drill
	at    drill.Places
	view  drawing.View
	units units
	small drawing.TextStyle
	words *labels
}

const (
	profileFootMM = 9.0
	switchHighMM  = 46.0
	headRoomM     = 1.2 // above the highest thing, for dimensions
)

// DrawSide draws the side view within r, from its top, and returns the height
// used [mm].
func DrawSide(s *drawing.Sheet, r drawing.Rect, f *fit.Fit) float64 {
	p := &profile{Sheet: s, f: f, d: &f.Drill, at: f.Drill.Places(), units: unitsOf(f.Drill.Display), small: drawing.TextStyle{SizePT: 7.5}}
	e := p.extent()
	scale := drawing.FitView(e, drawing.Rect{W: r.W - 8, H: math.Max(20, r.H-profileFootMM-switchHighMM)}).MMPerM
	scale = math.Min(scale, largestMMPerM)
	room := drawing.Rect{X: r.X + 4, Y: r.Y, W: r.W - 8, H: e.DepthM() * scale}
	p.view = drawing.CentredView(e, room, scale)
	p.words = &labels{Sheet: s, inside: drawing.Rect{X: r.X, Y: r.Y, W: r.W, H: room.H + 3}}
	p.ground(r)
	p.tractor()
	p.cart()
	p.drill()
	p.radio()
	y := room.Bottom() + 5
	p.ScaleBar(drawing.Point{X: r.X, Y: y + 2}, p.view, 40, ScaleUnit(p.units.System))
	p.Text(drawing.Point{X: r.X + 52, Y: y + 2}, "scale "+p.view.Scale(), p.small.Bold())
	note := "seen from the right; forward is to the right"
	if !p.at.Measured {
		note += "; cab and power point stand at usual places, not measured"
	}
	p.Text(drawing.Point{X: r.X + 80, Y: y + 2}, p.small.Fit(note, r.W-80), p.small.In(drawing.Soft))
	used := y + profileFootMM - r.Y
	return used + p.linkage(drawing.Rect{X: r.X, Y: r.Y + used, W: r.W, H: switchHighMM})
}

// at is a place on the sheet: forward to the right, up.
func (p *profile) on(forwardM, upM float64) drawing.Point { return p.view.At(forwardM, upM) }

func (p *profile) extent() drawing.Extent {
	e := drawing.Extent{Left: p.rear() - 0.8, Right: p.at.Cab.Forward + 3.2, Front: p.at.Cab.Up + 0.6}
	e = e.Include(0, p.at.Cart.Top)
	for _, h := range p.d.Heads {
		e = e.Include(h.At.Forward, h.At.Up)
	}
	if b := p.f.Radio.Best(); b.Name != "" {
		e = e.Include(b.Antenna.Forward, b.Antenna.Up)
	}
	e.Front += headRoomM
	e.Back = -0.15
	return e
}

// rear is the rearmost thing, m.
func (p *profile) rear() float64 {
	rear := math.Min(p.at.Cart.Back, 0)
	for _, r := range p.d.Rows.RanksM {
		rear = math.Min(rear, r)
	}
	for _, h := range p.d.Heads {
		rear = math.Min(rear, h.At.Forward)
	}
	return rear
}

func (p *profile) ground(r drawing.Rect) {
	y := p.on(0, 0).Y
	p.Line(drawing.Point{X: r.X, Y: y}, drawing.Point{X: r.Right(), Y: y}, drawing.Stout.Of(drawing.Soft))
	p.words.avoid([]drawing.Point{{X: r.X, Y: y}, {X: r.Right(), Y: y}})
}

// box is a rectangle in metres.
func (p *profile) box(back, bottom, front, top float64, pen drawing.Pen, fill drawing.Ink) {
	a, b := p.on(back, top), p.on(front, bottom)
	r := drawing.Rect{X: a.X, Y: a.Y, W: b.X - a.X, H: b.Y - a.Y}
	p.Rect(r, pen, fill)
	p.words.avoid(append(r.Corners(), a))
}

func (p *profile) wheel(forward, radius float64) {
	p.Circle(p.on(forward, radius), radius*p.view.MMPerM, drawing.Thin, drawing.Tint)
	p.Circle(p.on(forward, radius), radius*0.3*p.view.MMPerM, drawing.Hair, drawing.Ground)
}

// tractor is the cab around the operator, a hood before it, and wheels.
func (p *profile) tractor() {
	c := p.at.Cab
	pen := drawing.Thin.Of(drawing.Soft)
	p.box(c.Forward+0.9, 0.9, c.Forward+2.9, c.Up-0.7, pen, drawing.Ground)
	p.box(c.Forward-0.8, 0.9, c.Forward+0.9, c.Up+0.5, pen, drawing.Ground)
	if back := p.at.Tractor.Forward + 0.2; back < c.Forward-1 {
		p.box(back, 0.6, c.Forward-0.8, 1.3, pen, drawing.Ground)
	}
	p.wheel(c.Forward-0.5, 0.9)
	p.wheel(c.Forward+2.2, 0.65)
	p.Line(p.on(c.Forward-0.8, 0.6), p.on(p.at.Tractor.Forward, 0.6), drawing.Stout.Of(drawing.Soft))
	p.Circle(p.on(c.Forward, c.Up), 0.13*p.view.MMPerM, drawing.Thin, drawing.Dark)
	p.words.keepAround(p.on(c.Forward, c.Up), 1.6)
	p.words.write(beside(p.on(c.Forward, c.Up), 1.2, "operator", p.small))
	s := p.at.Supply
	p.Mark(p.on(s.Forward, s.Up), 3, drawing.Triangle, drawing.Vermillion)
	p.words.keepAround(p.on(s.Forward, s.Up), 1.6)
	p.words.write(beside(p.on(s.Forward, s.Up), 1.6, "power point", p.small))
}

// cart is the tank on its wheels, with its drawbar.
func (p *profile) cart() {
	c := p.at.Cart
	p.box(c.Back, 1.0, c.Front, c.Top, drawing.Thin, drawing.Zebra)
	p.wheel(c.Back+0.25*(c.Front-c.Back), 0.75)
	p.wheel(c.Back+0.75*(c.Front-c.Back), 0.75)
	hitch := p.at.Tractor.Forward
	if p.d.Cart.Position == drill.CartBehind {
		hitch = rearOf(p.d)
	}
	p.Line(p.on(c.Front, 0.7), p.on(math.Max(hitch, c.Front), 0.6), drawing.Stout)
	p.words.write(beside(p.on((c.Back+c.Front)/2, (1+c.Top)/2), 0, "air cart", p.small.Aligned(drawing.Centre)))
}

// rearOf is how far back the openers reach, m.
func rearOf(d *drill.Drill) float64 {
	rear := 0.0
	for _, r := range d.Rows.RanksM {
		rear = math.Min(rear, r)
	}
	return rear
}

// drill is frame, openers and heads.
func (p *profile) drill() {
	const barUp = 1.0
	rear := rearOf(p.d)
	p.Line(p.on(rear-0.2, barUp), p.on(0.3, barUp), drawing.Pen{Ink: drawing.Rule, WidthMM: 1.4})
	p.Line(p.on(0.3, barUp), p.on(p.at.Hitch.Forward, p.at.Hitch.Up), drawing.Pen{Ink: drawing.Rule, WidthMM: 1.0})
	for _, r := range p.d.Rows.RanksM[:min(len(p.d.Rows.RanksM), p.d.Rows.Count)] {
		p.Line(p.on(r, barUp), p.on(r-0.25, 0), drawing.Thin)
		p.Mark(p.on(r-0.25, 0.05), 2, drawing.Triangle, drawing.Dark)
	}
	for _, h := range p.d.Heads {
		p.Line(p.on(h.At.Forward, barUp), p.on(h.At.Forward, h.At.Up), drawing.Thin)
		p.Circle(p.on(h.At.Forward, h.At.Up), math.Min(1.6, 0.18*p.view.MMPerM+0.4), drawing.Thin, drawing.Tint)
	}
	p.words.avoid([]drawing.Point{p.on(rear-0.2, barUp), p.on(0.3, barUp)})
	for _, h := range p.d.Heads {
		p.words.avoid([]drawing.Point{p.on(h.At.Forward, barUp), p.on(h.At.Forward, h.At.Up)})
		p.words.keepAround(p.on(h.At.Forward, h.At.Up), 1.8)
	}
	p.words.write([]place{{text: drawing.Text{At: p.on(rear-0.2, barUp).Add(-1.2, p.small.CapMM()/2), Text: "drill", Style: p.small.Aligned(drawing.Right)}}})
	originCross(p.Sheet, p.on(0, 0))
	p.words.keepAround(p.on(0, 0), 1.6)
	p.words.write(beside(p.on(0, 0), 3.4, "0", p.small))
}

// radio is gateway, antenna, the line to the cab, distances, and how far people
// stay away.
func (p *profile) radio() {
	b := p.f.Radio.Best()
	if b.Name == "" {
		return
	}
	g, a, cab := p.on(b.Gateway.Forward, b.Gateway.Up), p.on(b.Antenna.Forward, b.Antenna.Up), p.on(p.at.Cab.Forward, p.at.Cab.Up)
	p.bracket(b.Antenna)
	p.Line(g, a, antennaLead)
	p.Rect(drawing.Rect{X: g.X - 1.6, Y: g.Y - 1.2, W: 3.2, H: 2.4}, drawing.Stout.Of(drawing.Green), drawing.Ground)
	if r := p.f.Radio.People.RequiredM * p.view.MMPerM; r > 0.5 {
		p.Circle(a, r, drawing.Hair.Of(drawing.Vermillion).With(drawing.Dashed), drawing.NoInk)
	}
	p.Mark(a, 2.6, drawing.Ring, drawing.Blue)
	line := drawing.Hair.Of(drawing.Blue).With(drawing.Dashed)
	p.Line(a, cab, line)
	p.words.avoid([]drawing.Point{a, cab})
	p.words.avoid([]drawing.Point{g, a})
	p.words.avoid([]drawing.Point{a.Add(0, -7), cab.Add(0, -7)})
	p.words.keepAround(g, 2.2)
	p.words.keepAround(a, 1.8)
	p.Dimension(a, cab, 7, "", p.small)
	mid := drawing.Point{X: (a.X + cab.X) / 2, Y: math.Min(a.Y, cab.Y) - 9.5}
	p.words.write(beside(mid, 0.5, fmt.Sprintf("%s, at least %s", p.units.length(b.OperatorM), p.units.length(0.61)), p.small.Bold()))
	p.Arrow(g.Add(0, 1.2), g.Add(0, 4.6), drawing.Thin.Of(drawing.Green), 1.5)
	p.words.keepAround(g.Add(0, 3), 1.8)
	p.words.write(beside(g, 2.2, "gateway, connectors down", p.small))
	p.words.write(beside(a, 2, fmt.Sprintf("antenna, %s of lead", p.units.length(b.LeadM)), p.small))
	apart := drill.DistanceM(b.Gateway, b.Antenna)
	p.words.write(along([]drawing.Point{g, a}, fmt.Sprintf("%s straight, at least %s", p.units.length(apart), p.units.length(0.2)), p.small.Bold()))
	p.people(a)
}

// bracket holds an antenna that stands off the cart's front top edge.
func (p *profile) bracket(antenna drill.Point) {
	const reachM = 0.6
	edge := drill.Point{Forward: p.at.Cart.Front, Up: p.at.Cart.Top}
	if math.Hypot(antenna.Forward-edge.Forward, antenna.Up-edge.Up) < reachM {
		p.Polyline([]drawing.Point{p.on(edge.Forward, edge.Up), p.on(antenna.Forward, edge.Up), p.on(antenna.Forward, antenna.Up)}, drawing.Stout.Of(drawing.Soft))
	}
}

// people writes how far they stay from the antenna: what the dashed circle is.
func (p *profile) people(a drawing.Point) {
	if m := p.f.Radio.People.RequiredM; m > 0 {
		p.words.write(away(a, m*p.view.MMPerM, "people stay "+p.units.length(m)+" away", p.small.In(drawing.Vermillion)))
	}
}
