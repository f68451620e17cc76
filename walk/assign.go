package walk

import "math"

// assign solves the linear sum assignment problem: the cheapest choice of one
// column for each row, no column twice, by shortest augmenting paths with dual
// prices (Jonker and Volgenant 1987; Crouse 2016). Rows must not outnumber
// columns; +Inf forbids a pair, but every row needs a way out. O(rows^2 cols).
func assign(cost [][]float64) (column []int, total float64) {
	s := newAssignment(cost)
	for i := range cost {
		s.augment(i)
	}
	for i, j := range s.column {
		total += cost[i][j]
	}
	return s.column, total
}

// assignment is a partial solution with its dual prices: cost - rowPrice -
// colPrice is never negative, and zero on the pairs chosen.
type assignment struct {
	cost               [][]float64
	column, row        []int // the pairs; -1 is free
	rowPrice, colPrice []float64
}

func newAssignment(cost [][]float64) *assignment {
	s := &assignment{cost: cost, column: free(len(cost)), rowPrice: make([]float64, len(cost))}
	if len(cost) > 0 {
		s.row, s.colPrice = free(len(cost[0])), make([]float64, len(cost[0]))
	}
	return s
}

func free(n int) []int {
	f := make([]int, n)
	for i := range f {
		f[i] = -1
	}
	return f
}

// augment gives row i a column along the shortest path of reduced costs, and
// returns the path's length: by so much the total rises.
func (s *assignment) augment(start int) float64 {
	n := len(s.row)
	dist, via, done := make([]float64, n), free(n), make([]bool, n)
	for j := range dist {
		dist[j] = math.Inf(1)
	}
	var ready []int // columns whose distance is final
	i, reach, sink := start, 0.0, -1
	for sink < 0 {
		next := -1
		for j := range dist {
			if done[j] {
				continue
			}
			if d := reach + s.cost[i][j] - s.rowPrice[i] - s.colPrice[j]; d < dist[j] {
				dist[j], via[j] = d, i
			}
			if next < 0 || dist[j] < dist[next] {
				next = j
			}
		}
		reach = dist[next]
		done[next] = true
		ready = append(ready, next)
		if s.row[next] < 0 {
			sink = next
		} else {
			i = s.row[next]
		}
	}
	s.reprice(start, reach, dist, ready)
	for j := sink; ; {
		i := via[j]
		s.row[j] = i
		s.column[i], j = j, s.column[i]
		if i == start {
			return reach
		}
	}
}

func (s *assignment) reprice(start int, reach float64, dist []float64, ready []int) {
	s.rowPrice[start] += reach
	for _, j := range ready {
		if i := s.row[j]; i >= 0 {
			s.rowPrice[i] += reach - dist[j]
		}
		s.colPrice[j] -= reach - dist[j]
	}
}
