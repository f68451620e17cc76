package views

import (
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

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
