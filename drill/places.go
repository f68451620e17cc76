package drill

import "math"

// Where things of the outfit usually are, metres: common practice, no source.
const (
	usualCartM        = 6.0 // from the cart's hitch to its rear
	leastCartM        = 2.0 // what is shorter is all tongue; the reader of drill.yaml refuses it
	usualCartTopM     = 3.2
	usualCartHalfM    = 1.2 // half its width
	usualTongueM      = 1.5 // from a hitch to the front of what is drawn by it
	usualCabAheadM    = 3.0 // operator ahead of the tractor's hitch
	usualCabUpM       = 2.6
	usualOutletUpM    = 1.2
	usualOutletAheadM = 0.3 // power point ahead of the tractor's hitch
	usualGatewayUpM   = 1.4
)

// Box is an upright box with its sides along the axes, metres: the air cart.
type Box struct{ Front, Back, Left, Right, Top float64 }

// Places are where the other things of the outfit stand, in the drill's
// coordinates, as told or, where not told, as usual.
type Places struct {
	Hitch    Point // of the drill
	Tractor  Point // hitch of the tractor
	Cab      Point // head of the operator
	Supply   Point // power point
	Cart     Box
	Measured bool // cab and supply were both told; otherwise the distances to them are guesses
}

// Places returns where cab, cart and power point are. The hitch is the frame
// point called hitch, or the end of a drawbar: the foremost point of the frame
// where that is near the middle and ahead of all else. Where neither was told it
// is a usual distance ahead of the drill.
func (d *Drill) Places() Places {
	p := Places{Hitch: d.hitch(), Measured: d.Cab.At != nil && d.Supply.At != nil}
	length, top := math.Max(orUsual(d.Cart.LengthM, usualCartM), leastCartM), orUsual(d.Cart.TopM, usualCartTopM)
	p.Cart = Box{Left: -usualCartHalfM, Right: usualCartHalfM, Top: top}
	p.Tractor = p.Hitch
	if d.Cart.Position == CartBehind {
		p.Cart.Front = d.rearM() - usualTongueM
		p.Cart.Back = p.Cart.Front - (length - usualTongueM)
	} else {
		p.Cart.Back = p.Hitch.Forward
		p.Cart.Front = p.Hitch.Forward + length - usualTongueM
		p.Tractor.Forward += length
	}
	p.Cab = Point{Forward: p.Tractor.Forward + usualCabAheadM, Up: usualCabUpM}
	p.Supply = Point{Forward: p.Tractor.Forward + usualOutletAheadM, Up: usualOutletUpM}
	if d.Cab.At != nil {
		p.Cab = *d.Cab.At
	}
	if d.Supply.At != nil {
		p.Supply = *d.Supply.At
	}
	return p
}

// hitch is the frame point of that name, the end of a drawbar, or a usual
// distance ahead of the front rank and of all else on the drill.
func (d *Drill) hitch() Point {
	if at, ok := d.Frame.Point(PointHitch); ok {
		return at
	}
	front := 0.0
	for _, h := range d.Heads {
		front = math.Max(front, h.At.Forward)
	}
	foremost := Point{Forward: math.Inf(-1)}
	for _, q := range d.Frame.Points {
		if !isOutfit(q.ID) && q.At.Forward > foremost.Forward {
			foremost = q.At
		}
	}
	if foremost.Forward >= front+hitchAheadM/2 && math.Abs(foremost.Right) <= hitchMiddleM {
		return foremost
	}
	return Point{Forward: math.Max(front, foremost.Forward) + hitchAheadM, Up: usualBarUpM}
}

// rearM is how far back the drill reaches.
func (d *Drill) rearM() float64 {
	rear := 0.0
	for _, r := range d.Rows.RanksM {
		rear = math.Min(rear, r)
	}
	for _, h := range d.Heads {
		rear = math.Min(rear, h.At.Forward)
	}
	return rear
}
