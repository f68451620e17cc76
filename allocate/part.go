package allocate

import (
	"cmp"
	"math"
	"slices"
)

// part is one independent part of a problem: heads and mounts that tubes join,
// directly or in a chain. It keeps the numbers of the heads.
type part struct {
	Problem
	near  [][]int // of each mount: the heads with demand in reach, nearest first
	reach []mask  // of each head with demand: the mounts that reach it
	least []int   // of each head: the smallest share allowed
}

func newPart(p Problem, demand []int) *part {
	pt := &part{Problem: p}
	pt.Demand = demand
	n := len(demand)
	pt.near, pt.reach, pt.least = make([][]int, n), make([]mask, n), make([]int, n)
	for g := range pt.reach {
		pt.reach[g] = newMask(n)
		pt.least[g] = 1
	}
	for at := range n {
		for g, d := range demand {
			if d > 0 && !math.IsInf(p.DistM[at][g], 1) {
				pt.near[at] = append(pt.near[at], g)
				pt.reach[g].add(at)
			}
		}
		slices.SortStableFunc(pt.near[at], func(a, b int) int { return cmp.Compare(p.DistM[at][a], p.DistM[at][b]) })
	}
	return pt
}

// partsOf splits a problem into its independent parts, in the order of their
// first heads.
func partsOf(p Problem) []*part {
	n := len(p.Demand)
	group := make([]int, n) // of each head and the mount there: another of its part, or itself
	for i := range group {
		group[i] = i
	}
	find := func(i int) int {
		for group[i] != i {
			group[i] = group[group[i]]
			i = group[i]
		}
		return i
	}
	for at := range n {
		for g, d := range p.Demand {
			if d > 0 && !math.IsInf(p.DistM[at][g], 1) {
				group[find(at)] = find(g)
			}
		}
	}
	var demands [][]int
	index := make(map[int]int)
	for g, d := range p.Demand {
		if d == 0 {
			continue
		}
		k, ok := index[find(g)]
		if !ok {
			k = len(demands)
			index[find(g)] = k
			demands = append(demands, make([]int, n))
		}
		demands[k][g] = d
	}
	parts := make([]*part, len(demands))
	for k, d := range demands {
		parts[k] = newPart(p, d)
	}
	return parts
}

// rest is the part that is left when nodes are taken as settled.
func (p *part) rest(nodes []Node) *part {
	demand := slices.Clone(p.Demand)
	for _, n := range nodes {
		for _, l := range n.Load {
			demand[l.Head] = max(0, demand[l.Head]-l.Runs)
		}
	}
	return newPart(p.Problem, demand)
}

// only is the part that these nodes serve.
func (p *part) only(nodes []Node) *part {
	demand := make([]int, len(p.Demand))
	for _, n := range nodes {
		for _, l := range n.Load {
			demand[l.Head] += l.Runs
		}
	}
	return newPart(p.Problem, demand)
}

// tight is the part where each head has as few shares as it can, whatever that
// means for the number of nodes.
func (p *part) tight() *part {
	t := *p
	t.least = make([]int, len(p.Demand))
	for g, n := range p.Demand {
		t.least[g] = max(1, n-(n-1)/p.Cap*p.Cap)
	}
	return &t
}

// allows tells whether the part may use the node.
func (p *part) allows(n Node) bool {
	for _, l := range n.Load {
		if l.Runs > p.Demand[l.Head] || l.Runs < p.least[l.Head] {
			return false
		}
	}
	return true
}

func (p *part) total() int { return total(p.Demand) }

func total(counts []int) int {
	n := 0
	for _, c := range counts {
		n += c
	}
	return n
}

// fewestShares is the least number of pairs, whatever the nodes.
func (p *part) fewestShares() int {
	n := 0
	for _, d := range p.Demand {
		n += (d + p.Cap - 1) / p.Cap
	}
	return n
}

// farthest is a distance that no answer exceeds.
func (p *part) farthest() float64 {
	m := 0.0
	for at, heads := range p.near {
		if k := len(heads); k > 0 {
			m = max(m, p.DistM[at][heads[k-1]])
		}
	}
	return m * float64(p.total())
}
