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

// cells finds shapes by place: the ground of a day in a grid.
type cells struct {
	list   []shape
	low    place
	cellM  float64
	nx, ny int       // east and north
	in     [][]int32 // by cell, from the south-west
	stamp  []int32   // of the last question that a shape was found for
	round  int32
}

// The grid's cells are so large, or larger where there would be too many.
const (
	cellM     = 24.0
	mostCells = 1 << 16
)

// newCells is a grid over the passes and what lies around them.
func (f *Field) newCells(list []shape) *cells {
	low, high := place{math.Inf(1), math.Inf(1)}, place{math.Inf(-1), math.Inf(-1)}
	for _, pass := range f.passes {
		for _, p := range pass {
			low = place{min(low.north, p.North), min(low.east, p.East)}
			high = place{max(high.north, p.North), max(high.east, p.East)}
		}
	}
	size := high.minus(low)
	c := &cells{list: list, low: low, cellM: math.Max(cellM, math.Sqrt(size.north*size.east/mostCells)), stamp: make([]int32, len(list))}
	c.cellM = max(c.cellM, size.north/mostCells, size.east/mostCells)
	c.nx, c.ny = int(size.east/c.cellM)+1, int(size.north/c.cellM)+1
	c.in = make([][]int32, c.nx*c.ny)
	for i := range list {
		c.enter(i)
	}
	return c
}

// put adds a shape.
func (c *cells) put(s shape) {
	c.list, c.stamp = append(c.list, s), append(c.stamp, 0)
	c.enter(len(c.list) - 1)
}

func (c *cells) enter(i int) {
	x0, x1, y0, y1 := c.under(&c.list[i])
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			c.in[y*c.nx+x] = append(c.in[y*c.nx+x], int32(i))
		}
	}
}

// under are the cells that the box of a shape lies on; what lies beyond the grid
// is in the cells along its edge.
func (c *cells) under(s *shape) (x0, x1, y0, y1 int) {
	at := func(m float64, n int) int { return max(0, min(n-1, int(math.Floor(m/c.cellM)))) }
	return at(s.low.east-c.low.east, c.nx), at(s.high.east-c.low.east, c.nx), at(s.low.north-c.low.north, c.ny), at(s.high.north-c.low.north, c.ny)
}

// near appends the shapes whose boxes meet that of s, each once.
func (c *cells) near(to []*shape, s *shape) []*shape {
	c.round++
	x0, x1, y0, y1 := c.under(s)
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			for _, i := range c.in[y*c.nx+x] {
				o := &c.list[i]
				if c.stamp[i] == c.round || o.low.east >= s.high.east || o.high.east <= s.low.east || o.low.north >= s.high.north || o.high.north <= s.low.north {
					continue
				}
				c.stamp[i] = c.round
				to = append(to, o)
			}
		}
	}
	return to
}
