package counts

import (
	"math"
	"slices"
	"testing"
)

// The values are R's quantile(c(3, 1, 4, 1, 5), q), type 7, worked by hand from
// Hyndman & Fan 1996: order statistic 1 + 4 q, interpolated.
func TestQuantile(t *testing.T) {
	v := []float64{3, 1, 4, 1, 5}
	for q, want := range map[float64]float64{0: 1, 0.25: 1, 0.5: 3, 0.6: 3.4, 0.9: 4.6, 1: 5} {
		if got := Quantile(v, q); math.Abs(got-want) > 1e-12 {
			t.Errorf("quantile %g is %g, want %g", q, got, want)
		}
	}
	if !slices.Equal(v, []float64{3, 1, 4, 1, 5}) {
		t.Error("the input was changed")
	}
	if got := Quantile(nil, 0.5); got != 0 {
		t.Errorf("of nothing: %g", got)
	}
}
