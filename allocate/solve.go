package allocate

import "math"

// answer is what is known of a part.
type answer struct {
	nodes []Node
	low   rank // proved: no answer is below it
}

// guide is how much of a pair all tubes together weigh in the search for the
// fewest pairs: it makes the programme prefer near mounts where all are alike.
const guide = 0.1

// pairGoal is to use few pairs with so many nodes.
func (p *part) pairGoal(nodes int) goal {
	far := 1 + p.farthest()
	return goal{w: weights{pair: 1, metre: guide / far}, nodes: nodes, big: 1000 * far, whole: true, loose: guide}
}

// tubeGoal is to use little tube with so many nodes and pairs.
func (p *part) tubeGoal(nodes, pairs int) goal {
	g := goal{w: weights{metre: 1}, nodes: nodes, big: 100 * (1 + p.farthest())}
	g.rows = append(p.serveRows(), atMost(nodeRow, float64(nodes)), atMost(pairRow, float64(pairs)))
	return g
}

// exact looks for an answer that is better than nodes, which serve the part,
// and proves what it can: stage by stage, as the rule has it. Each search looks
// at so many branches at most. polish, if not nil, betters answers on the way.
func (p *part) exact(nodes []Node, m *meter, most int, polish func([]Node) []Node) answer {
	ans := answer{nodes: nodes, low: rank{nodes: (p.total() + p.Cap - 1) / p.Cap, pairs: p.fewestShares()}}
	better := func(nodes []Node) {
		if polish != nil {
			nodes = polish(nodes)
		}
		if p.rank(nodes).less(p.rank(ans.nodes)) {
			ans.nodes = nodes
		}
	}
	q := newPool()
	c := p.fewest(len(nodes), m)
	ans.low.nodes = c.low
	if c.best != nil {
		runs, _, _ := p.serve(c.best)
		ans.nodes = p.loads(runs)
	}
	if c.best != nil || polish != nil {
		if found, ok := p.dive(q, len(ans.nodes), m); ok {
			better(found)
		}
		better(ans.nodes)
	}
	if len(ans.nodes) > ans.low.nodes {
		return ans // pairs and tube are compared for the fewest nodes only
	}
	p.fewPairs(&ans, q, m, most)
	if r := p.rank(ans.nodes); r.pairs > ans.low.pairs {
		return ans
	}
	better(ans.nodes)
	p.littleTube(&ans, q, m, most)
	return ans
}

// fewPairs is the second stage.
func (p *part) fewPairs(ans *answer, q *pool, m *meter, most int) {
	r := p.rank(ans.nodes)
	if r.pairs == ans.low.pairs {
		return
	}
	p.poolNodes(q, ans.nodes)
	g := p.pairGoal(r.nodes)
	g.rows = append(p.serveRows(), atMost(nodeRow, float64(r.nodes)))
	s := newSearch(p, q, g, ans.nodes, m)
	ans.low.pairs = max(ans.low.pairs, int(s.run(most)))
	ans.nodes = s.best
}

// littleTube is the third stage.
func (p *part) littleTube(ans *answer, q *pool, m *meter, most int) {
	r := p.rank(ans.nodes)
	if r.pairs == p.fewestShares() {
		p = p.tight()
		q = q.keeping(p)
	}
	p.poolNodes(q, ans.nodes)
	s := newSearch(p, q, p.tubeGoal(r.nodes, r.pairs), ans.nodes, m)
	ans.low.m = max(0, s.run(most))
	ans.nodes = s.best
}

func (p *part) poolNodes(q *pool, nodes []Node) {
	for _, n := range nodes {
		q.add(p.pattern(n))
	}
}

// Effort is how much work Solve does by default before it stops with a gap, in
// multiplications or so: about a second on a laptop of 2020.
const Effort = 1_500_000_000

// Solve returns the best allocation that it finds within so much work (see
// Effort), and what is proved of it. The problem must be one that NewProblem
// makes: every head with demand reaches itself. The same problem and effort
// give the same answer on every machine.
func Solve(p Problem, effort int64) Solution {
	var s Solution
	s.Proof = Proof{Optimal: true}
	work := &meter{effort}
	parts := partsOf(p)
	for i, pt := range parts {
		m := &meter{work.left / int64(len(parts)-i)}
		given := m.left
		ans := pt.exact(greedy(pt.Problem), m, math.MaxInt, func(nodes []Node) []Node { return pt.polished(nodes, m) })
		work.left -= given - m.left
		s.Proof.include(ans.low, pt.rank(ans.nodes))
		s.Nodes = append(s.Nodes, ans.nodes...)
	}
	r := p.rank(s.Nodes)
	s.Pairs, s.DistM = r.pairs, r.m
	return s
}

// polished are the nodes improved, for a quarter of the work that is left.
func (p *part) polished(nodes []Node, m *meter) []Node {
	some := &meter{m.left / 4}
	nodes = p.improve(nodes, some)
	m.left -= m.left/4 - some.left
	return nodes
}
