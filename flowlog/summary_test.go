package flowlog_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"runproof/flowlog"
)

func TestIntervalsOfARegularRecorder(t *testing.T) {
	var v flowlog.Intervals
	at := int64(0)
	for i := range 1000 {
		d := int64(200_000_000)
		if i == 300 {
			d = 5_000_000_000
		}
		if i == 700 || i == 701 {
			d = 400_000_000
		}
		v.Add(at, d)
		at += d
	}
	if v.QuantileNS(0.5) != 2e8 || v.QuantileNS(0.05) != 2e8 || v.QuantileNS(1) != 5e9 {
		t.Errorf("median %d, greatest %d", v.QuantileNS(0.5), v.QuantileNS(1))
	}
	n, lost, longest := v.Gaps()
	// 5 s in steps of 0.2 s swallow 24 samples, 0.4 s swallow one each.
	if n != 3 || lost != 26 {
		t.Errorf("%d gaps, %d lost", n, lost)
	}
	want := []flowlog.Gap{{300 * 2e8, 5e9}, {699*2e8 + 5e9, 4e8}, {699*2e8 + 5e9 + 4e8, 4e8}}
	if !slices.Equal(longest, want) {
		t.Errorf("longest %v, want %v", longest, want)
	}
}

func TestIntervalsOfNothing(t *testing.T) {
	var v flowlog.Intervals
	if n, lost, longest := v.Gaps(); n != 0 || lost != 0 || longest != nil || v.QuantileNS(0.5) != 0 {
		t.Errorf("%d %d %v", n, lost, longest)
	}
}

// The slow twin sorts every interval; classes are a thousandth wide.
func TestIntervalsAgainstSorting(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	var v flowlog.Intervals
	var all []int64
	for range 20000 {
		d := int64(1e8 * math.Exp(rng.NormFloat64()))
		v.Add(0, d)
		all = append(all, d)
	}
	slices.Sort(all)
	for _, p := range []float64{0, 0.05, 0.5, 0.95, 1} {
		want := float64(all[int(float64(len(all)-1)*p)])
		if got := float64(v.QuantileNS(p)); math.Abs(got-want) > want/1000 {
			t.Errorf("quantile %g: %g, want %g", p, got, want)
		}
	}
}

func TestSummarize(t *testing.T) {
	l := &flowlog.Log{Schema: schemaOf("1:1", "work", "1:2")}
	l.Reset(3)
	for i := range 100 {
		if i >= 40 && i < 60 {
			continue // a gap of 2.1 s
		}
		l.TimeNS = append(l.TimeNS, 5e9+int64(i)*1e8)
		l.Values[0] = append(l.Values[0], 3)
		l.Values[1] = append(l.Values[1], float64(i/50))
		l.Values[2] = append(l.Values[2], math.NaN())
	}
	lines := []flowlog.Line{{Name: "1", Columns: []int{0, 2}}, {Name: "none", Columns: []int{2}}}
	// Batches of any size give the same.
	for _, size := range []int{1, 7, 1000} {
		s, err := flowlog.Summarize(l.NewReader(size), lines)
		if err != nil {
			t.Fatal(err)
		}
		if s.Samples != 80 || s.StartNS != 5e9 || s.EndNS != 5e9+99e8 {
			t.Errorf("%d samples, %d to %d", s.Samples, s.StartNS, s.EndNS)
		}
		if s.Columns[0] != (flowlog.ColumnSummary{Reported: 80, Sum: 240}) || s.Columns[1].Sum != 40 || s.Columns[2].Reported != 0 {
			t.Errorf("columns %v", s.Columns)
		}
		if got := s.MissingShare(flowlog.Port); got != 0.5 {
			t.Errorf("missing share %g", got)
		}
		if got := s.MissingShare(flowlog.Lat); got != 0 {
			t.Errorf("missing share of no columns: %g", got)
		}
		checkStrip(t, s.Strip)
	}
}

func checkStrip(t *testing.T, s *flowlog.Strip) {
	t.Helper()
	samples, empty := 0, 0
	for b := range s.Bins {
		samples += s.Bins[b].Samples
		if s.Bins[b].Samples == 0 {
			empty++
		} else if s.Mean(0, b) != 3 || !flowlog.IsMissing(s.Mean(1, b)) {
			t.Errorf("bin %d: means %g, %g", b, s.Mean(0, b), s.Mean(1, b))
		}
	}
	// 9.9 s in bins of a power of two milliseconds, at most 64 of them and at
	// least two intervals long: 256 ms, 39 bins. The gap of 2.1 s leaves at
	// least 7 and at most 8 whole ones empty.
	if s.BinNS != 256e6 || len(s.Bins) != 39 || samples != 80 || empty < 7 || empty > 8 {
		t.Errorf("%d bins of %d ns, %d empty, %d samples", len(s.Bins), s.BinNS, empty, samples)
	}
}

func TestSummarizeOneSample(t *testing.T) {
	s, err := flowlog.Summarize(long(1).NewReader(1), nil)
	if err != nil || s.Samples != 1 || s.Intervals.QuantileNS(0.5) != 0 || len(s.Strip.Bins) != 1 {
		t.Errorf("%v: %+v", err, s)
	}
}

func TestSummarizeShortLogHasNoFalseGaps(t *testing.T) {
	s, err := flowlog.Summarize(long(10).NewReader(100), []flowlog.Line{{Name: "1", Columns: []int{0}}})
	if err != nil {
		t.Fatal(err)
	}
	for b := range s.Strip.Bins {
		if s.Strip.Bins[b].Samples == 0 {
			t.Errorf("bin %d of %d is empty", b, len(s.Strip.Bins))
		}
	}
}
