package walk

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
)

// reference is testdata/reference.json: values computed outside this project.
type reference struct {
	Checks []struct {
		ID       string
		Inputs   json.RawMessage
		Expected json.RawMessage
	}
}

func readReference(t *testing.T) reference {
	t.Helper()
	b, err := os.ReadFile("testdata/reference.json")
	if err != nil {
		t.Fatal(err)
	}
	var r reference
	if err := json.Unmarshal(b, &r); err != nil {
		t.Fatal(err)
	}
	return r
}

// Source: scipy 1.10.1 linear_sum_assignment, subset dynamic programming, and
// a linear programme, as collected in testdata/reference.json.
func TestAssignReference(t *testing.T) {
	n := 0
	for _, c := range readReference(t).Checks {
		if !strings.HasPrefix(c.ID, "lsa.") {
			continue
		}
		n++
		var in struct{ Matrix [][]float64 }
		var want struct {
			Min     float64
			Columns []int   `json:"one_optimum_columns"`
			Optima  float64 `json:"number_of_optima"`
		}
		json.Unmarshal(c.Inputs, &in)
		if err := json.Unmarshal(c.Expected, &want); err != nil {
			t.Logf("%s: %v", c.ID, err)
		}
		if in.Matrix == nil { // given as a formula
			in.Matrix = formula48()
		}
		column, total := assign(in.Matrix)
		if total != want.Min {
			t.Errorf("%s: total %g, want %g", c.ID, total, want.Min)
		}
		for i, j := range column {
			if want.Optima == 1 && j != want.Columns[i] {
				t.Errorf("%s: row %d gets column %d, want %d", c.ID, i, j, want.Columns[i])
			}
		}
	}
	if n != 5 {
		t.Errorf("%d matrices checked, want 5", n)
	}
}

// formula48 is the reference's 48 x 48 matrix.
func formula48() [][]float64 {
	m := make([][]float64, 48)
	for i := range m {
		m[i] = make([]float64, 48)
		for j := range m[i] {
			m[i][j] = float64((31*i*i + 59*i*j + 83*j*j + 17*i + 41*j + 5) % 997)
		}
	}
	return m
}

// everyMatching calls visit with the weight of each matching of rows to
// columns, each row taking an edge or none: the slow obvious twin.
func everyMatching(rows [][]edge, visit func(chosen []int, logW float64)) {
	chosen := make([]int, len(rows))
	used := map[int]bool{}
	var from func(i int, logW float64)
	from = func(i int, logW float64) {
		if i == len(rows) {
			visit(chosen, logW)
			return
		}
		chosen[i] = -1
		from(i+1, logW)
		for k, e := range rows[i] {
			if !used[e.col] {
				used[e.col], chosen[i] = true, k
				from(i+1, logW+e.logW)
				used[e.col] = false
			}
		}
	}
	from(0, 0)
}

// TestMatchPosterior compares with the sum over all matchings. On a forest of
// edges the messages are exact. Rows as evidence makes them, one strong edge
// and faint others, form cycles of faint edges only: the error must not reach
// the fourth digit of a confidence. (Weights near 1 on all edges give errors
// up to 0.1; no evidence looks like that.)
func TestMatchPosterior(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, c := range []struct {
		name string
		rows func() [][]edge
		tol  float64
	}{
		{"path", func() [][]edge {
			rows := make([][]edge, 4)
			for i := range rows {
				rows[i] = []edge{{i, 4 * rng.NormFloat64()}, {i + 1, 4 * rng.NormFloat64()}}
			}
			return rows
		}, 1e-9},
		{"one strong edge a row", func() [][]edge {
			at := rng.Perm(5)
			rows := make([][]edge, 4)
			for i := range rows {
				for j := range 5 {
					e := edge{j, -9 + rng.NormFloat64()}
					if at[i] == j {
						e.logW = 9 + 2*rng.NormFloat64()
					}
					rows[i] = append(rows[i], e)
				}
			}
			return rows
		}, 1e-4},
	} {
		for range 150 {
			rows := c.rows()
			want := exactPosterior(rows)
			for i, ps := range matchPosterior(rows) {
				for k, p := range ps {
					if math.Abs(p-want[i][k]) > c.tol {
						t.Fatalf("%s: row %d edge %d: %g, want %g in %v", c.name, i, k, p, want[i][k], rows)
					}
				}
			}
		}
	}
}

func exactPosterior(rows [][]edge) [][]float64 {
	out := make([][]float64, len(rows))
	for i := range rows {
		out[i] = make([]float64, len(rows[i]))
	}
	total := 0.0
	everyMatching(rows, func(chosen []int, logW float64) {
		total += math.Exp(logW)
		for i, k := range chosen {
			if k >= 0 {
				out[i][k] += math.Exp(logW)
			}
		}
	})
	for i := range out {
		for k := range out[i] {
			out[i][k] /= total
		}
	}
	return out
}

func TestLikeliestMatching(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for range 200 {
		rows := make([][]edge, 4)
		for i := range rows {
			for j := range 4 {
				if rng.Float64() < 0.7 {
					rows[i] = append(rows[i], edge{j, 3 * rng.NormFloat64()})
				}
			}
		}
		best := math.Inf(-1)
		everyMatching(rows, func(_ []int, logW float64) { best = max(best, logW) })
		got := 0.0
		for i, col := range likeliestMatching(rows) {
			for _, e := range rows[i] {
				if e.col == col {
					got += e.logW
				}
			}
		}
		if math.Abs(got-best) > 1e-9 {
			t.Fatalf("%v: %g, want %g", rows, got, best)
		}
	}
}
