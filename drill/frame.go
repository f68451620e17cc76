package drill

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

// Names of the frame points that the house itself puts in. A told frame that
// has one of them keeps its own.
const (
	PointHitch     = "hitch"
	PointCentre    = "centre"
	PointLeftTip   = "left-tip"
	PointRightTip  = "right-tip"
	PointRear      = "rear"
	PointCartRear  = "cart-rear"
	PointCartFront = "cart-front"
	PointTractor   = "tractor"
)

// Pieces are the groups of points that links join, as ids in the order
// described; a harness needs one piece. No points are no pieces.
func (f Frame) Pieces() [][]string { return framePieces(f) }

// Point is the place of the point with that id, and whether there is one.
func (f Frame) Point(id string) (Point, bool) {
	for _, p := range f.Points {
		if p.ID == id {
			return p.At, true
		}
	}
	return Point{}, false
}

// FrameOrDefault is the frame that harness and tubes follow: the told one, or
// where no point is told, a bar across the drill through each rank of heads
// (common practice, no source), joined at the middle. Either is continued to
// where the power point usually is, over the cart where it runs between, and
// to the cart where it runs behind; over each joint that turns the continuation
// has slack. A told frame in several pieces comes back as told: Pieces names
// them, and only a person knows which way joins them.
func (d *Drill) FrameOrDefault() Frame {
	f := Frame{Points: slices.Clone(d.Frame.Points), Links: slices.Clone(d.Frame.Links)}
	if len(f.Points) == 0 {
		f = d.bars()
	}
	if len(f.Pieces()) > 1 {
		return f
	}
	return d.reach(f)
}

// bars are one bar for each rank of heads, as wide as the rows and the heads
// reach, joined at the middle of the drill.
func (d *Drill) bars() Frame {
	half := d.WidthM() / 2
	for _, h := range d.Heads {
		half = math.Max(half, math.Abs(h.At.Right))
	}
	half = math.Max(roundM(half), 0.1) // a frame has some width, whatever the rows say
	var f Frame
	for i, rank := range d.HeadRanks() {
		suffix := ""
		if i > 0 {
			suffix = "-" + string(rune('1'+i))
		}
		if i >= 9 {
			break // 7 m of heads behind one another: the last bar serves them
		}
		at := Point{Forward: d.middleOf(rank), Up: usualBarUpM}
		for _, p := range []struct {
			id    string
			right float64
		}{{PointLeftTip, -half}, {PointCentre, 0}, {PointRightTip, half}} {
			at.Right = p.right
			f.Points = append(f.Points, FramePoint{p.id + suffix, at})
		}
		f.Links = append(f.Links, FrameLink{PointLeftTip + suffix, PointCentre + suffix, 0}, FrameLink{PointCentre + suffix, PointRightTip + suffix, 0})
		if i > 0 {
			f.Links = append(f.Links, FrameLink{f.Points[len(f.Points)-5].ID, PointCentre + suffix, 0})
		}
	}
	return f
}

// middleOf is the fore-and-aft middle of a rank of heads.
func (d *Drill) middleOf(rank []HeadID) float64 {
	front, back := math.Inf(-1), math.Inf(1)
	for _, id := range rank {
		h, _ := d.Head(id)
		front, back = math.Max(front, h.At.Forward), math.Min(back, h.At.Forward)
	}
	return roundM((front + back) / 2)
}

// Foot is where the way from a place to the frame meets it.
type Foot struct {
	At   Point
	Link int     // index of the link it is on; -1 = a frame without links
	Part float64 // how far along the link, 0 at its From to 1 at its To
	OffM float64 // straight distance from the place, m
}

// Foot returns the point of the frame nearest to p, on the first of equally
// near links; false where the frame has no points.
func (f Frame) Foot(p Point) (Foot, bool) {
	if len(f.Points) == 0 {
		return Foot{}, false
	}
	near := Foot{Link: -1, OffM: math.Inf(1)}
	for i, l := range f.Links {
		from, okFrom := f.Point(l.From)
		to, okTo := f.Point(l.To)
		if !okFrom || !okTo {
			continue
		}
		if foot := footOn(from, to, p); foot.OffM < near.OffM-nearerM {
			near, near.Link = foot, i
		}
	}
	if near.Link < 0 {
		q := slices.MinFunc(f.Points, func(a, b FramePoint) int { return cmp.Compare(DistanceM(a.At, p), DistanceM(b.At, p)) })
		near.At, near.OffM = q.At, DistanceM(q.At, p)
	}
	return near, true
}

// nearerM: what is nearer by less than a nanometre is as near.
const nearerM = 1e-9

// footOn drops the perpendicular from p on the stretch from a to b.
func footOn(a, b, p Point) Foot {
	df, dr, du := b.Forward-a.Forward, b.Right-a.Right, b.Up-a.Up
	t := 0.0
	if l2 := df*df + dr*dr + du*du; l2 > 0 {
		t = ((p.Forward-a.Forward)*df + (p.Right-a.Right)*dr + (p.Up-a.Up)*du) / l2
		t = min(max(t, 0), 1)
	}
	at := Point{roundUM(a.Forward + t*df), roundUM(a.Right + t*dr), roundUM(a.Up + t*du)}
	switch t {
	case 0:
		at = a
	case 1:
		at = b
	}
	return Foot{At: at, Part: t, OffM: DistanceM(at, p)}
}

// roundUM rounds a reckoned place to micrometres: what is behind is binary dust.
func roundUM(m float64) float64 { return math.Round(m*1e6) / 1e6 }

// isOutfit tells the points of cart and tractor from those of the drill.
func isOutfit(id string) bool { return id == PointTractor || strings.HasPrefix(id, "cart") }
