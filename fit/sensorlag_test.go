package fit_test

import (
	"math"
	"testing"

	"runproof/fit"
)

// TestSensorLagS: a sensor a quarter of the way down a hose has a quarter of the
// hose's time; none is known beyond the row, nor of a head that is not there.
func TestSensorLagS(t *testing.T) {
	air := func(hoseM float64) (f fit.Fit) {
		f.Air.Heads = []fit.HeadAir{{
			Head: "A", Hose: fit.Line{LengthM: hoseM},
			ToHead: fit.TransportLag{Seconds: fit.Span{Low: 0.8, Likely: 1.2, High: 1.6}},
			ToRow:  fit.TransportLag{Seconds: fit.Span{Low: 1.2, Likely: 1.6, High: 2.4}},
		}}
		return f
	}
	for _, c := range []struct {
		name          string
		hoseM, fromM  float64
		low, lag, top float64
	}{
		{"a quarter down", 4, 1, 0.9, 1.3, 1.8},
		{"at the head", 4, 0, 0.8, 1.2, 1.6},
		{"past the row", 4, 9, 1.2, 1.6, 2.4},
		{"a hose nobody measured", 0, 1, 0.8, 1.2, 1.6},
	} {
		f := air(c.hoseM)
		f.Drill.Sensing.SensorFromHeadM = c.fromM
		got := f.SensorLagS("A")
		if math.Abs(got.Low-c.low) > 1e-12 || math.Abs(got.Likely-c.lag) > 1e-12 || math.Abs(got.High-c.top) > 1e-12 {
			t.Errorf("%s: %+v", c.name, got)
		}
		if f.SensorLagS("B") != (fit.Span{}) {
			t.Error("a lag of no head")
		}
	}
}
