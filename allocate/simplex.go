package allocate

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// linear is a linear programme in computational form,
//
//	least c x  with  A x = b,  x >= 0,
//
// kept at a basis with x >= 0 and solved by the revised primal simplex method
// with an explicit inverse of the basis (for instance Chvátal 1983, chapter
// 7). It is made for some hundred rows and some thousand short columns.
// Columns may be added between solves.
//
// The right side is disturbed a little, row by row, against stalling. Values
// are right to about 1e-7 therefore; bounds are computed from the prices and
// the true right side.
type linear struct {
	b     []float64 // disturbed
	cost  []float64 // of each column
	first []int32   // where each column's entries begin; one more than columns
	row   []int32   // of each entry
	val   []float64

	basis []int32     // column of each row's basic variable
	at    []int32     // row in which a column is basic, or -1
	inv   [][]float64 // inverse of the basis matrix
	x     []float64   // values of the basic variables
	y     []float64   // prices of the rows
	w     []float64   // the entering column in terms of the basis
	fresh int         // pivots since the inverse was made anew
	scan  int         // where the search for a column goes on

	meter *meter
}

// meter counts work, so that a search ends at the same step on every machine.
// One unit is about one multiplication.
type meter struct{ left int64 }

func (m *meter) spend(n int) { m.left -= int64(n) }
func (m *meter) empty() bool { return m.left <= 0 }

const (
	pivotTol    = 1e-7 // smallest pivot
	costTol     = 1e-8 // reduced costs above -costTol count as 0
	refactorGap = 100  // pivots between two fresh inverses
)

// disturbance of row i's right side: small, and different for every row.
func disturbance(i int) float64 {
	const golden = 0.6180339887498949
	_, frac := math.Modf(golden * float64(i+1))
	return 1e-8 * (1 + frac)
}

func newLinear(m *meter) linear { return linear{first: []int32{0}, meter: m} }

// column adds a column and returns its number.
func (l *linear) column(cost float64, row []int32, val []float64) int32 {
	l.cost = append(l.cost, cost)
	l.row = append(l.row, row...)
	l.val = append(l.val, val...)
	l.first = append(l.first, int32(len(l.row)))
	l.at = append(l.at, -1)
	return int32(len(l.cost) - 1)
}

// setBasis makes the columns basic, in the order of the rows. inv is the
// inverse of their matrix, or nil to compute it. It reports whether the basis
// is regular.
func (l *linear) setBasis(basis []int32, inv [][]float64) bool {
	l.basis = append(l.basis[:0], basis...)
	for j := range l.at {
		l.at[j] = -1
	}
	for i, j := range l.basis {
		l.at[j] = int32(i)
	}
	m := len(basis)
	l.x, l.y, l.w = make([]float64, m), make([]float64, m), make([]float64, m)
	if inv == nil {
		return l.refactor()
	}
	l.inv = inv
	l.recompute()
	return true
}

// refactor computes the inverse of the basis from its columns, by Gauss and
// Jordan's method with row pivots.
func (l *linear) refactor() bool {
	m := len(l.basis)
	l.fresh = 0
	l.meter.spend(m * m * m / 4)
	a := matrix(m)
	l.inv = matrix(m)
	for i, j := range l.basis {
		for e := l.first[j]; e < l.first[j+1]; e++ {
			a[l.row[e]][i] = l.val[e]
		}
		l.inv[i][i] = 1
	}
	for k := range m {
		p := k
		for i := k + 1; i < m; i++ {
			if math.Abs(a[i][k]) > math.Abs(a[p][k]) {
				p = i
			}
		}
		if math.Abs(a[p][k]) < 1e-11 {
			return false
		}
		a[k], a[p] = a[p], a[k]
		l.inv[k], l.inv[p] = l.inv[p], l.inv[k]
		eliminate(a, l.inv, k)
	}
	l.recompute()
	return true
}

// eliminate clears column k of a by its row k, and does the same to inv.
func eliminate(a, inv [][]float64, k int) {
	f := 1 / a[k][k]
	floats.Scale(f, a[k][k:])
	floats.Scale(f, inv[k])
	for i := range a {
		if f := a[i][k]; i != k && f != 0 {
			floats.AddScaled(a[i][k:], -f, a[k][k:])
			floats.AddScaled(inv[i], -f, inv[k])
		}
	}
}

func matrix(n int) [][]float64 {
	all := make([]float64, n*n)
	m := make([][]float64, n)
	for i := range m {
		m[i] = all[i*n : (i+1)*n : (i+1)*n]
	}
	return m
}

// recompute computes values and prices from the inverse.
func (l *linear) recompute() {
	for i := range l.y {
		l.y[i] = 0
	}
	for i, j := range l.basis {
		l.x[i] = max(0, floats.Dot(l.inv[i], l.b))
		if c := l.cost[j]; c != 0 {
			floats.AddScaled(l.y, c, l.inv[i])
		}
	}
}

// reduced is the reduced cost of a column.
func (l *linear) reduced(j int) float64 {
	d := l.cost[j]
	for e := l.first[j]; e < l.first[j+1]; e++ {
		d -= l.y[l.row[e]] * l.val[e]
	}
	return d
}

// solve goes to a basis from which no known column leads down. It reports
// false when the cost has no least value, or the meter is empty.
func (l *linear) solve() bool {
	for {
		j, d := l.choose()
		if j < 0 {
			return true
		}
		if l.meter.empty() || !l.enter(j, d) {
			return false
		}
	}
}

// choose looks for a column of negative reduced cost: the most negative of the
// next stretch of columns that has any.
func (l *linear) choose() (enter int, least float64) {
	const stretch = 256
	enter, least = -1, -costTol
	n := len(l.cost)
	for seen := 0; seen < n && enter < 0; seen += stretch {
		for range min(stretch, n) {
			if l.scan++; l.scan >= n {
				l.scan = 0
			}
			if l.at[l.scan] < 0 {
				if d := l.reduced(l.scan); d < least {
					least, enter = d, l.scan
				}
			}
		}
		l.meter.spend(20 * min(stretch, n))
	}
	return enter, least
}

// enter makes column j, of reduced cost d, basic. It reports false when it can
// grow without end.
func (l *linear) enter(j int, d float64) bool {
	leave, ratio := -1, math.Inf(1)
	rows, vals := l.row[l.first[j]:l.first[j+1]], l.val[l.first[j]:l.first[j+1]]
	for i, inv := range l.inv {
		s := 0.0
		for k, r := range rows {
			s += inv[r] * vals[k]
		}
		l.w[i] = s
		if s <= pivotTol {
			continue
		}
		if t := l.x[i] / s; t < ratio || t == ratio && s > l.w[leave] {
			leave, ratio = i, t
		}
	}
	l.meter.spend(len(l.inv) * (1 + len(rows)))
	if leave < 0 {
		return false
	}
	l.pivot(leave, j, ratio, d)
	if l.fresh >= refactorGap {
		l.refactor()
	}
	return true
}

func (l *linear) pivot(r, j int, ratio, d float64) {
	l.at[l.basis[r]], l.at[j], l.basis[r] = -1, int32(r), int32(j)
	row := l.inv[r]
	floats.Scale(1/l.w[r], row)
	touched := 0
	for i, f := range l.w {
		if i == r || math.Abs(f) < 1e-13 {
			continue
		}
		touched++
		floats.AddScaled(l.inv[i], -f, row)
		l.x[i] = max(0, l.x[i]-ratio*f)
	}
	l.x[r] = ratio
	floats.AddScaled(l.y, d, row)
	l.fresh++
	l.meter.spend(touched*len(row)/2 + 8*len(row))
}

// entry is the entry of column j in row i.
func (l *linear) entry(j int32, i int) float64 {
	for e := l.first[j]; e < l.first[j+1]; e++ {
		if int(l.row[e]) == i {
			return l.val[e]
		}
	}
	return 0
}
