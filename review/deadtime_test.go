package review_test

import (
	"math"
	"testing"

	"runproof/review"
	"runproof/simulate"
)

// steppedDay is a day on which the rate steps every 200 s between 0.7 and 1.3
// of the usual one, at 150 particles a second and run.
func steppedDay(seed uint64, hours, deadMS float64, faults ...simulate.Fault) *simulate.Scenario {
	s := scenario(threeHeads(), hours, faults...)
	s.Seed, s.Law.DeadTimeMS = seed, deadMS
	s.Flow[0].PerRunS = 150
	for k := range int(hours * 18) {
		s.Rates = append(s.Rates, simulate.RateStep{Product: "seed", AtS: float64(200*k + 100), Factor: []float64{0.7, 1.3, 1, 0.85, 1.15}[k*7%5]})
	}
	return s
}

// TestDeadTimeIsFound: the interval has 95 %; of n days at least the 2.5 %
// quantile of Binomial(n, 0.95) cover the truth, and without dead time none is
// taken for real.
func TestDeadTimeIsFound(t *testing.T) {
	f := fitOf(threeHeads())
	const days = 6
	for _, trueMS := range []float64{0, 1.5} {
		covered, used := 0, 0
		for seed := range uint64(days) {
			res := reviewed(t, f, recorded(t, steppedDay(700+seed, 3, trueMS), f), 4096)
			d := res.Summary.DeadTimes[0]
			if d.LowMS <= trueMS && trueMS <= d.HighMS {
				covered++
			}
			if d.Used {
				used++
			}
		}
		if least := days - binomialQuantile(days, 0.05, 0.975); covered < least {
			t.Errorf("%g ms: covered on %d of %d days, at least %d are to be expected", trueMS, covered, days, least)
		}
		if trueMS == 0 && used > 0 || trueMS > 0 && used == 0 {
			t.Errorf("%g ms: used on %d of %d days", trueMS, used, days)
		}
	}
}

// TestLossIsFreedFromDeadTime: a hose closed to half among six keeps 0.5/5.5 of
// the head's flow, of which it had a sixth: it lost 45.5 %. At 150/s and 3 ms a
// counter shows 59 % of the siblings' (0.5 x 1.45/1.225) where 50 % flow, which
// would be taken for a loss of 36 %. Shares wander by 2 % with a memory of 150 s:
// over 600 s of event and the adapted share before it that leaves about 1.7 % of
// a day's loss, a third as much again on the mean of three days, threefold 3 %.
func TestLossIsFreedFromDeadTime(t *testing.T) {
	f, sum := fitOf(threeHeads()), 0.0
	const days = 3
	for seed := range uint64(days) {
		s := steppedDay(810+seed, 4, 3, simulate.Fault{Kind: review.Restricted, Run: "B-3", AtS: 5000, ForS: 600, FallS: 1, Left: 0.5})
		res := reviewed(t, f, recorded(t, s, f), 4096)
		if len(res.Events) != 1 || !res.Summary.DeadTimes[0].Used {
			t.Fatalf("%+v %+v", res.Events, res.Summary.DeadTimes)
		}
		t.Log(res.Events[0].Lost, res.Events[0].Evidence.SeenCount/res.Events[0].Evidence.ExpectedCount, res.Summary.DeadTimes)
		sum += res.Events[0].Lost
	}
	if lost := sum / days; math.Abs(lost-0.4545) > 0.03 {
		t.Errorf("lost %.3f, was 0.4545", lost)
	}
}
