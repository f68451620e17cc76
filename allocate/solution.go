package allocate

import (
	"cmp"
	"fmt"
	"slices"

	"runproof/fit"
)

// Node is one node of a solution: where it is mounted, and how many runs it
// serves of which heads.
type Node struct {
	At   int
	Load []Share // by head, ascending
}

// Share is some runs of one head.
type Share struct {
	Head int
	Runs int // at least 1
}

// sort puts the load in the order of heads.
func (n *Node) sort() {
	slices.SortFunc(n.Load, func(a, b Share) int { return cmp.Compare(a.Head, b.Head) })
}

// runsOf is how many runs of head g the node serves.
func runsOf(n Node, g int) int {
	for _, l := range n.Load {
		if l.Head == g {
			return l.Runs
		}
	}
	return 0
}

// Solution is an allocation.
type Solution struct {
	Nodes []Node
	Pairs int
	DistM float64 // sum over runs of the distance from node to head, metres
	Proof Proof
}

// Proof says how good a solution is known to be. Its zero value says nothing.
type Proof struct {
	Optimal  bool    // no allocation is better
	MinNodes int     // no allocation has fewer nodes
	MinPairs int     // none with the solution's number of nodes has fewer pairs
	MinDistM float64 // none with its nodes and pairs has less distance
}

// include adds what is proved of one part.
func (p *Proof) include(low, found rank) {
	p.MinNodes += low.nodes
	p.MinPairs += low.pairs
	p.MinDistM += low.m
	p.Optimal = p.Optimal && !low.less(found)
}

// words says how optimality was proved, or the gap. sensorsM is the length of
// all tubes from head to sensor.
func (p Proof) words(a fit.Allocation, sensorsM float64) string {
	const why = "stopped by the limit on the search"
	switch {
	case p.Optimal:
		return "proved optimal: no plan has fewer nodes, then pairs, then tube"
	case p.MinNodes < a.Nodes:
		return fmt.Sprintf("not proved optimal: %d nodes might do; %s", p.MinNodes, why)
	case p.MinPairs < a.Pairs:
		return fmt.Sprintf("nodes proved fewest; %d pairs might do; %s", p.MinPairs, why)
	}
	low := p.MinDistM + sensorsM
	return fmt.Sprintf("nodes and pairs proved fewest; tube proved within %.1f %% of the least (at least %.2f m); %s", 100*(a.TubeM-low)/low, low, why)
}
