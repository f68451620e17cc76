package walk

import (
	"math"
	"slices"
)

// edge is one port that may have reacted when a run was pinched: ln of the
// weight of "this port" against "no port".
type edge struct {
	col  int
	logW float64
}

// faint edges change no posterior that matters.
const faintEdge = -14

// matchRounds is enough for the messages to settle to 1e-9 in every case
// tried; on a forest of edges they are exact after as many rounds as the
// longest path has edges.
const matchRounds = 200

// matchPosterior returns, for each row, the probability of each of its edges
// when every port is the answer to at most one run, and every run has one port
// or none. It passes messages along the edges (the sum-product rule for
// matchings; the fixed point is unique: Vontobel 2013, "The Bethe permanent of
// a nonnegative matrix"), exact where edges form no cycle.
func matchPosterior(rows [][]edge) [][]float64 {
	g := newMatching(rows)
	for range matchRounds {
		if g.round() < 1e-10 {
			break
		}
	}
	return g.marginals()
}

// likeliestMatching returns, for each row, the column of the edge that the
// likeliest matching as a whole takes, -1 where it takes none.
func likeliestMatching(rows [][]edge) []int {
	cols := 0
	for _, r := range rows {
		for _, e := range r {
			cols = max(cols, e.col+1)
		}
	}
	cost := make([][]float64, len(rows))
	for i, r := range rows {
		cost[i] = make([]float64, cols+len(rows))
		for j := range cost[i] {
			cost[i][j] = math.Inf(1)
		}
		for _, e := range r {
			cost[i][e.col] = -e.logW
		}
		cost[i][cols+i] = 0 // its own way out: no port
	}
	column, _ := assign(cost)
	for i, j := range column {
		if j >= cols {
			column[i] = -1
		}
	}
	return column
}

// matching holds the messages in both directions, ln, for each edge of each
// row; byCol lists the edges that meet in a column.
type matching struct {
	rows         [][]edge
	toCol, toRow [][]float64
	byCol        [][]edgeRef
}

type edgeRef struct{ row, k int }

func newMatching(rows [][]edge) *matching {
	g := &matching{rows: rows}
	cols := 0
	for _, r := range rows {
		for _, e := range r {
			cols = max(cols, e.col+1)
		}
	}
	g.byCol = make([][]edgeRef, cols)
	for i, r := range rows {
		w := make([]float64, len(r))
		for k, e := range r {
			w[k] = e.logW
			g.byCol[e.col] = append(g.byCol[e.col], edgeRef{i, k})
		}
		g.toCol, g.toRow = append(g.toCol, w), append(g.toRow, slices.Clone(w))
	}
	return g
}

// round updates all messages once and returns the largest change of a
// probability.
func (g *matching) round() float64 {
	var change float64
	for i, r := range g.rows {
		others := logOnePlusOthers(g.toRow[i])
		for k, e := range r {
			g.toCol[i][k] = e.logW - others[k]
		}
	}
	for _, refs := range g.byCol {
		in := make([]float64, len(refs))
		for n, f := range refs {
			in[n] = g.toCol[f.row][f.k]
		}
		others := logOnePlusOthers(in)
		for n, f := range refs {
			was := g.marginal(f.row, f.k)
			g.toRow[f.row][f.k] = g.rows[f.row][f.k].logW - others[n]
			change = max(change, math.Abs(was-g.marginal(f.row, f.k)))
		}
	}
	return change
}

func (g *matching) marginal(i, k int) float64 {
	return 1 / (1 + math.Exp(g.rows[i][k].logW-g.toCol[i][k]-g.toRow[i][k]))
}

func (g *matching) marginals() [][]float64 {
	out := make([][]float64, len(g.rows))
	for i, r := range g.rows {
		out[i] = make([]float64, len(r))
		for k := range r {
			out[i][k] = g.marginal(i, k)
		}
	}
	return out
}

// logOnePlusOthers returns, for each k, ln(1 + sum over j != k of exp(v[j])).
// The sums are taken from both ends, because subtracting a large term from
// the whole would leave nothing of a small one.
func logOnePlusOthers(v []float64) []float64 {
	out := make([]float64, len(v))
	acc := 0.0 // ln 1
	for k, x := range v {
		out[k] = acc
		acc = logAdd(acc, x)
	}
	acc = math.Inf(-1)
	for k := len(v) - 1; k >= 0; k-- {
		out[k] = logAdd(out[k], acc)
		acc = logAdd(acc, v[k])
	}
	return out
}

// logAdd is ln(exp a + exp b).
func logAdd(a, b float64) float64 {
	if a < b {
		a, b = b, a
	}
	if b < a-40 || math.IsInf(b, -1) { // below the last bit of a
		return a
	}
	return a + math.Log1p(math.Exp(b-a))
}
