package simulate_test

import (
	"math"
	"testing"

	"runproof/simulate"
)

// TestFadingSensor: a sensor that loses a tenth an hour counts 0.9^h of what it
// did; its sibling counts as before. Quarters of two hours at 100 particles a
// second hold 1.8e5 Poisson counts each: four standard deviations of the ratio of
// four such sums are 4 x sqrt(4/1.6e5) = 2 %.
func TestFadingSensor(t *testing.T) {
	f := fitOf(twoHeads(3))
	s := steady(100, 0.5, 2)
	s.Fading = []simulate.FadingSensor{{Run: f.Map[1].Run, PerHour: 0.1}}
	l, truth := record(t, &s, f)
	sum := func(c, from, to int) (v float64) {
		for _, x := range l.Values[c][from:to] {
			v += x
		}
		return v
	}
	n := l.Len()
	got := sum(1, n-n/4, n) / sum(2, n-n/4, n) / (sum(1, 0, n/4) / sum(2, 0, n/4))
	if want := math.Pow(0.9, 1.5); math.Abs(got/want-1) > 0.02 {
		t.Errorf("an hour and a half later it counts %.3f of what it did, want %.3f", got, want)
	}
	if truth.Runs[1].Fading != 0.1 || truth.Runs[0].Fading != 0 {
		t.Error("the truth does not tell which sensor fades")
	}
}
