package review

import (
	"math"
	"testing"
)

// TestLogRatio: siblings 60 -> 66 while the reference goes 100 -> 100 is a rise
// of 10 %; with the reference up by as much it is none.
func TestLogRatio(t *testing.T) {
	for _, c := range []struct {
		name          string
		before, after side
		want          float64
		ok            bool
	}{
		{"rise", side{60, 100, 10, nil}, side{66, 100, 10, nil}, math.Log(1.1), true},
		{"all of it rose", side{60, 100, 10, nil}, side{66, 110, 10, nil}, 0, true},
		{"twice as long, same rates", side{60, 100, 10, nil}, side{132, 200, 20, nil}, math.Log(1.1), true},
		{"too short", side{60, 100, 2, nil}, side{66, 100, 10, nil}, 0, false},
		{"nothing before", side{0, 100, 10, nil}, side{66, 100, 10, nil}, 0, false},
	} {
		got, ok := (&step{before: c.before, after: c.after}).logRatio()
		if ok != c.ok || math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%s: %g %v, want %g", c.name, got, ok, c.want)
		}
	}
}

// weighed is the weighing of a run of a head of n that shows left of what its
// risen siblings say, with siblings that rose by the factor.
func weighed(n int, shows, rise float64) weighing {
	in := oneHead(n)
	d := newDetector(in, learn(in, nil, nil))
	s := &spell{run: 0, x: 1000 * shows, e: 1000}
	s.fall = &step{before: side{1000, 1000, sideWindowS, nil}, after: side{1000 * rise, 1000, sideWindowS, nil}, ref: againstHeads}
	return d.hoseOdds(s)
}

// TestHoseOdds: a blocked hose of n sends its flow to the n-1 others, which
// rise to n/(n-1); a dead sensor moves nothing.
func TestHoseOdds(t *testing.T) {
	for _, n := range []int{3, 6, 8} {
		full := float64(n) / float64(n-1)
		w := weighed(n, 0, full)
		if math.Abs(w.expected-math.Log(full)) > 1e-12 {
			t.Errorf("%d runs: expects ln %.4f, want ln %.4f", n, math.Exp(w.expected), full)
		}
		// drift of 3 % is the prior; the rise is ln full, so odds are +- (ln full / 0.03)^2 / 2,
		// held within 15; a floor of nothing at all takes up to 4 from either
		clear := min(15, math.Pow(math.Log(full)/0.03, 2)/2)
		hose, sensor := w.odds, weighed(n, 0, 1).odds
		if math.Abs(hose-sensor-2*clear) > 1e-9 {
			t.Errorf("%d runs: odds %.2f for a rise, %.2f for none; want %.2f between them", n, hose, sensor, 2*clear)
		}
	}
	if w := weighed(6, 0.05, 1.19); w.odds < 5 {
		t.Errorf("a hose with a trickle and a rise of 19 %%: odds %.1f", w.odds)
	}
	if w := weighed(1, 0, 1.2); w.known {
		t.Error("a run without siblings has no rise to judge")
	}
}

// TestLeft: what a run keeps, freed from its siblings' rise, by conservation: a
// head of n equal runs, one of which is narrowed to an opening o, shares its
// flow as o : 1 : ... : 1.
func TestLeft(t *testing.T) {
	for _, n := range []int{2, 5, 12} {
		in := oneHead(n)
		d := newDetector(in, learn(in, nil, nil))
		for _, open := range []float64{0, 0.3, 0.7, 1} {
			each := float64(n) / (float64(n-1) + open)
			s := &spell{run: 0, x: open * each, e: each}
			if got, want := d.left(s), open*each; math.Abs(got-want) > 1e-12 {
				t.Errorf("%d runs, opening %.1f: %.4f left, want %.4f", n, open, got, want)
			}
		}
	}
}

// TestTwoFellAtOnce: of eight runs two fall together, one to nothing and one to a
// tenth or a third. A hose that loses all sends an eighth to the others, which rise
// by 8/7 = 14.3 %; with both hoses plugged by 8/6, and with neither not at all. The
// rise is of both, and what is left of each tells whose it was.
func TestTwoFellAtOnce(t *testing.T) {
	for _, c := range []struct {
		name              string
		left, other, rise float64
		stuck             bool // the other repeats one reading
		hose              bool
	}{
		{"dead sensor beside a plugged hose", 0, 0.07, 8.0 / (8 - 0.93), false, false},
		{"dead sensor beside a half open hose", 0, 0.35, 8.0 / (8 - 0.65), false, false},
		{"half open hose beside a dead sensor", 0.35, 0, 8.0 / (8 - 0.65), false, true},
		{"two plugged hoses", 0.05, 0.06, 8.0 / (8 - 1.89), false, true},
		{"plugged hose beside a half open one", 0.05, 0.4, 8.0 / (8 - 1.55), false, true},
		{"half open hose beside a stuck sensor", 0.35, 0.3, 8.0 / (8 - 0.65), true, true},
	} {
		in := oneHead(8)
		d := newDetector(in, learn(in, nil, nil))
		d.heads[0].drift.d2 = nil // a prior of 3 %
		lost := make([]float64, 8)
		lost[0], lost[1] = sideWindowS*(1-c.left), sideWindowS*(1-c.other)
		fell := func(run int, left float64) *spell {
			s := &spell{run: run, x: 2000 * left, e: 2000, endNS: 200e9}
			s.fall = &step{before: side{1000, 1000, sideWindowS, make([]float64, 8)}, after: side{1000 * c.rise, 1000, sideWindowS, lost}, ref: againstHeads}
			return s
		}
		s, o := fell(0, c.left/c.rise), fell(1, c.other/c.rise)
		o.repeats = c.stuck
		d.runs[1].spell = o
		if got := d.hoseOdds(s).odds; got > 0 != c.hose {
			t.Errorf("%s: ln odds %.1f for the hose", c.name, got)
		}
	}
}
