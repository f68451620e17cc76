package allocate

import (
	"cmp"
	"math"
	"slices"
)

// greedy fills one node after the other: at each step the node and the load
// that serve the most runs; of equals the one with fewest pairs, then least
// distance.
func greedy(p Problem) []Node {
	left := slices.Clone(p.Demand)
	total := 0
	for _, n := range left {
		total += n
	}
	var nodes []Node
	for total > 0 {
		n := fullest(p, left)
		for _, l := range n.Load {
			left[l.Head] -= l.Runs
			total -= l.Runs
		}
		nodes = append(nodes, n)
	}
	return nodes
}

// fullest is the best next node for the runs that are left.
func fullest(p Problem, left []int) Node {
	var best Node
	bestRuns, bestM := 0, 0.0
	for at := range p.Demand {
		n := fill(p, left, at)
		runs, m := 0, 0.0
		for _, l := range n.Load {
			runs += l.Runs
			m += float64(l.Runs) * p.DistM[at][l.Head]
		}
		if cmp.Or(cmp.Compare(bestRuns, runs), cmp.Compare(len(n.Load), len(best.Load)), cmp.Compare(m, bestM)) < 0 {
			best, bestRuns, bestM = n, runs, m
		}
	}
	return best
}

// fill loads a node at a head from the nearest heads outward, whole heads
// first.
func fill(p Problem, left []int, at int) Node {
	var heads []int
	for g, n := range left {
		if n > 0 && !math.IsInf(p.DistM[at][g], 1) {
			heads = append(heads, g)
		}
	}
	slices.SortStableFunc(heads, func(a, b int) int { return cmp.Compare(p.DistM[at][a], p.DistM[at][b]) })
	n := Node{At: at}
	room := p.Cap
	for _, whole := range []bool{true, false} {
		for _, g := range heads {
			if take := min(left[g], room); take > 0 && (take == left[g]) == whole && runsOf(n, g) == 0 {
				n.Load = append(n.Load, Share{g, take})
				room -= take
			}
		}
	}
	n.sort()
	return n
}
