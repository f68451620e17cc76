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
// along which its openers stood, are cut exactly; between the lines it is taken
// to change evenly, and where three lines do not agree there are more of them:
// an edge that lies along the lines is met to within half of finestCoverM.
type coverer struct {
	s     *shape
	near  []*shape
	cut   []stretch
	depth []edge
	used  []bool // by near: covers some of it
}

type edge struct {
	at float64
	by int
}

const (
	coverM       = 3.0  // the lines are no farther apart than a third of this
	finestCoverM = 0.04 // nor, at an edge, nearer to each other
	agree        = 0.004
)

// measure returns the areas that others cover once at least and twice at least.
func (c *coverer) measure(s *shape, near []*shape) (once, twice float64) {
	c.s, c.near = s, near
	c.used = append(c.used[:0], make([]bool, len(near))...)
	if len(near) == 0 {
		return 0, 0
	}
	l := math.Max(s.end(0).minus(s.end(3)).length(), s.end(1).minus(s.end(2)).length())
	parts := int(math.Ceil(l / coverM))
	for k := range parts {
		o, t := c.part(float64(k)/float64(parts), float64(k+1)/float64(parts), l/float64(parts))
		once, twice = once+o, twice+t
	}
	return once, twice
}

// end is a corner; of three corners the last is both ends of a side.
func (s *shape) end(i int) place { return s.corners[min(i, s.n-1)] }

// part measures the shape between two lines, l apart.
func (c *coverer) part(u0, u1, l float64) (once, twice float64) {
	var o, t [3]float64
	for k := range 3 {
		o[k], t[k] = c.line(u0 + (u1-u0)*(2*float64(k)+1)/6)
	}
	if l > finestCoverM && (!level(o) || !level(t)) {
		for k := range 3 {
			a, b := c.part(u0+(u1-u0)*float64(k)/3, u0+(u1-u0)*float64(k+1)/3, l/3)
			once, twice = once+a, twice+b
		}
		return once, twice
	}
	area := c.s.sliceM2(u0, u1)
	return area * (o[0] + o[1] + o[2]) / 3, area * (t[0] + t[1] + t[2]) / 3
}

// level says whether three readings lie on a line.
func level(v [3]float64) bool { return math.Abs(v[0]-2*v[1]+v[2]) <= agree }

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
func (c *coverer) line(u float64) (once, twice float64) {
	p, q := c.s.across(u)
	c.cut = c.cut[:0]
	for i, o := range c.near {
		if from, to, ok := o.along(p, q); ok {
			c.cut = append(c.cut, stretch{from, to, o.owner})
			c.used[i] = true
		}
	}
	switch len(c.cut) {
	case 0:
		return 0, 0
	case 1:
		return c.cut[0].to - c.cut[0].from, 0
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
				once += w
			}
			if depth >= 2 {
				twice += w
			}
		}
		depth += e.by
	}
	return once, twice
}
