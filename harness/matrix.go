package harness

import "math"

// matrix is how far the stops of the backbone are from one another along the
// frame, micrometres. Stops are numbered from left to right, front before back.
type matrix struct {
	um     [][]int
	vertex []int     // of each stop in the net
	right  []float64 // of each stop, m
}

// pathUM is the length of the line through the stops in that order.
func (m matrix) pathUM(order []int) int {
	sum := 0
	for i := 1; i < len(order); i++ {
		sum += m.um[order[i-1]][order[i]]
	}
	return sum
}

// farthest is the pair of stops farthest from one another; of equal ones that
// which spans most of the width, then the leftmost.
func (m matrix) farthest() (a, b int) {
	far, span := -1, math.Inf(-1)
	for i := range m.um {
		for j := i; j < len(m.um); j++ {
			if um, s := m.um[i][j], m.right[j]-m.right[i]; um > far || um == far && s > span {
				far, span, a, b = um, s, i, j
			}
		}
	}
	return a, b
}

// groups puts stops without any way between them into one each, in order, so
// that a search need not tell them apart; and the matrix of the groups.
func (m matrix) groups() (matrix, [][]int) {
	var members [][]int
	var first []int
	for i := range m.um {
		k := 0
		for k < len(first) && m.um[i][first[k]] != 0 {
			k++
		}
		if k == len(first) {
			first = append(first, i)
			members = append(members, nil)
		}
		members[k] = append(members[k], i)
	}
	g := matrix{um: make([][]int, len(first))}
	for a, i := range first {
		g.um[a] = make([]int, len(first))
		for b, j := range first {
			g.um[a][b] = m.um[i][j]
		}
		g.vertex = append(g.vertex, m.vertex[i])
		g.right = append(g.right, m.right[i])
	}
	return g, members
}
