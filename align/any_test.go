package align_test

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"runproof/align"
	"runproof/flowlog"
	"runproof/input"
)

// TestAnyLogs: whatever two logs hold, the answer is a fault or an offset with
// its interval about it, and nothing is sure of noise.
func TestAnyLogs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		flow := anyLog(t, "flow", []string{"1:1", "1:2", "speed", "work", "lat", "lon"})
		pos := anyLog(t, "pos", []string{"lat", "lon", "speed", "course", "work"})
		o, err := align.Estimate(flow.NewReader(50), pos.NewReader(50), align.Options{SearchS: rapid.Float64Range(0.1, 3000).Draw(t, "search")})
		var f input.Fault
		if err != nil {
			if !errors.As(err, &f) || f.Remedy == "" {
				t.Fatal(err)
			}
			return
		}
		if !(o.LowS <= o.S && o.S <= o.HighS) || math.IsInf(o.HighS-o.LowS, 0) || o.Verdict == align.Sure {
			t.Fatalf("%v (%v to %v), %v", o.S, o.LowS, o.HighS, o.Verdict)
		}
		for _, p := range o.Peaks {
			if !(p.Nats > 0) || math.IsInf(p.Nats, 0) {
				t.Fatalf("peak %+v", p)
			}
		}
	})
}

func anyLog(t *rapid.T, name string, columns []string) *flowlog.Log {
	var names []string
	for _, c := range columns {
		if rapid.Bool().Draw(t, name+" has "+c) {
			names = append(names, c)
		}
	}
	l := logOf(rapid.SampledFrom([]flowlog.Clock{flowlog.UTC, flowlog.Seconds}).Draw(t, "clock"), names)
	step := rapid.SampledFrom([]int64{1, 1e8, 1e9}).Draw(t, "step")
	at := rapid.Int64Range(0, 1000e9).Draw(t, "start")
	flat := rapid.Bool().Draw(t, "flat")
	for i := range rapid.IntRange(0, 400).Draw(t, name) {
		at += step * rapid.SampledFrom([]int64{1, 1, 1, 1, 7, 100}).Draw(t, "gap")
		l.TimeNS = append(l.TimeNS, at)
		for c, col := range l.Columns {
			v := rapid.SampledFrom([]float64{0, 1, 1, none}).Draw(t, col.Name)
			if flat {
				v = 1
			} else if col.Kind != flowlog.Work {
				v *= 1 + float64(i%50)
			}
			l.Values[c] = append(l.Values[c], v)
		}
	}
	return l
}

// TestAYearBetweenSamples: grids are bounded, whatever times a log holds.
func TestAYearBetweenSamples(t *testing.T) {
	flow, pos := logOf(flowlog.UTC, []string{"1:1", "speed"}), logOf(flowlog.UTC, []string{"lat", "lon", "speed"})
	for i := range 40 {
		for _, l := range []*flowlog.Log{flow, pos} {
			l.TimeNS = append(l.TimeNS, int64(i)*1e9+int64(i/20)*365*86400e9)
			for c := range l.Values {
				l.Values[c] = append(l.Values[c], float64(1+i%7))
			}
		}
	}
	o, err := align.Estimate(flow.NewReader(50), pos.NewReader(50), align.Options{})
	if err != nil || o.Verdict == align.Sure {
		t.Error(o, err)
	}
}
