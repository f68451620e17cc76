package drill

import (
	"fmt"
	"slices"
)

// Usual slack where the outfit turns, and how near a told power point counts as
// on the frame, metres: common practice, no source.
const (
	usualTurnM   = 0.5 // at the hitch of the drill, the cart and the tractor, for full lock
	supplyNearM  = 1.5
	hitchMiddleM = 0.5 // a drawbar ends no farther from the middle of the drill
)

// reacher continues a frame.
type reacher struct{ Frame }

// stop is one point of a continuation; SlackM is that of the link which leads
// to it.
type stop struct {
	id     string
	at     Point
	slackM float64
}

// reach continues the frame from hitch to tractor, and to the cart.
func (d *Drill) reach(f Frame) Frame {
	r, p := reacher{f}, d.Places()
	cart := func(forward float64) Point { return Point{Forward: forward, Up: usualBarUpM} }
	tractor := stop{PointTractor, Point{Forward: p.Tractor.Forward + usualOutletAheadM, Up: usualOutletUpM}, usualTurnM}
	hitch := stop{id: PointHitch, at: p.Hitch}
	chain := []stop{hitch}
	if d.Cart.Position != CartBehind { // the gateway may ride on the cart, wherever the power comes from
		chain = append(chain, stop{PointCartRear, cart(p.Cart.Back), usualTurnM}, stop{PointCartFront, cart(p.Cart.Front), 0})
	}
	if !d.suppliedOnFrame(f) {
		chain = append(chain, tractor)
	}
	if len(chain) > 1 {
		r.chain(chain...)
	}
	if d.Cart.Position == CartBehind {
		r.chain(stop{id: PointRear, at: cart(d.rearM())}, stop{PointCartFront, cart(p.Cart.Front), usualTurnM}, stop{PointCartRear, cart(p.Cart.Back), 0})
	}
	return r.Frame
}

// suppliedOnFrame tells whether the power point was told and a told frame comes
// to it: a mounted drill, or a battery on the frame.
func (d *Drill) suppliedOnFrame(f Frame) bool {
	foot, ok := f.Foot(d.Places().Supply)
	return ok && d.Supply.At != nil && len(d.Frame.Points) > 0 && foot.OffM <= supplyNearM
}

// chain links the stops in turn. Those that the frame has already stay where
// they are, with the links that they have; a first one that it lacks is joined
// at the nearest place.
func (r *reacher) chain(stops ...stop) {
	if _, told := r.Point(stops[0].id); !told {
		r.join(stops[0])
	}
	for i, s := range stops[1:] {
		before := stops[i].id
		if _, told := r.Point(s.id); told {
			r.bridge(before, s)
			continue
		}
		r.Points = append(r.Points, FramePoint{s.id, s.at})
		r.Links = append(r.Links, FrameLink{before, s.id, s.slackM})
	}
}

// bridge links a told point to the one before it in a chain, where only the
// continuation has made a gap between them.
func (r *reacher) bridge(before string, s stop) {
	for _, piece := range r.Pieces() {
		if slices.Contains(piece, before) && slices.Contains(piece, s.id) {
			return
		}
	}
	r.Links = append(r.Links, FrameLink{before, s.id, s.slackM})
}

// join adds the stop and links it to the place of the frame nearest to it. A
// link with a hinge is not cut: on which side the hinge is, nobody has said.
func (r *reacher) join(s stop) {
	foot, ok := r.Foot(s.at)
	if !ok {
		r.Points = append(r.Points, FramePoint{s.id, s.at})
		return
	}
	at := r.anchor(foot, s)
	r.Points = append(r.Points, FramePoint{s.id, s.at})
	r.Links = append(r.Links, FrameLink{at, s.id, s.slackM})
}

// anchor is the id of the point at the foot; it cuts the link there if it must.
func (r *reacher) anchor(foot Foot, s stop) string {
	if foot.Link < 0 {
		i := slices.IndexFunc(r.Points, func(p FramePoint) bool { return p.At == foot.At })
		return r.Points[i].ID
	}
	l := r.Links[foot.Link]
	from, _ := r.Point(l.From)
	to, _ := r.Point(l.To)
	switch {
	case foot.At == from:
		return l.From
	case foot.At == to:
		return l.To
	case l.SlackM > 0 && DistanceM(from, s.at) <= DistanceM(to, s.at):
		return l.From
	case l.SlackM > 0:
		return l.To
	}
	id := r.free(PointCentre)
	r.Points = append(r.Points, FramePoint{id, foot.At})
	r.Links = slices.Replace(r.Links, foot.Link, foot.Link+1, FrameLink{l.From, id, 0}, FrameLink{id, l.To, 0})
	return id
}

// free is the name, with a number behind it where it is taken.
func (r *reacher) free(name string) string {
	id := name
	for k := 2; ; k++ {
		if _, taken := r.Point(id); !taken {
			return id
		}
		id = fmt.Sprintf("%s-%d", name, k)
	}
}
