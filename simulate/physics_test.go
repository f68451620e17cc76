package simulate_test

import (
	"errors"
	"io"
	"math"
	"testing"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/review"
	"runproof/simulate"
)

// fitOf gives each head of the drill nodes of 12 ports until its runs are
// served.
func fitOf(d *drill.Drill) *fit.Fit {
	f := &fit.Fit{Runproof: fit.Version, Revision: 1, Drill: *d}
	for _, h := range d.Heads {
		for o := range h.Rows {
			if o%12 == 0 {
				f.Nodes = append(f.Nodes, fit.Node{Serial: string(h.ID) + string(rune('a'+o/12)), Ports: 12, Head: h.ID})
			}
			f.Map = append(f.Map, fit.Link{Run: drill.NewRunID(h.ID, o+1), Node: f.Nodes[len(f.Nodes)-1].Serial, Port: o%12 + 1})
		}
	}
	return f
}

func twoHeads(rows int) *drill.Drill {
	d := &drill.Drill{
		Runproof: "drill/1", Name: "two heads", Rows: drill.Rows{Count: 2 * rows, SpacingM: 0.25, RanksM: []float64{0}},
		Products: []drill.Product{{ID: "seed", RateKgHa: 110, TKWG: 38}}, Work: drill.Work{SpeedMPS: 2.2},
		Sensing: drill.Sensing{Products: []drill.ProductID{"seed"}},
	}
	for h, id := range []drill.HeadID{"A", "B"} {
		head := drill.Head{ID: id, Product: "seed"}
		for r := range rows {
			head.Rows = append(head.Rows, h*rows+r+1)
		}
		d.Heads = append(d.Heads, head)
	}
	return d
}

// steady is a plain Poisson day in one endless pass: no drift, no gains.
func steady(perS, intervalS, hours float64) simulate.Scenario {
	s := simulate.Defaults()
	s.Seed, s.IntervalS, s.Hours = 5, intervalS, hours
	s.Flow = []simulate.ProductFlow{{Product: "seed", PerRunS: perS}}
	s.Law = simulate.Law{DriftS: 100, SiblingRise: 1}
	s.Field.PassM = 20000
	return s
}

func record(t *testing.T, s *simulate.Scenario, f *fit.Fit) (*flowlog.Log, *simulate.Truth) {
	t.Helper()
	r, err := simulate.New(s, f)
	if err != nil {
		t.Fatal(err)
	}
	l, err := flowlog.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return l, r.Truth()
}

// moments of the counts from a while after the start on.
func moments(x []float64) (mean, variance float64, n int) {
	x = x[20:]
	for _, v := range x {
		mean += v
	}
	mean /= float64(len(x))
	for _, v := range x {
		variance += (v - mean) * (v - mean)
	}
	return mean, variance / float64(len(x)-1), len(x)
}

// TestCountsFollowTheirLaw compares mean and variance/mean of a run's counts
// with published or derived figures. Speed wanders by 3 % (motion), which adds
// (0.03 mu)^2 to the variance; it is in the tolerance of F.
func TestCountsFollowTheirLaw(t *testing.T) {
	tests := []struct {
		source    string
		set       func(*simulate.Scenario)
		perS, dt  float64
		mean, f   float64
		meanTol   float64 // relative
		fanoExtra float64 // allowed above and below, for the speed's wander
	}{
		{"Poisson: F = 1", func(*simulate.Scenario) {}, 50, 0.2, 10, 1, 0.02, 0.02},
		{"negative binomial: F = 1 + dispersion mu", func(s *simulate.Scenario) { s.Law.Dispersion = 0.05 }, 50, 0.4, 20, 2, 0.02, 0.05},
		{"pulsing, derived: F = 1 + mu A^2 sinc^2(f dt)/2 = 2.43196674296", func(s *simulate.Scenario) { s.Law.PulseHz, s.Law.PulseSwing = 2, 0.5 }, 100, 0.2, 20, 2.43196674296, 0.02, 0.05},
		{"pulsing with whole pulses in a sample leaves F = 1", func(s *simulate.Scenario) { s.Law.PulseHz, s.Law.PulseSwing = 5, 0.5 }, 100, 0.2, 20, 1, 0.02, 0.05},
		{"dead time 1 ms at 200/s, not paralyzable (Knoll ch. 4, from memory): 166.67/s, F = 1/1.2^2", func(s *simulate.Scenario) { s.Law.DeadTimeMS = 1 }, 200, 0.2, 166.6666667 * 0.2, 0.6944444444, 0.02, 0.05},
		{"dead time 1 ms, paralyzable (Knoll ch. 4; Mueller 1973, from memory): 200 exp(-0.2)/s, F = 1 - 0.4 exp(-0.2)", func(s *simulate.Scenario) { s.Law.DeadTimeMS, s.Law.Paralyzable = 1, true }, 200, 0.2, 163.7461506 * 0.2, 0.6725076988, 0.02, 0.05},
		{"dead time 20 ms, longer than most waits: 160/4.2/s, F = 1/4.2^2", func(s *simulate.Scenario) { s.Law.DeadTimeMS = 20 }, 160, 2, 160 / 4.2 * 2, 0.0566893424, 0.02, 0.02},
		{"noise floor adds to the mean", func(s *simulate.Scenario) { s.Law.NoisePerS = 25 }, 50, 0.2, 15, 1, 0.02, 0.03},
		{"noise is Poisson beside a wavering flow, derived: F = (30 + 0.05 20^2)/30", func(s *simulate.Scenario) { s.Law.Dispersion, s.Law.NoisePerS = 0.05, 25 }, 50, 0.4, 30, 5. / 3, 0.02, 0.05},
	}
	f := fitOf(twoHeads(2))
	for _, tt := range tests {
		t.Run(tt.source, func(t *testing.T) {
			s := steady(tt.perS, tt.dt, 2)
			tt.set(&s)
			l, _ := record(t, &s, f)
			m, v, n := moments(l.Values[0])
			if math.Abs(m/tt.mean-1) > tt.meanTol {
				t.Errorf("mean %.4f, want %.4f", m, tt.mean)
			}
			// sd of a sample variance/mean is F sqrt(2/n), four of them cover 99.99 %
			tol := 4*tt.f*math.Sqrt(2/float64(n)) + tt.fanoExtra + 0.03*0.03*m*1.5
			if got := v / m; math.Abs(got-tt.f) > tol {
				t.Errorf("variance/mean %.4f, want %.4f within %.4f", got, tt.f, tol)
			}
		})
	}
}

// TestSiblingsRise: with one of n runs shut the others rise to n/(n-1), and by
// the scenario's part of that; a dead sensor raises nobody (design: the head
// divides what it is given).
func TestSiblingsRise(t *testing.T) {
	f := fitOf(twoHeads(6))
	for _, tt := range []struct {
		name string
		kind review.Kind
		rise float64
		want float64
	}{
		{"blocked, all goes to the siblings", review.Blocked, 1, 6. / 5},
		{"blocked, half of it does", review.Blocked, 0.5, 1.1},
		{"dead sensor", review.SensorLost, 1, 1},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := steady(60, 0.5, 2)
			s.Law.SiblingRise = tt.rise
			s.Faults = []simulate.Fault{{Kind: tt.kind, Run: "A-2", AtS: 3600, ForS: 3600}}
			l, _ := record(t, &s, f)
			half := l.Len() / 2
			ratio := func(c int) float64 {
				a, _, _ := moments(l.Values[c][:half])
				b, _, _ := moments(l.Values[c][half:])
				return b / a
			}
			other := ratio(7) // on head B: cancels the speed's wander
			if got := ratio(0) / other; math.Abs(got-tt.want) > 0.012 {
				t.Errorf("sibling changed by %.4f, want %.4f", got, tt.want) // sd of each mean: 1/sqrt(30*7180) = 0.2 %
			}
			if got := ratio(1); got > 0.001 {
				t.Errorf("the faulty run still counts %.4f of its flow", got)
			}
		})
	}
}

// TestHeadsDivide: what a starved head does not take goes to the other.
func TestHeadsDivide(t *testing.T) {
	s := steady(60, 0.5, 2)
	s.Faults = []simulate.Fault{{Kind: review.HeadStarved, Head: "A", Left: 0.5, AtS: 3600, ForS: 3600}}
	l, _ := record(t, &s, fitOf(twoHeads(6)))
	half := l.Len() / 2
	for c, want := range map[int]float64{0: 2. / 3, 6: 4. / 3} { // weights 0.5 and 1 of two equal heads
		a, _, _ := moments(l.Values[c][:half])
		b, _, _ := moments(l.Values[c][half:])
		if got := b / a; math.Abs(got-want) > 0.03 {
			t.Errorf("column %d went to %.3f, want %.3f", c, got, want)
		}
	}
}

// TestLags: flow starts and stops the scenario's time after the command.
func TestLags(t *testing.T) {
	s := steady(200, 0.1, 0.2)
	s.Law.StartLagS, s.Law.StopLagS = 2, 3
	s.Field.PassM = 220
	l, _ := record(t, &s, fitOf(twoHeads(2)))
	work, x := l.Column(flowlog.Work), l.Values[0]
	var start, stop float64
	for i := 300; i < l.Len()-60; i++ {
		if work[i] == 1 && work[i-1] == 0 {
			for k := i; k < i+60 && start == 0; k++ {
				if x[k] > 8 {
					start = float64(k-i) * 0.1
				}
			}
		}
		if work[i] == 0 && work[i-1] == 1 {
			for k := i; k < i+60 && stop == 0; k++ {
				if x[k] == 0 {
					stop = float64(k-i) * 0.1
				}
			}
		}
	}
	if math.Abs(start-2.2) > 0.35 || math.Abs(stop-3.45) > 0.4 {
		t.Errorf("start lag %.2f s, stop lag %.2f s; want about 2.2 and 3.5 with the half-second ramp", start, stop)
	}
}

// TestSameSeedSameLog and another seed another.
func TestSameSeedSameLog(t *testing.T) {
	f := fitOf(twoHeads(3))
	s := simulate.Defaults()
	s.Hours = 0.05
	a, _ := record(t, &s, f)
	b, _ := record(t, &s, f)
	s.Seed++
	c, _ := record(t, &s, f)
	same, differ := true, false
	for i, v := range a.Values[0] {
		same = same && v == b.Values[0][i]
		differ = differ || v != c.Values[0][i]
	}
	if !same || !differ {
		t.Errorf("same seed gives the same log: %v; another seed another: %v", same, differ)
	}
}

// TestEveryDrill records a minute and a walk of every drill of the battery.
func TestEveryDrill(t *testing.T) {
	for _, c := range drill.Cases() {
		t.Run(c.Name, func(t *testing.T) {
			f := fitOf(c.Drill)
			s := simulate.Defaults()
			s.Hours = 1. / 60
			for _, p := range c.Drill.Products {
				s.Flow = append(s.Flow, simulate.ProductFlow{Product: p.ID, PerRunS: 40})
			}
			l, truth := record(t, &s, f)
			if l.Len() != 120 || len(truth.Runs) != len(f.Map) {
				t.Errorf("%d lines, %d runs", l.Len(), len(truth.Runs))
			}
			s.Kind = simulate.Yard
			if _, truth := record(t, &s, f); truth.Runs[0].Verdict == "" {
				t.Error("a walk's truth has no verdicts")
			}
		})
	}
}

// TestShareInTruth is what tune must find again.
func TestShareInTruth(t *testing.T) {
	s := steady(80, 0.5, 1)
	s.Law.GainSD = 0.3
	_, truth := record(t, &s, fitOf(twoHeads(6)))
	sum, gains := 0.0, 0.0
	for _, r := range truth.Runs[:6] {
		sum += r.Share
		gains += r.Gain
	}
	if math.Abs(sum-1) > 1e-9 {
		t.Errorf("the head's shares sum to %v", sum)
	}
	if r := truth.Runs[2]; math.Abs(r.Share/(r.Gain/gains)-1) > 0.02 {
		t.Errorf("share %.4f, but gain says %.4f", r.Share, r.Gain/gains)
	}
}

// BenchmarkDay makes days of a drill of 120 runs: one of an hour at 0.5 s, and
// one of 12 hours at 0.1 s.
func BenchmarkDay(b *testing.B) {
	for _, bb := range []struct {
		name      string
		intervalS float64
		hours     float64
	}{{"120x7200", 0.5, 1}, {"120x432000", 0.1, 12}} {
		b.Run(bb.name, func(b *testing.B) {
			f := fitOf(twoHeads(60))
			s := simulate.Defaults()
			s.IntervalS, s.Hours = bb.intervalS, bb.hours
			samples := 0
			for b.Loop() {
				samples += countSamples(b, &s, f)
			}
			b.ReportMetric(float64(samples)/b.Elapsed().Seconds(), "samples/s")
		})
	}
}

// countSamples reads a recording to its end.
func countSamples(b *testing.B, s *simulate.Scenario, f *fit.Fit) int {
	r, err := simulate.New(s, f)
	if err != nil {
		b.Fatal(err)
	}
	var batch flowlog.Batch
	n := 0
	for {
		err := r.Read(&batch)
		if errors.Is(err, io.EOF) {
			return n
		}
		if err != nil {
			b.Fatal(err)
		}
		n += len(batch.TimeNS) * len(f.Map)
	}
}
