package review

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// ramp is half-second points that are at 1 until fallS, fall for rampS, and
// stay at left; exact means over each point, so nothing but onset's own
// reckoning stands between it and the answer.
func ramp(n int, fallS, rampS, left float64) []point {
	at := func(t float64) float64 { // integral of the level up to t
		switch {
		case t <= fallS:
			return t
		case t < fallS+rampS:
			u := t - fallS
			return fallS + u - (1-left)*u*u/(2*rampS)
		}
		return fallS + rampS*(1+left)/2 + left*(t-fallS-rampS)
	}
	pts := make([]point, n)
	for i := range pts {
		a, b := float64(i)/2, float64(i+1)/2
		pts[i] = point{int64(a * 1e9), int64(b * 1e9), (at(b) - at(a)) / (b - a), 20}
	}
	return pts
}

func TestOnset(t *testing.T) {
	ramps := []float64{0, 0.5, 1, 1.5, 2, 3}
	for _, c := range []struct {
		name               string
		fallS, rampS, left float64
	}{
		{"at once, on a frame's edge", 10, 0, 0.03},
		{"at once, within a frame", 10.3, 0, 0.03},
		{"over 2 s", 10, 2, 0.05},
		{"over 3 s, half left", 12.5, 3, 0.5},
		{"in the first frame", 0, 0, 0.1},
	} {
		start, left := onset(ramp(60, c.fallS, c.rampS, c.left), ramps)
		// one frame is all that half-second points can tell
		if d := float64(start)/1e9 - c.fallS; math.Abs(d) > 0.5 || math.Abs(left-c.left) > 0.02 {
			t.Errorf("%s: %+.2f s off, %.3f left", c.name, d, left)
		}
	}
	if start, _ := onset(nil, ramps); start != 0 {
		t.Error("onset of nothing:", start)
	}
}

// TestOnsetInNoise: a fall to a tenth over 1 s, seen in Poisson counts of 20 a
// frame: the bar is 3 s in nine of ten. A run of two sound frames that
// pass for a three-second ramp's first third (20 and 14 or less: P = 0.1 each)
// can draw the onset ahead by one ramp, 2 s, but not by 3; half of them are
// within a second.
func TestOnsetInNoise(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	within := 0
	for try := range 300 {
		pts := ramp(60, 15.2, 1, 0.1)
		for i := range pts {
			pts[i].y = poisson(rng, 20*pts[i].y) / 20
		}
		start, _ := onset(pts, []float64{0, 0.5, 1, 1.5, 2, 3})
		d := math.Abs(float64(start)/1e9 - 15.2)
		if d > 3 {
			t.Errorf("try %d: %.2f s off", try, d)
		}
		if d <= 1 {
			within++
		}
	}
	if within < 150 {
		t.Errorf("only %d of 300 within a second", within)
	}
}

// poisson draws by counting exponential waits.
func poisson(rng *rand.Rand, mean float64) float64 {
	n := 0.0
	for t := rng.ExpFloat64(); t < mean; t += rng.ExpFloat64() {
		n++
	}
	return n
}

// TestOnsetMovesWithTime: shifting all points shifts the onset by as much.
func TestOnsetMovesWithTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pts := ramp(40, rapid.Float64Range(1, 15).Draw(t, "fall"), rapid.Float64Range(0.1, 3).Draw(t, "ramp"), rapid.Float64Range(0, 0.7).Draw(t, "left"))
		by := rapid.Int64Range(1, 1e12).Draw(t, "by")
		moved := append([]point(nil), pts...)
		for i := range moved {
			moved[i].fromNS, moved[i].toNS = moved[i].fromNS+by, moved[i].toNS+by
		}
		a, fa := onset(pts, []float64{0, 1, 2})
		b, fb := onset(moved, []float64{0, 1, 2})
		if b-a != by || math.Abs(fa-fb) > 1e-12 {
			t.Fatalf("%d became %d by %d", a, b, by)
		}
	})
}
