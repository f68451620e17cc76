package review

import (
	"math"
	"testing"
)

// TestLineAsInR holds the line to R 4.2.2: lm(y ~ x, weights = w) gives slope,
// standard error and sum of squares; neighbours are unlike there, so that
// nothing is widened.
func TestLineAsInR(t *testing.T) {
	y := []float64{0, -.02, -.01, -.05, -.04, -.09, -.08, -.1, -.13, -.12}
	x := []float64{0, .1, .2, .35, .45, .6, .7, .8, .95, 1.1}
	w := []float64{300, 300, 300, 300, 150, 300, 300, 300, 300, 120}
	l := fitLine(looksOf(x, y, w))
	for _, c := range []struct {
		what      string
		got, want float64
	}{{"slope", l.slope, -0.1268365983972}, {"standard error", l.se, 0.011008334978}, {"squares", l.sse, 0.293585262689}, {"degrees of freedom", l.nu, 8}} {
		if math.Abs(c.got-c.want) > 1e-9*math.Abs(c.want) {
			t.Errorf("%s %.12g, R says %.12g", c.what, c.got, c.want)
		}
	}
}

func looksOf(x, y, w []float64) []look {
	looks := make([]look, len(x))
	for k := range x {
		looks[k] = look{x: 1e4 * math.Exp(y[k]), level: 1e4, durS: w[k], workS: 3600 * x[k]}.done()
	}
	return looks
}

// TestStepByHand: levels 0 and ln 0.9 with what they leave known by hand: the
// squares are 2 x 300 x 0.01^2 on either side, so s^2 = 0.24/(8-2) for weights
// of 300, and the step's variance s^2 (1/1200 + 1/1200).
func TestStepByHand(t *testing.T) {
	d := math.Log(0.9)
	y := []float64{.01, -.01, .01, -.01, d + .01, d - .01, d + .01, d - .01}
	x, w := make([]float64, 8), make([]float64, 8)
	for k := range x {
		x[k], w[k] = float64(k)/10, 300
	}
	at, st := bestStep(looksOf(x, y, w))
	sse := 8 * 300 * 1e-4
	if se := math.Sqrt(sse / 6 * (2.0 / 1200)); at != 4 || math.Abs(st.size-d) > 1e-12 || math.Abs(st.sse-sse) > 1e-9 || math.Abs(st.se-se) > 1e-12 {
		t.Errorf("at %d, %+v; by hand at 4, size %.6f, squares %.6f, standard error %.6f", at, st, d, sse, se)
	}
}
