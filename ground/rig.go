package ground

import (
	"fmt"
	"math"
	"slices"

	"runproof/drill"
)

// What is taken where drill.yaml does not say, metres: common practice, no
// source.
const (
	usualTractorM = 1.0  // from the tractor's rear axle back to its hitch
	usualTongueM  = 1.5  // of a cart, from its hitch to its body
	atHitchM      = 0.25 // an antenna no farther ahead of the drill's hitch than this is on the drill
	leastDrawM    = 0.5  // a body is not drawn by less
)

// Link is a body that is drawn by a hitch on the body ahead of it.
type Link struct {
	BehindM float64 // from the line of the body ahead back to the hitch; negative: the hitch is ahead of that line
	DrawM   float64 // from the hitch back to this body's own line
}

// Rig is the outfit seen from above, from the antenna to the openers: the body
// that carries the antenna and those that it draws, the last of which is the
// drill. Each body turns about a line across it that does not slip sideways: an
// axle that does not steer, or the middle of what is in the ground. The zero Rig
// is a drill whose antenna is over its front rank, which is its line.
type Rig struct {
	Mount   drill.Mount // what carries the antenna
	AheadM  float64     // antenna ahead of its body's line
	RightM  float64     // antenna right of its body's middle
	Links   []Link      // the bodies behind the carrier; none where the drill carries the antenna
	LineM   float64     // the drill's line ahead of its front rank, as a rule less than 0
	Assumed []string    // what drill.yaml does not say, and what was taken
}

// RigOf is the outfit of a drill. The antenna rides on what drill.yaml says; if
// it says nothing, on the drill where it is no farther forward than the hitch,
// on the cart where it is behind the tractor's hitch, else on the tractor. A
// cart behind the drill has no part in where the drill goes.
func RigOf(d *drill.Drill) Rig {
	p := d.Places()
	b := builder{d: d, hitch: p.Hitch.Forward, pin: p.Tractor.Forward}
	b.rig.Mount = b.mount()
	if _, told := d.Frame.Point(drill.PointHitch); !told {
		b.assume("the drill's hitch is %.2f m ahead of its front rank (frame point hitch)", b.hitch)
	}
	drillLine, cartLine, tractorLine := b.drillLine(), 0.0, 0.0
	between := d.Cart.Position == drill.CartBetween
	ahead := Link{DrawM: b.hitch - drillLine}
	line := drillLine
	switch b.rig.Mount {
	case drill.OnCart:
		cartLine = b.cartLine()
		line, ahead.BehindM = cartLine, cartLine-b.hitch
		b.rig.Links = []Link{ahead}
	case drill.OnTractor:
		tractorLine = b.tractorLine()
		line, ahead.BehindM = tractorLine, tractorLine-b.hitch
		b.rig.Links = []Link{ahead}
		if between {
			cartLine = b.cartLine()
			ahead.BehindM = cartLine - b.hitch
			b.rig.Links = []Link{{tractorLine - b.pin, b.pin - cartLine}, ahead}
		}
	}
	b.rig.LineM, b.rig.AheadM, b.rig.RightM = drillLine, d.GNSS.At.Forward-line, d.GNSS.At.Right
	return b.rig
}

// builder keeps what was assumed on the way; forward coordinates of the drill.
type builder struct {
	d          *drill.Drill
	hitch, pin float64 // the drill's hitch, and the tractor's
	rig        Rig
}

func (b *builder) assume(format string, args ...any) {
	b.rig.Assumed = append(b.rig.Assumed, fmt.Sprintf(format, args...))
}

func (b *builder) mount() drill.Mount {
	m := b.d.Tow.Antenna
	between := b.d.Cart.Position == drill.CartBetween
	if m == drill.OnCart && !between {
		b.assume("an antenna on a cart behind the drill tells nothing of the drill's way: taken to ride on the drill")
		return drill.OnDrill
	}
	if m != drill.MountUnsaid {
		return m
	}
	switch at := b.d.GNSS.At.Forward; {
	case at <= b.hitch+atHitchM:
		m = drill.OnDrill
	case between && at < b.pin:
		m = drill.OnCart
	default:
		m = drill.OnTractor
	}
	b.assume("the antenna rides on the %s (tow.antenna), by its place", m)
	return m
}

// drillLine is where the drill turns about: as told, or the middle of its ranks.
func (b *builder) drillLine() float64 {
	if m := b.d.Tow.DrillM; m > 0 {
		return b.hitch - m
	}
	line := 0.0
	if r := b.d.Rows.RanksM; len(r) > 0 {
		line = (slices.Min(r) + slices.Max(r)) / 2
	}
	line = math.Min(line, b.hitch-leastDrawM)
	b.assume("the drill turns about the middle of its ranks, %.2f m behind its hitch (tow.drill_m)", b.hitch-line)
	return line
}

// cartLine is the axle of a cart between tractor and drill.
func (b *builder) cartLine() float64 {
	length := b.pin - b.hitch
	if m := b.d.Tow.CartM; m > 0 {
		return b.pin - m
	}
	m := math.Max(usualTongueM+(length-usualTongueM)/2, leastDrawM)
	b.assume("the cart's axle is at the middle of its body, %.2f m behind its hitch (tow.cart_m)", m)
	return b.pin - m
}

func (b *builder) tractorLine() float64 {
	if m := b.d.Tow.TractorM; m > 0 {
		return b.pin + m
	}
	b.assume("the tractor's axle that does not steer is %.1f m ahead of its hitch (tow.tractor_m)", usualTractorM)
	return b.pin + usualTractorM
}
