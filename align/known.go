package align

import (
	"errors"
	"io"
	"math"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
)

// NS is seconds in nanoseconds.
func NS(s float64) int64 { return secondsNS(s) }

// LagOf is the transport lag from meter to sensors that a fit reckons, the mean
// over its sensed runs; nil where it has none, or f is nil. Its standard
// deviation takes the reckoned span for 95 %, alike for all heads: what is wrong
// with the reckoning is wrong for all.
func LagOf(f *fit.Fit) *Lag {
	if f == nil {
		return nil
	}
	runs := map[drill.HeadID]float64{}
	of := map[drill.RunID]drill.HeadID{}
	for _, r := range f.Drill.Runs() {
		of[r.ID] = r.Head
	}
	for _, l := range f.Map {
		runs[of[l.Run]]++
	}
	var lag Lag
	total := 0.0
	for _, h := range f.Air.Heads {
		t, n := f.SensorLagS(h.Head), runs[h.Head]
		if n == 0 || !(t.Likely > 0) {
			continue
		}
		lag.S += n * t.Likely
		lag.SDS += n * math.Abs(t.High-t.Low) / (2 * 1.96)
		total += n
	}
	if total == 0 {
		return nil
	}
	return &Lag{lag.S / total, lag.SDS / total}
}

// IntervalS is the usual time between a log's samples; it reads the log to its
// end.
func IntervalS(r flowlog.Reader) (float64, error) {
	var v flowlog.Intervals
	var b flowlog.Batch
	last, begun := int64(0), false
	for {
		err := r.Read(&b)
		if errors.Is(err, io.EOF) {
			return float64(v.QuantileNS(0.5)) / 1e9, nil
		}
		if err != nil {
			return 0, err
		}
		for _, ns := range b.TimeNS {
			if begun {
				v.Add(last, ns-last)
			}
			last, begun = ns, true
		}
	}
}
