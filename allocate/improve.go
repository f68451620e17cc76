package allocate

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

// improve takes up a few neighbouring nodes at a time, finds the best answer
// for what they serve, and goes on until no neighbourhood is improved; then it
// tries with larger ones.
func (p *part) improve(nodes []Node, m *meter) []Node {
	done := make(map[string]bool) // neighbourhoods known to be at their best
	for size := 8; size <= 26; size += 6 {
		for again := true; again && !m.empty(); {
			nodes, again = p.improveOnce(nodes, size, done, m)
		}
	}
	return nodes
}

// improveOnce goes once over all neighbourhoods of about so many heads. It
// reports whether any was improved.
func (p *part) improveOnce(nodes []Node, heads int, done map[string]bool, m *meter) ([]Node, bool) {
	improved := false
	for centre, d := range p.Demand {
		if d == 0 || m.empty() {
			continue
		}
		few, others := p.neighbours(nodes, centre, heads)
		key := keyOf(few)
		if len(few) < 2 || done[key] {
			continue
		}
		done[key] = true
		sub := p.only(few)
		if better := sub.exact(few, m, 20, nil).nodes; p.rank(better).less(p.rank(few)) {
			nodes = append(others, better...)
			improved = true
		}
	}
	return nodes, improved
}

// keyOf tells sets of nodes apart.
func keyOf(nodes []Node) string {
	keys := make([]string, len(nodes))
	for i, n := range nodes {
		keys[i] = (&pattern{Node: n}).key()
	}
	slices.Sort(keys)
	return strings.Join(keys, "|")
}

// neighbours parts the nodes into those near a head, which serve about so many
// heads, and the others.
func (p *part) neighbours(nodes []Node, centre, heads int) (few, others []Node) {
	away := make([]float64, len(nodes))
	order := make([]int, len(nodes))
	for i, n := range nodes {
		order[i] = i
		away[i] = math.Inf(1)
		for _, l := range n.Load {
			away[i] = min(away[i], p.apart(centre, l.Head))
		}
		away[i] += p.apart(centre, n.At) / 2
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(away[a], away[b]) })
	served := make(map[int]bool)
	for _, i := range order {
		if len(few) > 1 && len(served)+len(nodes[i].Load) > heads || len(others) > 0 {
			others = append(others, nodes[i])
			continue
		}
		for _, l := range nodes[i].Load {
			served[l.Head] = true
		}
		few = append(few, nodes[i])
	}
	return few, others
}

// apart is how far apart two heads lie; where places are not known, heads out
// of reach of each other lie very far.
func (p *part) apart(a, b int) float64 {
	if len(p.At) == 0 {
		return min(p.DistM[a][b], 1e6)
	}
	return math.Hypot(p.At[a].Forward-p.At[b].Forward, p.At[a].Right-p.At[b].Right)
}
