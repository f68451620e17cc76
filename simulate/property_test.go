package simulate_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"runproof/drill"
	"runproof/flowlog"
	"runproof/review"
	"runproof/simulate"
)

// TestAnyScenario: whatever a scenario says within its limits, the log has its
// lines in order, counts are whole numbers from 0 on or missing, and none is
// more than the dead time lets through: one and then one each TauS.
func TestAnyScenario(t *testing.T) {
	f := fitOf(twoHeads(3))
	rapid.Check(t, func(t *rapid.T) {
		s := anyScenario(t)
		r, err := simulate.New(&s, f)
		if err != nil {
			t.Fatal(err)
		}
		l, err := flowlog.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		most := math.Inf(1)
		if tau := s.Law.DeadTimeMS / 1000; tau > 0 && s.Law.NoisePerS+s.Law.NoiseLiftedPerS == 0 && len(s.Faults) == 0 && s.Recorder.LostLines == 0 {
			most = 1 + s.IntervalS/tau
		}
		for i := range l.Len() {
			if i > 0 && l.TimeNS[i] <= l.TimeNS[i-1] {
				t.Fatalf("line %d is not after the one before", i)
			}
			for c := range f.Map {
				if v := l.Values[c][i]; !math.IsNaN(v) && (v < 0 || v != math.Trunc(v) || v > most) {
					t.Fatalf("line %d, column %d: %v counts, at most %v", i, c, v, most)
				}
			}
		}
	})
}

func anyScenario(t *rapid.T) simulate.Scenario {
	s := simulate.Defaults()
	part := func(name string, most float64) float64 { return rapid.Float64Range(0, most).Draw(t, name) }
	s.Seed = rapid.Uint64().Draw(t, "seed")
	s.Kind = rapid.SampledFrom([]simulate.Kind{simulate.Day, simulate.Yard}).Draw(t, "kind")
	s.IntervalS, s.Hours = 0.1+part("interval", 2), 0.01
	s.Flow = []simulate.ProductFlow{{Product: "seed", PerRunS: 0.1 + part("flow", 800)}}
	s.Law = simulate.Law{
		Dispersion: part("dispersion", 2), PulseHz: part("pulse", 50), PulseSwing: part("swing", 1),
		DriftSD: part("drift", 0.5), DriftS: 1, GainSD: part("gain", 1), DeadTimeMS: part("dead", 20),
		Paralyzable: rapid.Bool().Draw(t, "paralyzable"), SiblingRise: part("rise", 1),
	}
	if rapid.Bool().Draw(t, "noisy") {
		s.Law.NoisePerS, s.Law.NoiseLiftedPerS = part("noise", 500), part("shaking", 500)
	}
	s.Field.PassM, s.Field.TurnS, s.Field.TurnRadiusM = 10+part("pass", 50), 1+part("turn", 60), 0.1+part("radius", 40)
	s.Field.SpeedSD, s.Field.StopsPerH, s.Field.StopS = part("wander", 0.3), part("stops", 60), part("stop", 20)
	s.Recorder = simulate.Recorder{RestartsPerH: part("restarts", 60), RestartS: 1, MissingShare: part("missing", 0.9), LostLines: part("lost", 0.5)}
	if rapid.Bool().Draw(t, "whole") {
		s.Recorder.LostLines = 0
	}
	if k := rapid.SampledFrom(review.Kinds()).Draw(t, "fault"); rapid.Bool().Draw(t, "faulty") {
		s.Faults = []simulate.Fault{{
			Kind: k, Run: "A-1", Head: "A", Product: "seed", Node: "Aa", AtS: part("at", 30), ForS: 0.1 + part("for", 20), FallS: part("fall", 40), Left: part("left", 1),
			How: rapid.SampledFrom([]simulate.SensorFault{simulate.ReadsZero, simulate.ReadsNull, simulate.Sticks, simulate.Trickles}).Draw(t, "how"),
		}}
	}
	s.Walk.SharedHoses = [][]drill.RunID{{"A-1", "A-2"}}
	return s
}
