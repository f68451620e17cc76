package simulate_test

import (
	"testing"

	"runproof/review"
	"runproof/simulate"
)

// TestTruthOfLoss: what the truth says was lost is product, which neither a
// blind sensor nor a silent node takes.
func TestTruthOfLoss(t *testing.T) {
	s := steady(40, 0.5, 0.05)
	s.Faults = []simulate.Fault{
		{Kind: review.Blocked, Run: "A-1", AtS: 10, ForS: 20, Left: 0.04},
		{Kind: review.SensorLost, Run: "A-2", AtS: 10, ForS: 20},
		{Kind: review.NoData, Node: "Ba", AtS: 10, ForS: 20},
	}
	_, truth := record(t, &s, fitOf(twoHeads(3)))
	for i, want := range []float64{0.96, 0, 0} {
		if got := truth.Events[i]; got.Lost != want || got.Metres < 40 || got.Metres > 48 { // 20 s at 2.2 m/s
			t.Errorf("%v: lost %v over %v m, want %v over about 44 m", got.Kind, got.Lost, got.Metres, want)
		}
	}
}

// TestFallCutShort: a fault that ends while the flow still falls lets it come
// back from where it is: from 1 it falls to 0.75 in the 10 s of 40, and to
// no less.
func TestFallCutShort(t *testing.T) {
	s := steady(4000, 0.1, 0.02)
	s.Field.SpeedSD = 0
	s.Faults = []simulate.Fault{{Kind: review.ProductOut, Product: "seed", AtS: 20, ForS: 10, FallS: 40}}
	l, _ := record(t, &s, fitOf(twoHeads(3)))
	lowest := l.Values[0][100]
	for _, v := range l.Values[0][100:] {
		lowest = min(lowest, v)
	}
	if lowest < 300-4*17.4 || lowest > 310 { // 300 on average at the lowest, sd 17.3
		t.Errorf("lowest count %v, want about 290", lowest)
	}
}
