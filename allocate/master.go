package allocate

import (
	"math"
	"slices"
)

// weights make an objective of what the rule counts.
type weights struct{ pair, metre float64 }

// of is the pattern's cost.
func (w weights) of(p *pattern) float64 { return w.pair*float64(len(p.Load)) + w.metre*p.m }

// goal is what a search minimises, and what it may take for granted.
type goal struct {
	w     weights
	rows  []row
	nodes int     // no more than so many
	big   float64 // price of missing a row: more than any answer's cost
	whole bool    // the value is the number of pairs; what w adds to it only guides
	loose float64 // at most so much is added
}

// lowest is the least value that a bound leaves open.
func (g *goal) lowest(bound float64) float64 {
	if g.whole {
		return math.Ceil(bound - g.loose - 1e-5)
	}
	return bound
}

// master is the linear programme over patterns: how often each is used, so
// that the rows hold, at least cost. Patterns and configurations are priced in
// as they are needed (column generation; the programme over patterns is that
// of Gilmore and Gomory 1961 for cutting stock, here with a cost for each way
// of cutting and shares of heads instead of widths).
type master struct {
	*part
	*pool
	*goal
	rows  []row // of the goal and of the branch
	lp    linear
	refs  []ref      // of each column
	pat   []int32    // column of each pattern, or -1
	cfg   []int32    // column of each configuration, or -1
	about [][]int    // rows about the shares of each head, but for those of joined
	other []int      // rows about all patterns of a mount, or all
	joins []*joined  // of each head, or nil
	bound float64    // of the programme's value, valid at any time
	table priceTable // scratch
}

// joined are the rows of a head that join its shares to its configurations.
type joined struct {
	one  int   // the row that wants one configuration
	size []int // the row of each size of share; size[0] is not used
}

// ref says what a column stands for.
type ref struct {
	kind refKind
	i    int // of the pattern, the configuration or the row
}

type refKind int

const (
	use   refKind = iota // of a pattern
	adopt                // of a configuration
	slack                // of a row
	miss                 // by how much a row is missed
)

// basis is where a programme was left. Nothing changes it.
type basis struct {
	refs  []ref
	inv   [][]float64
	fresh int
}

// newMaster states the programme with the pool's patterns. from is where a
// programme with the first of these rows was left, or nil.
func newMaster(pt *part, q *pool, g *goal, rows []row, from *basis, m *meter) *master {
	p := &master{part: pt, pool: q, goal: g, rows: rows, lp: newLinear(m), bound: math.Inf(-1)}
	p.sortRows()
	for i, r := range rows {
		sign := 1.0
		if !r.most {
			sign = -1
		}
		p.lp.b = append(p.lp.b, r.rhs+sign*disturbance(i))
		p.column(ref{slack, i}, 0, []int32{int32(i)}, []float64{sign})
		p.column(ref{miss, i}, g.big, []int32{int32(i)}, []float64{-sign})
	}
	for i := range q.pats {
		p.pat = append(p.pat, -1)
		if !q.resting[i] {
			p.enterPattern(i)
		}
	}
	for i := range q.cfgs {
		p.cfg = append(p.cfg, -1)
		p.enterConfig(i)
	}
	if from == nil || !p.resume(from) {
		p.begin()
	}
	return p
}

// sortRows finds the rows that a pattern can have entries in.
func (p *master) sortRows() {
	p.about, p.joins = make([][]int, len(p.Demand)), make([]*joined, len(p.Demand))
	for i, r := range p.rows {
		switch {
		case r.kind == joinRow:
			j := &joined{i, make([]int, min(p.Demand[r.head], p.Cap)+1)}
			for a := 1; a < len(j.size); a++ {
				j.size[a] = i + a
			}
			p.joins[r.head] = j
		case p.isJoined(i):
		case r.kind == runRow || r.kind == shareRow || r.kind == sizeRow:
			p.about[r.head] = append(p.about[r.head], i)
		default:
			p.other = append(p.other, i)
		}
	}
}

// isJoined tells whether row i is the row of a size that joins shares to
// configurations.
func (p *master) isJoined(i int) bool {
	r := &p.rows[i]
	if r.kind != sizeRow || p.joins[r.head] == nil {
		return false
	}
	j := p.joins[r.head]
	return r.runs < len(j.size) && j.size[r.runs] == i
}

func (p *master) column(r ref, cost float64, row []int32, val []float64) int32 {
	p.refs = append(p.refs, r)
	return p.lp.column(cost, row, val)
}

func (p *master) enterPattern(i int) {
	pat := &p.pats[i]
	var rows []int32
	var vals []float64
	put := func(r int, v float64) {
		if v != 0 {
			rows, vals = append(rows, int32(r)), append(vals, v)
		}
	}
	for _, r := range p.other {
		put(r, p.rows[r].entry(pat))
	}
	for _, l := range pat.Load {
		if j := p.joins[l.Head]; j != nil {
			put(j.size[l.Runs], 1)
		}
		for _, r := range p.about[l.Head] {
			if at := p.rows[r].at; at == anywhere || at == pat.At {
				put(r, p.rows[r].worth(l.Runs))
			}
		}
	}
	p.lp.meter.spend(100 * (2 + len(rows)))
	p.pat[i] = p.column(ref{use, i}, p.w.of(pat), rows, vals)
}

func (p *master) enterConfig(i int) {
	c := p.cfgs[i]
	j := p.joins[c.head]
	if j == nil {
		return
	}
	rows, vals := []int32{int32(j.one)}, []float64{1}
	for a, n := range c.count {
		if n > 0 {
			rows, vals = append(rows, int32(j.size[a])), append(vals, -float64(n))
		}
	}
	p.cfg[i] = p.column(ref{adopt, i}, 0, rows, vals)
}

// col is the column of a ref, or -1.
func (p *master) col(r ref) int32 {
	switch r.kind {
	case use:
		return p.pat[r.i]
	case adopt:
		return p.cfg[r.i]
	case slack:
		return int32(2 * r.i)
	}
	return int32(2*r.i + 1)
}

// begin starts from a basis of slacks, and misses where a slack would be
// negative.
func (p *master) begin() {
	cols := make([]int32, len(p.rows))
	for i, r := range p.rows {
		cols[i] = p.col(ref{miss, i})
		if r.most || r.rhs <= 0 {
			cols[i] = p.col(ref{slack, i})
		}
	}
	p.lp.setBasis(cols, nil)
}

// resume starts from where a programme with the first of the rows was left:
// each row beyond gets its slack or, where that would be negative, its miss.
func (p *master) resume(from *basis) bool {
	n, m := len(from.refs), len(p.rows)
	cols := make([]int32, m)
	for k, r := range from.refs {
		if cols[k] = p.col(r); cols[k] < 0 {
			return false
		}
	}
	inv := matrix(m)
	x := make([]float64, n)
	for k := range n {
		copy(inv[k], from.inv[k])
		for i, v := range from.inv[k] {
			x[k] += v * p.lp.b[i]
		}
	}
	for i := n; i < m; i++ {
		p.border(i, cols[:n], x, inv)
		cols[i] = p.col(ref{miss, i})
		if sign := inv[i][i]; sign > 0 == p.rows[i].most {
			cols[i] = p.col(ref{slack, i})
		}
	}
	p.lp.fresh = from.fresh
	p.lp.meter.spend(2 * m * m)
	return p.lp.setBasis(cols, inv)
}

// border fills row i of the inverse for a basis that gains the row and one
// variable of it, with the entry 1 or -1 that makes its value positive.
func (p *master) border(i int, cols []int32, x []float64, inv [][]float64) {
	v := 0.0
	for k, j := range cols {
		a := p.lp.entry(j, i)
		if a == 0 {
			continue
		}
		v += a * x[k]
		for c, w := range inv[k][:len(cols)] {
			inv[i][c] -= a * w
		}
	}
	inv[i][i] = 1
	if v > p.lp.b[i] {
		inv[i][i] = -1
		for c := range cols {
			inv[i][c] = -inv[i][c]
		}
	}
}

// left is where the programme is.
func (p *master) left() *basis {
	b := &basis{inv: p.lp.inv, fresh: p.lp.fresh}
	for _, j := range p.lp.basis {
		b.refs = append(b.refs, p.refs[j])
	}
	return b
}

// solve prices columns in until none improves the programme, or its bound
// reaches enough, or the meter is empty.
func (p *master) solve(enough float64) {
	for p.lp.solve() {
		y := p.signed()
		more := p.configure(y)
		least, found := p.price(y)
		b := float64(p.nodes) * min(0, least)
		for i, r := range p.rows {
			b += y[i] * r.rhs
		}
		if p.bound = max(p.bound, b); p.bound >= enough {
			return
		}
		for _, pat := range found {
			if i, isNew := p.add(pat); isNew {
				if i == len(p.pat) {
					p.pat = append(p.pat, -1)
				}
				p.enterPattern(i)
				more = true
			}
		}
		if !more {
			return
		}
	}
}

// signed are the prices with the signs that a bound needs.
func (p *master) signed() []float64 {
	y := slices.Clone(p.lp.y)
	for i, r := range p.rows {
		if r.most {
			y[i] = min(0, y[i])
		} else {
			y[i] = max(0, y[i])
		}
	}
	return y
}

// missed is how much the rows are missed in all.
func (p *master) missed() float64 {
	s := 0.0
	for i, j := range p.lp.basis {
		if p.refs[j].kind == miss {
			s += p.lp.x[i]
		}
	}
	return s
}
