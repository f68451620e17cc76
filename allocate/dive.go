package allocate

import (
	"cmp"
	"math"
	"slices"
)

// dive settles one node after the other as the programme suggests, and gives
// up when what is left cannot be served by the nodes that are left.
func (p *part) dive(q *pool, nodes int, m *meter) ([]Node, bool) {
	var out []Node
	for left := p; left.total() > 0; left = p.rest(out) {
		g := p.pairGoal(nodes - len(out))
		g.rows = append(left.serveRows(), atMost(nodeRow, float64(g.nodes)))
		lp := newMaster(left, q.keeping(left), &g, g.rows, nil, m)
		lp.solve(math.Inf(1))
		if lp.missed() > 1e-5 || m.empty() {
			return nil, false
		}
		for i := range lp.pats {
			q.add(lp.pats[i])
		}
		out = append(out, left.settle(lp.usage())...)
	}
	return out, true
}

// settle picks the patterns that are used whole, and of the others the one
// used most.
func (p *part) settle(u usage) []Node {
	order := make([]int, len(u.pats))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(u.x[b], u.x[a]), cmp.Compare(u.pats[b].runs, u.pats[a].runs))
	})
	left := p
	var out []Node
	for _, i := range order {
		if len(out) > 0 && u.x[i] < 0.99 {
			break
		}
		for range max(1, int(u.x[i]+0.01)) {
			if n := left.clipped(u.pats[i].Node); len(n.Load) > 0 {
				out = append(out, n)
				left = left.rest([]Node{n})
			}
		}
	}
	return out
}

// clipped is the node without what the part has no runs for.
func (p *part) clipped(n Node) Node {
	c := Node{At: n.At}
	for _, l := range n.Load {
		if r := min(l.Runs, p.Demand[l.Head]); r > 0 {
			c.Load = append(c.Load, Share{l.Head, r})
		}
	}
	return c
}
