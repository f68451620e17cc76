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
	at := make(map[int][]int) // stops at each vertex
	for i, v := range m.vertex {
		at[v] = append(at[v], i)
	}
	var order []int
	var visit func(v, from int)
	var leftmost func(v, from int) (first int, last bool)
	leftmost = func(v, from int) (int, bool) {
		first, last := math.MaxInt, v == m.vertex[b]
		if stops := at[v]; len(stops) > 0 {
			first = stops[0]
		}
		for _, e := range s.net.edges[v] {
			if s.kept[e.to] && e.to != from {
				f, l := leftmost(e.to, v)
				first, last = min(first, f), last || l
			}
		}
		return first, last
	}
	visit = func(v, from int) {
		order = append(order, at[v]...)
		type branch struct {
			to, first int
			last      bool
		}
		var bs []branch
		for _, e := range s.net.edges[v] {
			if s.kept[e.to] && e.to != from {
				f, l := leftmost(e.to, v)
				bs = append(bs, branch{e.to, f, l})
			}
		}
		slices.SortFunc(bs, func(x, y branch) int {
			if x.last != y.last {
				if x.last {
					return 1
				}
				return -1
			}
			return cmp.Compare(x.first, y.first)
		})
		for _, x := range bs {
			visit(x.to, v)
		}
	}
	visit(m.vertex[a], -1)
	return order
}
