package airflow

import (
	"math"
	"testing"
)

// Four digits are kept, also at the ends of what a float holds.
func TestFourDigits(t *testing.T) {
	for _, c := range []struct{ v, want float64 }{
		{0, 0},
		{12.34567, 12.35},
		{-0.000123456, -0.0001235},
		{98765, 98770},
		{5e-324, 5e-324},
		{-1e-310, -1e-310},
		{1e308, 1e308},
		{math.Inf(1), math.Inf(1)},
	} {
		if got := fourDigits(c.v); got != c.want && math.Abs(got/c.want-1) > 1e-12 {
			t.Errorf("%g: %g, want %g", c.v, got, c.want)
		}
	}
	if got := fourDigits(math.NaN()); !math.IsNaN(got) {
		t.Errorf("not known: %g", got)
	}
}
