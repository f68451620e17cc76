package allocate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Optima of an independent integer-programming solver: HiGHS 1.15 (npm package
// highs 1.15.3), see testdata/optimal.json.
func TestAgainstIntegerProgramme(t *testing.T) {
	unproved := 0
	for _, c := range solvedProblems(t) {
		p := c.problem()
		s := Solve(p, Effort)
		judge(t, p, s)
		if len(s.Nodes) != c.Nodes || s.Pairs != c.Pairs || math.Abs(s.DistM-c.DistM) > 1e-4 {
			t.Errorf("%s: %d nodes, %d pairs, %.5f m; the integer programme has %d, %d, %.5f", c.Name, len(s.Nodes), s.Pairs, s.DistM, c.Nodes, c.Pairs, c.DistM)
		}
		if !s.Proof.Optimal {
			unproved++
			t.Logf("%s: the optimum, but not proved: %+v", c.Name, s.Proof)
		}
	}
	if unproved > 1 {
		t.Errorf("%d problems are not proved at the optimum", unproved)
	}
}

// twin is the slow, obvious solver: the best way to serve so many runs of each
// head is one node and the best way to serve the rest.
func twin(p Problem) rank {
	known := map[string]rank{key(make([]int, len(p.Demand))): {}}
	var solve func(left []int) rank
	solve = func(left []int) rank {
		k := key(left)
		if r, ok := known[k]; ok {
			return r
		}
		best := rank{nodes: math.MaxInt}
		for at := range left {
			eachLoad(p, at, left, func(load []int) {
				rest := slices.Clone(left)
				pairs, m := 0, 0.0
				for g, n := range load {
					rest[g] -= n
					if n > 0 {
						pairs++
						m += float64(n) * p.DistM[at][g]
					}
				}
				r := solve(rest)
				r.nodes, r.pairs, r.m = r.nodes+1, r.pairs+pairs, r.m+m
				if r.nodes < best.nodes || r.nodes == best.nodes && (r.pairs < best.pairs || r.pairs == best.pairs && r.m < best.m) {
					best = r
				}
			})
		}
		known[k] = best
		return best
	}
	return solve(p.Demand)
}

func key(v []int) string { return fmt.Sprint(v) }

// eachLoad calls do with every load of a node at the mount.
func eachLoad(p Problem, at int, left []int, do func([]int)) {
	load := make([]int, len(left))
	var fill func(g, room int)
	fill = func(g, room int) {
		if g == len(left) {
			if room < p.Cap {
				do(load)
			}
			return
		}
		most := min(left[g], room)
		if math.IsInf(p.DistM[at][g], 1) {
			most = 0
		}
		for load[g] = 0; load[g] <= most; load[g]++ {
			fill(g+1, room-load[g])
		}
		load[g] = 0
	}
	fill(0, p.Cap)
}

func TestAgainstTwin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var heads []place
		total := 1
		for range rapid.IntRange(1, 4).Draw(t, "heads") {
			n := rapid.IntRange(0, 8).Draw(t, "runs")
			if total *= n + 1; total > 400 { // states of the twin
				break
			}
			heads = append(heads, place{-float64(rapid.IntRange(0, 2).Draw(t, "rank")), float64(rapid.IntRange(0, 12).Draw(t, "right")) / 2, 1.5, float64(n)})
		}
		p := problemOf(heads, rapid.IntRange(1, 6).Draw(t, "cap"), float64(rapid.IntRange(0, 8).Draw(t, "reach"))/2)
		if rapid.Bool().Draw(t, "without places") {
			p.At = nil
		}
		s := Solve(p, Effort)
		want := twin(p)
		if len(s.Nodes) != want.nodes || s.Pairs != want.pairs || math.Abs(s.DistM-want.m) > 1e-6 || !s.Proof.Optimal {
			t.Fatalf("got %d, %d, %g (%+v), the twin has %+v", len(s.Nodes), s.Pairs, s.DistM, s.Proof, want)
		}
	})
}

// Whatever the problem, and however little work is allowed, the answer serves
// all runs and the bounds are below it.
func TestAnyProblemAnyEffort(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		heads := rapid.IntRange(1, 24).Draw(t, "heads")
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		p := problemOf(grid(heads, rapid.IntRange(1, 3).Draw(t, "ranks"), 12, heads*rapid.IntRange(1, 9).Draw(t, "runs"), rng),
			rapid.IntRange(1, 24).Draw(t, "cap"), rapid.Float64Range(0, 4).Draw(t, "reach"))
		s := Solve(p, rapid.Int64Range(0, 3_000_000).Draw(t, "effort"))
		judge(t, p, s)
	})
}

// The numbering of the heads and the side from which the drill is seen do not
// matter, and with longer tubes no more nodes are needed.
func TestLaws(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 1))
	for range 12 {
		heads := grid(4+rng.IntN(16), 1+rng.IntN(2), 14, 20+rng.IntN(80), rng)
		capacity, reach := 8+4*rng.IntN(3), 0.5+2*rng.Float64()
		s := Solve(problemOf(heads, capacity, reach), Effort)
		other := slices.Clone(heads)
		rng.Shuffle(len(other), func(i, j int) { other[i], other[j] = other[j], other[i] })
		for i := range other {
			other[i][1] = -other[i][1]
		}
		o := Solve(problemOf(other, capacity, reach), Effort)
		if !s.Proof.Optimal || !o.Proof.Optimal || len(s.Nodes) != len(o.Nodes) || s.Pairs != o.Pairs || math.Abs(s.DistM-o.DistM) > 1e-4 {
			t.Errorf("%d, %d, %g (%+v); mirrored and renumbered %d, %d, %g (%+v)", len(s.Nodes), s.Pairs, s.DistM, s.Proof, len(o.Nodes), o.Pairs, o.DistM, o.Proof)
		}
		if l := Solve(problemOf(heads, capacity, reach+1), Effort); len(l.Nodes) > len(s.Nodes) {
			t.Errorf("%d nodes, and %d with longer tubes", len(s.Nodes), len(l.Nodes))
		}
	}
}

func TestSolveIsTheSameEachTime(t *testing.T) {
	p := problemOf(grid(40, 2, 18, 220, rand.New(rand.NewPCG(3, 1))), 12, 2.2)
	a, b := Solve(p, Effort), Solve(p, Effort)
	if fmt.Sprint(a) != fmt.Sprint(b) {
		t.Error("two answers to one problem")
	}
}

func TestNothingToSense(t *testing.T) {
	s := Solve(problemOf([]place{{0, 0, 1, 0}}, 12, 2), Effort)
	if len(s.Nodes) != 0 || !s.Proof.Optimal {
		t.Errorf("%+v", s)
	}
}

// The lead case of the contract's limits: 60 heads and 400 runs, three widths
// of reach, one node kind of 12 ports and one of 16.
func BenchmarkAllocate(b *testing.B) {
	for _, c := range []struct {
		name   string
		ports  int
		reachM float64
	}{{"60x400/12ports/near", 12, 1.6}, {"60x400/12ports", 12, 2.6}, {"60x400/16ports/far", 16, 3.6}} {
		b.Run(c.name, func(b *testing.B) {
			p := problemOf(grid(60, 2, 18, 400, rand.New(rand.NewPCG(60, 400))), c.ports, c.reachM)
			var s Solution
			for b.Loop() {
				s = Solve(p, Effort)
			}
			b.ReportMetric(float64(len(s.Nodes)), "nodes")
			b.ReportMetric(float64(s.Pairs), "pairs")
			gap := 0.0
			if !s.Proof.Optimal {
				gap = 1
			}
			b.ReportMetric(gap, "unproved")
		})
	}
}
