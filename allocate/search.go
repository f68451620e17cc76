package allocate

import (
	"math"
	"slices"
)

// search is branch and price: the programme's fractions are split into
// branches, each a programme with one more row, until no branch can hold a
// better answer.
type search struct {
	*part
	*pool
	goal
	open  []branch
	best  []Node  // the best answer so far
	value float64 // its value
	lost  float64 // least bound among whole counts that could not be packed into nodes
	steps int
	root  *priced
	meter *meter
}

// branch is a subproblem yet to be looked at.
type branch struct {
	rows  []row // beyond those of the goal
	from  *basis
	bound float64
}

// priced is what the whole problem's programme says of the patterns: an answer
// that uses one of them costs at least the bound and the pattern's reduced
// cost.
type priced struct {
	bound float64
	cost  []float64 // reduced, of each pattern of that time
}

func newSearch(p *part, q *pool, g goal, nodes []Node, m *meter) *search {
	s := &search{part: p, pool: q, goal: g, best: nodes, lost: math.Inf(1), meter: m}
	s.value = s.valueOf(nodes)
	s.open = []branch{{bound: math.Inf(-1)}}
	return s
}

// run looks at branches until none can be better, or so many were looked at,
// or the meter is empty. It returns the proved lower bound of the value.
func (s *search) run(most int) float64 {
	for len(s.open) > 0 && s.steps < most && !s.meter.empty() {
		if b := s.next(); s.promising(b.bound) {
			s.steps++
			s.look(b)
		}
	}
	low := min(s.value, s.lost)
	for _, b := range s.open {
		low = min(low, s.lowest(b.bound))
	}
	return low
}

// promising tells whether an answer at this bound would be better than the
// best.
func (s *search) promising(bound float64) bool {
	if s.whole {
		return s.lowest(bound) < s.value-0.5
	}
	return bound < s.value-sameM
}

// enough is a bound that is not promising.
func (s *search) enough() float64 {
	if s.whole {
		return s.value - 0.5 + s.loose
	}
	return s.value - sameM
}

// next takes the newest branch, and every fourth time the one with the lowest
// bound.
func (s *search) next() branch {
	k := len(s.open) - 1
	if s.steps%4 != 0 {
		for i, b := range s.open {
			if b.bound < s.open[k].bound-1e-9 {
				k = i
			}
		}
	}
	b := s.open[k]
	s.open = slices.Delete(s.open, k, k+1)
	return b
}

// look solves the branch's programme and opens the branches that are left.
func (s *search) look(b branch) {
	p := s.programme(&b)
	if p == nil {
		return
	}
	if s.meter.empty() {
		s.open = append(s.open, b) // not solved to its end: neither an answer nor a bound
		return
	}
	u := p.usage()
	if nodes, ok := u.nodes(); ok {
		s.offer(trimmed(s.Problem, nodes))
	}
	if s.root == nil && !s.whole {
		s.root = p.priced()
	}
	s.rest()
	if !s.promising(b.bound) {
		return
	}
	up, down, ok := u.split()
	if !ok {
		s.lost = min(s.lost, s.lowest(b.bound))
		return
	}
	b.from = p.left()
	for _, r := range []row{down, up} {
		s.open = append(s.open, branch{rows: append(slices.Clone(b.rows), r), from: b.from, bound: b.bound})
	}
}

// programme solves the branch's programme, joining heads to their
// configurations where it makes them up of fractions of shares. It returns nil
// when the branch holds no better answer.
func (s *search) programme(b *branch) *master {
	for {
		p := newMaster(s.part, s.pool, &s.goal, slices.Concat(s.rows, b.rows), b.from, s.meter)
		p.solve(s.enough())
		if b.bound = max(b.bound, p.bound); !s.promising(b.bound) {
			return nil
		}
		if s.meter.empty() {
			return p
		}
		if p.missed() > 1e-5 {
			return nil // a miss is dearer than any answer
		}
		joined := false
		for _, g := range p.usage().mixed() {
			if p.joins[g] == nil {
				b.rows = append(b.rows[:len(b.rows):len(b.rows)], s.partRows(g)...)
				joined = true
			}
		}
		if !joined {
			return p
		}
		b.from = p.left()
	}
}

func (p *master) priced() *priced {
	r := &priced{bound: p.bound, cost: make([]float64, len(p.pats))}
	for i, j := range p.pat {
		if j >= 0 {
			r.cost[i] = p.lp.reduced(int(j))
		}
	}
	return r
}

// rest lays aside the patterns that no better answer can use.
func (s *search) rest() {
	if s.root == nil {
		return
	}
	for i, c := range s.root.cost {
		if s.root.bound+c > s.value {
			s.resting[i] = true
		}
	}
}

// offer takes nodes that serve all runs for an answer, if they keep the goal's
// limits and are better than the best.
func (s *search) offer(nodes []Node) {
	r := s.rank(nodes)
	if v := s.valueOf(nodes); v >= s.value || r.nodes > s.nodes {
		return
	}
	for _, row := range s.rows {
		if row.kind == pairRow && float64(r.pairs) > row.rhs {
			return
		}
	}
	s.value, s.best = s.valueOf(nodes), nodes
}

func (s *search) valueOf(nodes []Node) float64 {
	r := s.rank(nodes)
	if s.whole {
		return float64(r.pairs)
	}
	return r.m
}
