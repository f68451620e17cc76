package allocate

import (
	"cmp"
	"math"
	"slices"
)

// nodes are the nodes of an answer whose counts are all whole: the shares at
// each mount packed into its nodes. It reports false where the counts are not
// whole or the shares do not pack.
func (u usage) nodes() ([]Node, bool) {
	at, shares := u.tally(granularity{mount: true}), u.tally(granularity{head: true, mount: true, size: true})
	_, far := at.mostBroken()
	_, far2 := shares.mostBroken()
	if max(far, far2) > fracTol {
		return nil, false
	}
	slices.SortFunc(at.keys, func(a, b count) int { return cmp.Compare(a.at, b.at) })
	var nodes []Node
	for _, k := range at.keys {
		p := packing{room: u.Cap, nodes: make([]Node, int(math.Round(at.sum[k]))), tries: 20000}
		for i := range p.nodes {
			p.nodes[i].At = k.at
		}
		for _, s := range shares.keys {
			if s.at == k.at {
				p.shares = append(p.shares, slices.Repeat([]Share{{s.head, s.runs}}, int(math.Round(shares.sum[s])))...)
			}
		}
		if !p.pack() {
			return nil, false
		}
		nodes = append(nodes, p.nodes...)
	}
	return nodes, true
}

// packing puts shares into nodes of one mount.
type packing struct {
	room   int
	nodes  []Node
	shares []Share
	used   []int
	tries  int
}

// pack tries all ways, the largest shares first, until one goes or the tries
// are used up. No head comes twice to one node.
func (p *packing) pack() bool {
	slices.SortStableFunc(p.shares, func(a, b Share) int { return cmp.Or(cmp.Compare(b.Runs, a.Runs), cmp.Compare(a.Head, b.Head)) })
	p.used = make([]int, len(p.nodes))
	if !p.put(0) {
		return false
	}
	for i := range p.nodes {
		p.nodes[i].sort()
	}
	return true
}

func (p *packing) put(k int) bool {
	if k == len(p.shares) {
		return true
	}
	if p.tries--; p.tries < 0 {
		return false
	}
	s := p.shares[k]
	for i := range p.nodes {
		n := &p.nodes[i]
		if p.used[i]+s.Runs > p.room || runsOf(*n, s.Head) > 0 {
			continue
		}
		n.Load = append(n.Load, s)
		p.used[i] += s.Runs
		if p.put(k + 1) {
			return true
		}
		n.Load = n.Load[:len(n.Load)-1]
		p.used[i] -= s.Runs
		if len(n.Load) == 0 {
			break // empty nodes are alike
		}
	}
	return false
}

// trimmed takes off what serves a head beyond its demand, the smallest and
// farthest shares first, and drops what is left empty.
func trimmed(p Problem, nodes []Node) []Node {
	over := make([]int, len(p.Demand))
	for g, d := range p.Demand {
		over[g] = -d
	}
	out := make([]Node, len(nodes))
	for i, n := range nodes {
		out[i] = Node{n.At, slices.Clone(n.Load)}
		for _, l := range n.Load {
			over[l.Head] += l.Runs
		}
	}
	for g, extra := range over {
		for extra > 0 {
			n := &out[lightest(p, out, g)]
			k := slices.IndexFunc(n.Load, func(l Share) bool { return l.Head == g })
			take := min(extra, n.Load[k].Runs)
			extra -= take
			if n.Load[k].Runs -= take; n.Load[k].Runs == 0 {
				n.Load = slices.Delete(n.Load, k, k+1)
			}
		}
	}
	return slices.DeleteFunc(out, func(n Node) bool { return len(n.Load) == 0 })
}

// lightest is the node with the smallest share of head g; of equals, the
// farthest.
func lightest(p Problem, nodes []Node, g int) int {
	best := -1
	for i, n := range nodes {
		r := runsOf(n, g)
		if r == 0 {
			continue
		}
		if best < 0 || cmp.Or(cmp.Compare(r, runsOf(nodes[best], g)), cmp.Compare(p.DistM[nodes[best].At][g], p.DistM[n.At][g])) < 0 {
			best = i
		}
	}
	return best
}
