package harness

import (
	"cmp"
	"math"
	"slices"
)

// span is the part of a net that the ways between some vertices use, when that
// part has no rings.
type span struct {
	net  *net
	kept []bool
	um   int // length of all its stretches: W
}

// spanOf cuts the net back to what lies between the vertices; false where rings
// are left.
func (n *net) spanOf(vs []int) (span, bool) {
	s := span{n, make([]bool, len(n.at)), 0}
	degree := make([]int, len(n.at))
	var bare []int
	for v, es := range n.edges {
		s.kept[v], degree[v] = true, len(es)
		if degree[v] <= 1 {
			bare = append(bare, v)
		}
	}
	for len(bare) > 0 {
		v := bare[len(bare)-1]
		bare = bare[:len(bare)-1]
		if slices.Contains(vs, v) || !s.kept[v] {
			continue
		}
		s.kept[v] = false
		for _, e := range n.edges[v] {
			if degree[e.to]--; s.kept[e.to] && degree[e.to] == 1 {
				bare = append(bare, e.to)
			}
		}
	}
	vertices, edges := 0, 0
	for v := range s.kept {
		if !s.kept[v] {
			continue
		}
		vertices++
		for _, e := range n.edges[v] {
			if s.kept[e.to] && v <= e.to {
				edges++
				s.um += e.um
			}
		}
	}
	return s, edges == vertices-1
}

// walk is the shortest line through all stops with free ends on a frame without
// rings, as indices of stops: from one end of the longest way to the other,
// depth first, that way's own stretch last, other branches from left to right.
// Stops are numbered from left to right.
func (s span) walk(m matrix) []int {
	a, b := m.farthest()
	w := walker{span: s, stops: make(map[int][]int), goal: m.vertex[b]}
	for i, v := range m.vertex {
		w.stops[v] = append(w.stops[v], i)
	}
	w.visit(m.vertex[a], -1)
	return w.order
}

// walker walks a span depth first.
type walker struct {
	span
	stops map[int][]int // at each vertex
	goal  int           // vertex at which the walk ends
	order []int         // stops so far
}

// branch is what lies beyond an edge.
type branch struct {
	to    int
	first int  // its leftmost stop
	last  bool // the goal is in it
}

// turn is when the branch is walked: from left to right, the goal's at last.
func (b branch) turn() int {
	if b.last {
		return math.MaxInt
	}
	return b.first
}

// visit walks what is beyond v when one comes from the vertex from.
func (w *walker) visit(v, from int) {
	w.order = append(w.order, w.stops[v]...)
	bs := w.branches(v, from)
	slices.SortFunc(bs, func(x, y branch) int { return cmp.Compare(x.turn(), y.turn()) })
	for _, b := range bs {
		w.visit(b.to, v)
	}
}

func (w *walker) branches(v, from int) []branch {
	var bs []branch
	for _, e := range w.net.edges[v] {
		if w.kept[e.to] && e.to != from {
			bs = append(bs, w.beyond(e.to, v))
		}
	}
	return bs
}

// beyond sums up the branch that begins at v.
func (w *walker) beyond(v, from int) branch {
	b := branch{v, math.MaxInt, v == w.goal}
	if stops := w.stops[v]; len(stops) > 0 {
		b.first = stops[0]
	}
	for _, c := range w.branches(v, from) {
		b.first, b.last = min(b.first, c.first), b.last || c.last
	}
	return b
}
