package radio

import (
	"math"

	"runproof/drill"
	"runproof/fit"
)

// place is a way to put up gateway and antenna.
type place struct {
	name      string
	gateway   drill.Point
	gatewayOn string
	antenna   drill.Point
	antennaOn string
	why       string
}

// How things are bolted on, m: common practice, no source.
const (
	aboveM   = 0.30 // antenna over the edge that it stands on
	besideM  = 0.30 // antenna beside the gateway, out of its shadow
	mastUpM  = 1.2  // antenna over the gateway on a short mast
	boxUpM   = 1.4  // gateway above the ground
	cartUpM  = 1.3  // from the top of the cart down to the gateway on it
	onCartM  = 0.3  // gateway behind the front edge: on the cart, not on the hitch before it
	clearOfM = 0.5  // beside the cart, in addition to the Fresnel zone
)

// placesFor lists the ways for the drill, in the order in which a person thinks
// of them.
func placesFor(d *drill.Drill) []place {
	p := d.Places()
	if d.Cart.Position == drill.CartBehind {
		return behind(d, p)
	}
	return between(d, p)
}

// OffM is how far the gateway or the antenna of an option, whichever is farther,
// is from the nearest of the places that go with the drill's cart where it is,
// m, and the name of that place.
func OffM(d *drill.Drill, o fit.RadioOption) (offM float64, nearest string) {
	offM = math.Inf(1)
	for _, p := range placesFor(d) {
		if m := math.Max(drill.DistanceM(p.gateway, o.Gateway), drill.DistanceM(p.antenna, o.Antenna)); m < offM {
			offM, nearest = m, p.name
		}
	}
	return offM, nearest
}

// between: the cart's tanks stand between drill and cab.
func between(d *drill.Drill, p drill.Places) []place {
	front := drill.Point{Forward: p.Cart.Front - onCartM, Right: 0, Up: onCartUpM(p.Cart)}
	hitch := drill.Point{Forward: p.Hitch.Forward, Up: boxUpM}
	bar := barAt(d)
	side := sidewaysM(p, bar)
	wide := drill.Point{Forward: bar.Forward, Right: math.Min(side, d.WidthM()/2), Up: boxUpM}
	return []place{
		{
			"gateway on the cart's front, antenna on its front top edge",
			front, "front of the cart",
			drill.Point{Forward: p.Cart.Front + 0.1, Right: besideM, Up: p.Cart.Top + aboveM},
			"front top edge of the cart",
			"The tank is behind the antenna, and nothing stands before the cab. The bus runs on along the cart.",
		},
		{
			"gateway on the drill's hitch, antenna on a mast beside it",
			hitch, "hitch end of the drill's frame",
			drill.Point{Forward: hitch.Forward, Right: besideM, Up: boxUpM + mastUpM},
			"short mast at the hitch",
			"Shortest bus, but the tank stands in the line to the cab.",
		},
		{
			"gateway and antenna out on the drill's frame, beside the cart",
			wide, "front bar of the drill, out to the side",
			drill.Point{Forward: wide.Forward, Right: wide.Right + besideM, Up: boxUpM + mastUpM},
			"short mast on the front bar",
			"Sees past the side of the cart; it folds with the wing, and a turn brings the cart into the line.",
		},
	}
}

// behind: nothing stands between the drill's front and the cab.
func behind(d *drill.Drill, p drill.Places) []place {
	hitch := drill.Point{Forward: p.Hitch.Forward, Up: boxUpM}
	bar := barAt(d)
	centre := drill.Point{Forward: bar.Forward, Up: boxUpM}
	cart := drill.Point{Forward: p.Cart.Front - onCartM, Up: onCartUpM(p.Cart)}
	return []place{
		{
			"gateway on the drill's hitch, antenna on a bracket above it",
			hitch, "hitch end of the drill's frame",
			drill.Point{Forward: hitch.Forward, Right: besideM, Up: boxUpM + 2*aboveM},
			"bracket at the hitch",
			"Nearest to the cab, nothing between. Clear of the drawbar in a tight turn.",
		},
		{
			"gateway on the middle of the front bar, antenna on a mast",
			centre, "middle of the front bar",
			drill.Point{Forward: centre.Forward, Right: besideM, Up: boxUpM + mastUpM},
			"short mast on the front bar",
			"Shorter bus; heads and hoses stand beside the line, not in it.",
		},
		{
			"gateway on the cart's front, antenna on its front top edge",
			cart, "front of the cart",
			drill.Point{Forward: p.Cart.Front + 0.1, Right: besideM, Up: p.Cart.Top + aboveM},
			"front top edge of the cart",
			"High and clear, but farthest from the cab, and the bus must cross the drill.",
		},
	}
}

// onCartUpM is how high a gateway on the front of the cart is, m: where a hand
// reaches it from the ground, and below the antenna on the cart's top edge
// however low the cart.
func onCartUpM(cart drill.Box) float64 {
	return math.Min(math.Max(cart.Top-cartUpM, boxUpM), cart.Top)
}

// barAt is the front bar of the drill: fore and aft where its foremost head is.
func barAt(d *drill.Drill) drill.Point {
	front := math.Inf(-1)
	for _, h := range d.Heads {
		front = math.Max(front, h.At.Forward)
	}
	return drill.Point{Forward: front}
}

// sidewaysM is how far out an antenna on the bar must be to see past the front
// corner of the cart.
func sidewaysM(p drill.Places, bar drill.Point) float64 {
	s := (p.Cart.Front - bar.Forward) / math.Max(p.Cab.Forward-bar.Forward, 0.1)
	if s >= 1 {
		return math.Inf(1)
	}
	return (p.Cart.Right + clearOfM) / (1 - s)
}
