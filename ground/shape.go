package ground

import "math"

// shape is a convex piece of ground with three or four corners, counter-clockwise
// as seen with east to the right and north up.
type shape struct {
	corners  [4]place
	n        int
	low      place // of the box around it
	high     place
	ns0, ns1 int64 // when it was gone over
	owner    int   // pass that it belongs to, or spell (negative)
}

func cross(a, b, c place) float64 {
	return (b.east-a.east)*(c.north-a.north) - (b.north-a.north)*(c.east-a.east)
}

// shapes cuts a four-sided piece, its corners in order round it, into convex ones;
// those without area are left out. One whose sides cross, where the inner end of
// a drill goes backwards in a turn, is taken as the triangles on either side of a
// diagonal, which cover it and little more.
func shapes(to []shape, a, b, c, d place, ns0, ns1 int64, owner int) []shape {
	s := [4]float64{cross(d, a, b), cross(a, b, c), cross(b, c, d), cross(c, d, a)}
	switch {
	case s[0] >= 0 && s[1] >= 0 && s[2] >= 0 && s[3] >= 0:
		return shapeOf(to, [4]place{a, b, c, d}, 4, ns0, ns1, owner)
	case s[0] <= 0 && s[1] <= 0 && s[2] <= 0 && s[3] <= 0:
		return shapeOf(to, [4]place{d, c, b, a}, 4, ns0, ns1, owner)
	}
	for _, t := range [2][3]place{{a, b, c}, {a, c, d}} {
		if cross(t[0], t[1], t[2]) < 0 {
			t[1], t[2] = t[2], t[1]
		}
		to = shapeOf(to, [4]place{t[0], t[1], t[2]}, 3, ns0, ns1, owner)
	}
	return to
}

func shapeOf(to []shape, corners [4]place, n int, ns0, ns1 int64, owner int) []shape {
	s := shape{corners: corners, n: n, low: corners[0], high: corners[0], ns0: ns0, ns1: ns1, owner: owner}
	for _, p := range corners[1:n] {
		s.low = place{min(s.low.north, p.north), min(s.low.east, p.east)}
		s.high = place{max(s.high.north, p.north), max(s.high.east, p.east)}
	}
	if s.areaM2() < 1e-9 {
		return to
	}
	return append(to, s)
}

// areaM2 is by the shoelace formula, on the plane.
func (s *shape) areaM2() float64 {
	sum := 0.0
	for i := 1; i+1 < s.n; i++ {
		sum += cross(s.corners[0], s.corners[i], s.corners[i+1])
	}
	return sum / 2
}

// along is the part of the stretch from p to q that lies in the shape, as parts
// of its length.
func (s *shape) along(p, q place) (from, to float64, ok bool) {
	if max(p.east, q.east) <= s.low.east || min(p.east, q.east) >= s.high.east ||
		max(p.north, q.north) <= s.low.north || min(p.north, q.north) >= s.high.north {
		return 0, 0, false
	}
	from, to = 0, 1
	for i := range s.n {
		a, b := s.corners[i], s.corners[0]
		if i+1 < s.n {
			b = s.corners[i+1]
		}
		dp, dq := cross(a, b, p), cross(a, b, q) // inside is to the left of each side
		switch {
		case dp < 0 && dq < 0:
			return 0, 0, false
		case dp < 0:
			from = max(from, dp/(dp-dq))
		case dq < 0:
			to = min(to, dp/(dp-dq))
		}
	}
	return from, to, to > from
}

// cells finds shapes by place.
type cells struct {
	list  []shape
	in    map[[2]int32][]int32
	stamp []int32 // of the last question that a shape was found for
	round int32
}

const cellM = 24

func newCells(list []shape) *cells {
	c := &cells{list: list, in: map[[2]int32][]int32{}, stamp: make([]int32, len(list))}
	for i := range list {
		c.each(list[i].low, list[i].high, func(key [2]int32) { c.in[key] = append(c.in[key], int32(i)) })
	}
	return c
}

// put adds a shape.
func (c *cells) put(s shape) {
	c.list, c.stamp = append(c.list, s), append(c.stamp, 0)
	i := int32(len(c.list) - 1)
	c.each(s.low, s.high, func(key [2]int32) { c.in[key] = append(c.in[key], i) })
}

func (c *cells) each(low, high place, fn func(key [2]int32)) {
	at := func(m float64) int32 { return int32(math.Floor(m / cellM)) }
	for n := at(low.north); n <= at(high.north); n++ {
		for e := at(low.east); e <= at(high.east); e++ {
			fn([2]int32{n, e})
		}
	}
}

// near appends the shapes whose boxes meet that of s, each once.
func (c *cells) near(to []*shape, s *shape) []*shape {
	c.round++
	c.each(s.low, s.high, func(key [2]int32) {
		for _, i := range c.in[key] {
			o := &c.list[i]
			if c.stamp[i] == c.round || o.low.east >= s.high.east || o.high.east <= s.low.east || o.low.north >= s.high.north || o.high.north <= s.low.north {
				continue
			}
			c.stamp[i] = c.round
			to = append(to, o)
		}
	})
	return to
}
