package simulate_test

import (
	"math"
	"testing"

	"runproof/fit"
	"runproof/flowlog"
	"runproof/review"
	"runproof/simulate"
)

// TestLiftedDrillShakes: lifted, a sensor counts both noises and nothing else;
// in work only the floor. Counts are Poisson; four standard deviations of their
// sum cover 99.99 %.
func TestLiftedDrillShakes(t *testing.T) {
	s := steady(40, 0.5, 1)
	s.Law.NoisePerS, s.Law.NoiseLiftedPerS = 2, 9
	s.Field.PassM, s.Field.TurnS = 60, 60
	s.Faults = []simulate.Fault{{Kind: review.Blocked, Run: "A-1", AtS: 0, ForS: 3600}}
	l, _ := record(t, &s, fitOf(twoHeads(2)))
	var sum, seconds [2]float64
	for i, w := range l.Column(flowlog.Work) {
		sum[int(w)] += l.Values[0][i]
		seconds[int(w)] += 0.5
	}
	for w, perS := range []float64{11, 2} {
		want := perS * seconds[w]
		if seconds[w] < 600 || math.Abs(sum[w]-want) > 4*math.Sqrt(want) {
			t.Errorf("work %d: %v counts in %v s, want %v", w, sum[w], seconds[w], want)
		}
	}
}

// TestHeadsLag: a head with its own lags starts and stops at its own time.
func TestHeadsLag(t *testing.T) {
	s := steady(400, 0.1, 0.1)
	s.Law.StartLagS, s.Law.StopLagS = 1, 1
	s.Lags = []simulate.HeadLag{{Head: "B", StartS: 4, StopS: 3}}
	s.Field.PassM, s.Field.TurnS = 100, 30
	l, _ := record(t, &s, fitOf(twoHeads(2)))
	work := l.Column(flowlog.Work)
	// lag of the first line that counts like flow or no flow after the switch
	lag := func(c int, to float64) float64 {
		for i := 300; i < l.Len(); i++ {
			if work[i] != to || work[i-1] == to {
				continue
			}
			for k := i; k < l.Len(); k++ {
				if flows := l.Values[c][k] > 0; flows == (to == 1) {
					return float64(k-i) * 0.1
				}
			}
		}
		return math.NaN()
	}
	for _, tt := range []struct {
		what     string
		c        int
		to, from float64
	}{{"A starts", 0, 1, 1}, {"B starts", 2, 1, 4}, {"A stops", 0, 0, 1}, {"B stops", 2, 0, 3}} {
		// the ramp of 0.5 s is within
		if got := lag(tt.c, tt.to); !(got >= tt.from-0.11 && got <= tt.from+0.61) {
			t.Errorf("%s after %.1f s, want %.1f to %.1f", tt.what, got, tt.from, tt.from+0.5)
		}
	}
}

// TestRateReachesHeadAfterItsLag: a doubled rate shows at each head its own time
// after the command.
func TestRateReachesHeadAfterItsLag(t *testing.T) {
	s := steady(1000, 0.1, 0.05)
	s.Law.StartLagS, s.Field.SpeedSD = 1, 0
	s.Lags = []simulate.HeadLag{{Head: "B", StartS: 4, StopS: 4}}
	s.Rates = []simulate.RateStep{{Product: "seed", AtS: 100, Factor: 2}}
	l, _ := record(t, &s, fitOf(twoHeads(2)))
	for c, want := range map[int]float64{0: 101, 2: 104} {
		at := 0.
		for i := 500; i < l.Len() && at == 0; i++ {
			if l.Values[c][i] > 150 { // 5 sd above 100, 3.5 below 200
				at = float64(i+1) * 0.1
			}
		}
		if math.Abs(at-want) > 0.21 {
			t.Errorf("column %d doubles at %.1f s, want %.1f", c, at, want)
		}
	}
}

// TestRateReachesHeadAfterReckonedTransport: where the fit reckons how long
// product is under way, a doubled rate shows after that, not after the start lag;
// a reckoning that is beyond the start lag is held to it.
func TestRateReachesHeadAfterReckonedTransport(t *testing.T) {
	s := steady(1000, 0.1, 0.05)
	s.Law.StartLagS, s.Field.SpeedSD = 3, 0
	s.Rates = []simulate.RateStep{{Product: "seed", AtS: 100, Factor: 2}}
	f := fitOf(twoHeads(2))
	f.Air.Heads = []fit.HeadAir{
		{Head: "A", ToHead: fit.TransportLag{Seconds: fit.Span{Low: 1.25, Likely: 1.25, High: 1.25}}},
		{Head: "B", ToHead: fit.TransportLag{Seconds: fit.Span{Low: 9, Likely: 9, High: 9}}},
	}
	l, _ := record(t, &s, f)
	for c, want := range map[int]float64{0: 101.3, 2: 103} {
		at := 0.
		for i := 500; i < l.Len() && at == 0; i++ {
			if l.Values[c][i] > 150 { // 5 sd above 100, 3.5 below 200
				at = float64(i+1) * 0.1
			}
		}
		if math.Abs(at-want) > 0.21 {
			t.Errorf("column %d doubles at %.1f s, want %.1f", c, at, want)
		}
	}
}

// TestNodesRestart: every port of a node is silent while it restarts, as often
// as the scenario says, and the truth tells when.
func TestNodesRestart(t *testing.T) {
	s := steady(40, 0.5, 4)
	s.Recorder.RestartsPerH, s.Recorder.RestartS = 10, 6
	l, truth := record(t, &s, fitOf(twoHeads(24)))
	silent := 0
	for i := range l.Len() {
		a, b := math.IsNaN(l.Values[0][i]), math.IsNaN(l.Values[11][i]) // both of node Aa
		if a != b {
			t.Fatalf("line %d: one port of a node reports, another does not", i)
		}
		if a {
			silent++
		}
	}
	want := 4. * 4 * 10 // nodes x hours x restarts, a Poisson number but for 6 s in 360
	if got := float64(len(truth.Restarts)); math.Abs(got-want) > 4*math.Sqrt(want)+0.02*want {
		t.Errorf("%v restarts, want about %v", got, want)
	}
	if silent == 0 {
		t.Error("no line without a report")
	}
	told := 0.0
	for _, r := range truth.Restarts {
		if r.Node == "Aa" {
			from, _, _ := flowlog.ParseTime(r.Start)
			to, _, _ := flowlog.ParseTime(r.End)
			told += float64(to-from) / 1e9
		}
	}
	// a restart ends between two lines, and may outlast the recording
	if math.Abs(told-0.5*float64(silent)) > 0.5*40+9 {
		t.Errorf("silent for %.1f s, but the truth says %.1f s", 0.5*float64(silent), told)
	}
}
