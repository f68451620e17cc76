package ground

import (
	"cmp"
	"math"
	"slices"
)

// stretch is a part of a line across a shape, from 0 to 1, that another covers.
type stretch struct {
	from, to float64
	owner    int
}

// coverer measures how much of a shape others cover. Lines across the shape,
// along which its openers stood, are cut exactly. Between the lines cover is taken
// to change evenly; where a line and its neighbours do not agree there are more,
// so that an edge that lies along the lines is met to within finestCoverM. What
// begins and ends between two lines that see nothing of it, half of stepM apart,
// is missed.
type coverer struct {
	stepM float64 // no more than half the drill's width, so that no pass across is missed
	s     *shape
	near  []*shape
	cut   []stretch
	depth []edge
}

type edge struct {
	at float64
	by int
}

const (
	coarsestM    = 4.0
	leastStepM   = 0.25
	finestCoverM = 0.04
	agree        = 0.004 // of the line's length
	endPart      = 1e-6  // the first and last lines are so far from the ends
)

// depths are the parts of a line that others cover once at least and twice at
// least.
type depths struct{ once, twice float64 }

// measure returns the areas that others cover once at least and twice at least.
func (c *coverer) measure(s *shape, near []*shape) (once, twice float64) {
	c.s, c.near = s, near
	if len(near) == 0 {
		return 0, 0
	}
	l := math.Max(s.end(0).minus(s.end(3)).length(), s.end(1).minus(s.end(2)).length())
	parts := int(math.Ceil(l / c.stepM))
	v0 := c.line(endPart)
	for k := range parts {
		u1 := float64(k+1) / float64(parts)
		v1 := c.line(min(u1, 1-endPart))
		d := c.part(float64(k)/float64(parts), u1, l/float64(parts), v0, v1)
		once, twice, v0 = once+d.once, twice+d.twice, v1
	}
	return once, twice
}

// end is a corner; of three corners the last is both ends of a side.
func (s *shape) end(i int) place { return s.corners[min(i, s.n-1)] }

// part is the area covered between two lines, l apart.
func (c *coverer) part(u0, u1, l float64, v0, v1 depths) depths {
	um := (u0 + u1) / 2
	vm := c.line(um)
	level := math.Abs(v0.once-2*vm.once+v1.once) <= agree && math.Abs(v0.twice-2*vm.twice+v1.twice) <= agree
	if l > finestCoverM && !level {
		a, b := c.part(u0, um, l/2, v0, vm), c.part(um, u1, l/2, vm, v1)
		return depths{a.once + b.once, a.twice + b.twice}
	}
	w := c.s.sliceM2(u0, u1) / 6
	return depths{w * (v0.once + 4*vm.once + v1.once), w * (v0.twice + 4*vm.twice + v1.twice)}
}

func (s *shape) across(u float64) (p, q place) {
	p = s.end(0).plus(s.end(3).minus(s.end(0)), u)
	return p, s.end(1).plus(s.end(2).minus(s.end(1)), u)
}

// sliceM2 is the area between two lines across.
func (s *shape) sliceM2(u0, u1 float64) float64 {
	a, b := s.across(u0)
	d, c := s.across(u1)
	return math.Abs(cross(a, b, c)+cross(a, c, d)) / 2
}

// line is the part of the line across at u that others cover once at least, and
// twice at least. What one owner covers counts once.
func (c *coverer) line(u float64) (d depths) {
	p, q := c.s.across(u)
	c.cut = c.cut[:0]
	for _, o := range c.near {
		if from, to, ok := o.along(p, q); ok {
			c.cut = append(c.cut, stretch{from, to, o.owner})
		}
	}
	switch len(c.cut) {
	case 0:
		return d
	case 1:
		return depths{once: c.cut[0].to - c.cut[0].from}
	}
	slices.SortFunc(c.cut, func(a, b stretch) int {
		return cmp.Or(cmp.Compare(a.owner, b.owner), cmp.Compare(a.from, b.from))
	})
	c.depth = c.depth[:0]
	for i := 0; i < len(c.cut); {
		one := c.cut[i]
		for i++; i < len(c.cut) && c.cut[i].owner == one.owner && c.cut[i].from <= one.to; i++ {
			one.to = max(one.to, c.cut[i].to)
		}
		c.depth = append(c.depth, edge{one.from, 1}, edge{one.to, -1})
	}
	slices.SortFunc(c.depth, func(a, b edge) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.by, b.by)) })
	depth := 0
	for i, e := range c.depth {
		if i > 0 {
			w := e.at - c.depth[i-1].at
			if depth >= 1 {
				d.once += w
			}
			if depth >= 2 {
				d.twice += w
			}
		}
		depth += e.by
	}
	return d
}
