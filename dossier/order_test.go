package dossier

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"runproof/drill"
)

// A list sorted as text must run from left to right.
func TestNodeNamesSortFromLeftToRight(t *testing.T) {
	for _, c := range drill.Cases() {
		f := fixture(c.Drill)
		var names []string
		last := math.Inf(-1)
		for _, n := range nameNodes(f) {
			names = append(names, n.Name)
			h, _ := f.Drill.Head(n.Head)
			if h.At.Right < last {
				t.Errorf("%s: node %s at %v m comes after one at %v m", c.Name, n.Name, h.At.Right, last)
			}
			last = h.At.Right
		}
		if !slices.IsSorted(names) || len(slices.Compact(slices.Clone(names))) != len(names) {
			t.Errorf("%s: names do not sort, or are not unique: %q", c.Name, names)
		}
	}
}

func TestStretches(t *testing.T) {
	for _, c := range []struct {
		in   []int
		want [][2]int
	}{
		{nil, nil},
		{[]int{4}, [][2]int{{4, 4}}},
		{[]int{1, 2, 3, 7, 9, 10}, [][2]int{{1, 3}, {7, 7}, {9, 10}}},
	} {
		if got := drill.RowList(c.in).Stretches(); !slices.Equal(got, c.want) {
			t.Errorf("%v: %v, want %v", c.in, got, c.want)
		}
	}
}

func TestSectionsThatShareRowsGetLanesOfTheirOwn(t *testing.T) {
	d := drill.Cases()[3].Drill // seed A to D, fert E to H over the same rows
	d.Sections = []drill.Section{{ID: "S1", Heads: []drill.HeadID{"A", "E"}}, {ID: "S2", Heads: []drill.HeadID{"B"}}, {ID: "F2", Heads: []drill.HeadID{"F"}}}
	lanes := sectionLanes(d)
	if len(lanes) != 2 || len(lanes[0]) != 2 || lanes[1][0].id != "F2" {
		t.Errorf("lanes %+v", lanes)
	}
}

// spread is a least-squares problem with order constraints: its answer must be
// feasible, and no feasible answer near it may be better (200 random ones).
func TestSpreadIsTheLeastMove(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		want, width := make([]float64, n), make([]float64, n)
		for i := range want {
			want[i], width[i] = rapid.Float64Range(0, 100).Draw(t, "want"), rapid.Float64Range(1, 12).Draw(t, "width")
		}
		slices.Sort(want)
		got := spread(want, width, -1e6, 1e6) // wide limits: the pure problem
		if !apart(got, width, 1e-9) {
			t.Fatalf("boxes overlap: %v", got)
		}
		rng := rand.New(rand.NewPCG(1, uint64(n)))
		best := cost(got, want)
		for range 200 {
			try := slices.Clone(got)
			for i := range try {
				try[i] += rng.NormFloat64() * 0.3
			}
			if apart(try, width, 0) && cost(try, want) < best-1e-9 {
				t.Fatalf("%v costs %v, %v only %v", got, best, try, cost(try, want))
			}
		}
	})
}

func apart(x, width []float64, slack float64) bool {
	for i := 1; i < len(x); i++ {
		if x[i]-x[i-1] < (width[i]+width[i-1])/2-slack {
			return false
		}
	}
	return true
}

func cost(x, want []float64) float64 {
	sum := 0.0
	for i := range x {
		sum += (x[i] - want[i]) * (x[i] - want[i])
	}
	return sum
}

func TestSpreadKeepsWithinItsLimits(t *testing.T) {
	got := spread([]float64{1, 1, 1}, []float64{10, 10, 10}, 0, 30)
	if !slices.Equal(got, []float64{5, 15, 25}) { // three boxes fill the line
		t.Errorf("%v", got)
	}
	if spread(nil, nil, 0, 10) != nil {
		t.Error("no boxes have a place")
	}
}
