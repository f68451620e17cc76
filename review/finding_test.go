package review_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"runproof/flowlog"
	"runproof/review"
)

// thinned is the log with one run's particles kept with probability keep(hours),
// hours being those of the log: what a sensor sees that grows blind. Thinning a
// count is exact for any law (each particle is seen or not).
func thinned(l *flowlog.Log, column string, seed uint64, keep func(hours float64) float64) *flowlog.Log {
	out := &flowlog.Log{Schema: l.Schema, Batch: flowlog.Batch{TimeNS: l.TimeNS, Values: append([][]float64(nil), l.Values...)}}
	rng := rand.New(rand.NewPCG(seed, 77))
	for c, col := range l.Columns {
		if col.Name != column {
			continue
		}
		out.Values[c] = append([]float64(nil), l.Values[c]...)
		for k, v := range out.Values[c] {
			p := keep(float64(l.TimeNS[k]-l.TimeNS[0]) / 3600e9)
			seen := 0.0
			for range int(max(0, v)) {
				if rng.Float64() < p {
					seen++
				}
			}
			if v == v {
				out.Values[c][k] = seen
			}
		}
	}
	return out
}

// TestFading: over days of six hours in which shares wander as the scenario's
// default says, a sensor that loses 3 % an hour is found and no sound run is.
// Of k days whose interval has 95 %, fewer than the 2.5 % quantile of
// Binomial(k, 0.95) may cover the truth only once in forty tries; each day may
// tell a sound drill's run with findingP.
func TestFading(t *testing.T) {
	f := fitOf(threeHeads())
	const days, perHour = 8, 0.03
	covered, false1 := 0, 0
	for seed := range uint64(days) {
		s := scenario(threeHeads(), 6)
		s.Seed = 400 + seed
		l := recorded(t, s, f)
		res := reviewed(t, f, thinned(l, "N2:3", seed, func(h float64) float64 { return math.Pow(1-perHour, h) }), 4096)
		found := false
		for _, fi := range res.Findings {
			if fi.Run != "B-3" {
				false1++
				t.Logf("day %d: %s", seed, fi.Sentence)
				continue
			}
			found = fi.Course == review.Fading
			// on the clock, as the log has it: in work is a part of that
			hours := float64(l.TimeNS[len(l.TimeNS)-1]-l.TimeNS[0]) / 3600e9
			truth := math.Pow(1-perHour, hours*5.7/6) - 1 // the outer looks' middles lie about 9 min from the ends
			if fi.Low <= truth && truth <= fi.High {
				covered++
			}
			if fi.MattersH == nil || fi.Matters == "" || !strings.Contains(fi.Sentence, "B-3") {
				t.Errorf("day %d: %+v", seed, fi)
			}
		}
		if !found {
			t.Errorf("day %d: a sensor that lost %.0f %% in 6 h is not told: %+v", seed, 100*(1-math.Pow(1-perHour, 6)), res.Findings)
		}
		if len(res.Events) > 0 {
			t.Errorf("day %d: %s", seed, res.Events[0].Sentence)
		}
	}
	if least := days - binomialQuantile(days, 0.05, 0.975); covered < least {
		t.Errorf("the interval covers the truth on %d of %d days, at least %d are to be expected", covered, days, least)
	}
	if most := poissonQuantile(days*0.01, 0.995); false1 > most {
		t.Errorf("%d findings on sound runs in %d days", false1, days)
	}
}

// TestShifted: a share that steps by 10 % at a moment is told with the moment,
// and is no fading.
func TestShifted(t *testing.T) {
	f := fitOf(threeHeads())
	for seed := range uint64(4) {
		s := scenario(threeHeads(), 5)
		s.Seed = 500 + seed
		l := recorded(t, s, f)
		res := reviewed(t, f, thinned(l, "N1:4", seed, func(h float64) float64 {
			if h < 2.5 {
				return 1
			}
			return 0.9
		}), 4096)
		if len(res.Findings) != 1 || res.Findings[0].Run != "A-4" || res.Findings[0].Course != review.Shifted {
			t.Fatalf("seed %d: %+v", seed, res.Findings)
		}
		fi := res.Findings[0]
		from, err := time.Parse(time.RFC3339Nano, fi.From)
		if err != nil {
			t.Fatal(err)
		}
		// looks last 300 s of settled work, about 6 min on the clock
		if off := math.Abs(float64(from.UnixNano()-l.TimeNS[0])/3600e9 - 2.5); off > 0.15 {
			t.Errorf("seed %d: dated %.2f h off", seed, off)
		}
		if fi.Low > -0.1 || fi.High < -0.1 {
			t.Errorf("seed %d: interval %.3f to %.3f", seed, fi.Low, fi.High)
		}
	}
}

// TestNoFindings: a sound drill has none, however its shares wander, beyond the
// chance of findingP a day.
func TestNoFindings(t *testing.T) {
	f := fitOf(threeHeads())
	n, days := 0, 8
	for seed := range uint64(days) {
		s := scenario(threeHeads(), 4)
		s.Seed = 600 + seed
		for i := range s.Flow {
			s.Flow[i].PerRunS = 60
		}
		s.Law.DriftSD = 0.01 + 0.03*float64(seed)/float64(days)
		s.Law.DriftS = 60 + 20*float64(seed)
		n += len(reviewed(t, f, recorded(t, s, f), 4096).Findings)
	}
	if most := poissonQuantile(float64(days)*0.01, 0.995); n > most {
		t.Errorf("%d findings in %d sound days", n, days)
	}
}
