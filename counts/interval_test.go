package counts_test

import (
	"math"
	"testing"

	"runproof/counts"
)

// agree says whether two figures agree to a relative tolerance.
func agree(got, want, tolerance float64) bool {
	return got == want || math.Abs(got-want) <= tolerance*math.Max(1e-9, math.Abs(want))
}

// TestPoissonInterval: R 4.2.2, poisson.test(n, conf.level=level)$conf.int.
func TestPoissonInterval(t *testing.T) {
	for _, c := range []struct {
		n                int
		level, low, high float64
	}{
		{0, 0.95, 0, 3.688879454},
		{0, 0.99, 0, 5.298317367},
		{1, 0.95, 0.02531780798, 5.571643391},
		{1, 0.99, 0.005012541824, 7.4301295},
		{3, 0.95, 0.6186721229, 8.76727307},
		{10, 0.95, 4.795388696, 18.39035604},
		{10, 0.99, 3.716922131, 21.3978275},
		{250, 0.95, 219.9679956, 282.987705},
		{250, 0.99, 211.1516824, 293.6846883},
	} {
		low, high := counts.PoissonInterval(c.n, c.level)
		if !agree(low, c.low, 1e-8) || !agree(high, c.high, 1e-8) {
			t.Errorf("%d at %g: %.10g to %.10g, want %.10g to %.10g", c.n, c.level, low, high, c.low, c.high)
		}
	}
}

// TestBinomialInterval: R 4.2.2, binom.test(k, n)$conf.int; without trials
// nothing is known.
func TestBinomialInterval(t *testing.T) {
	for _, c := range []struct {
		k, n      int
		low, high float64
	}{
		{0, 0, 0, 1},
		{0, 6, 0, 0.4592581264},
		{1, 6, 0.004210744514, 0.641234579},
		{6, 6, 0.5407418736, 1},
		{3, 40, 0.01574217985, 0.2038647487},
		{120, 400, 0.2554667281, 0.3475218791},
	} {
		low, high := counts.BinomialInterval(c.k, c.n, 0.95)
		if !agree(low, c.low, 1e-8) || !agree(high, c.high, 1e-8) {
			t.Errorf("%d of %d: %.10g to %.10g, want %.10g to %.10g", c.k, c.n, low, high, c.low, c.high)
		}
	}
}

// TestAtLeast: R 4.2.2, ppois and pbinom with lower.tail=FALSE.
func TestAtLeast(t *testing.T) {
	for _, c := range []struct {
		k        int
		mu, want float64
	}{{0, 3, 1}, {2, 0, 0}, {1, 0.1, 0.09516258196}, {3, 0.4, 0.007926331867}, {8, 2.5, 0.004246695489}, {40, 25, 0.003443568729}} {
		if got := counts.PoissonAtLeast(c.k, c.mu); !agree(got, c.want, 1e-8) {
			t.Errorf("Poisson %d, %g: %.10g, want %.10g", c.k, c.mu, got, c.want)
		}
	}
	for _, c := range []struct {
		k, n    int
		p, want float64
	}{{0, 6, 0.2, 1}, {7, 6, 0.2, 0}, {2, 6, 0, 0}, {2, 6, 1, 1}, {1, 6, 0.05, 0.2649081094}, {4, 6, 0.1, 0.00127}, {6, 6, 0.3, 0.000729}, {30, 200, 0.1, 0.01632656593}} {
		if got := counts.BinomialAtLeast(c.k, c.n, c.p); !agree(got, c.want, 1e-8) {
			t.Errorf("binomial %d of %d, %g: %.10g, want %.10g", c.k, c.n, c.p, got, c.want)
		}
	}
}

// TestRateRatio: R 4.2.2, poisson.test(c(n1, n2), c(t1, t2)); the third line is
// the example of its help page.
func TestRateRatio(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		n1                  int
		t1                  float64
		n2                  int
		t2                  float64
		ratio, low, high, p float64
	}{
		{9, 3, 0, 3, inf, 1.973826312, inf, 0.00390625},
		{9, 3, 2, 4, 6, 1.241883011, 57.06628791, 0.01228458933},
		{11, 800, 10, 3011, 4.140125, 1.596242389, 10.87375177, 0.001479872372},
		{1, 5, 1, 5, 1, 0.01273936708, 78.49683532, 1},
		{0, 2, 6, 2.5, 0, 0, 1.061638993, 0.03710854074},
	} {
		ratio, low, high, p := counts.RateRatio(c.n1, c.t1, c.n2, c.t2, 0.95)
		if !agree(ratio, c.ratio, 1e-8) || !agree(low, c.low, 1e-8) || !agree(high, c.high, 1e-8) || !agree(p, c.p, 1e-6) {
			t.Errorf("%+v: %.10g, %.10g to %.10g, p %.10g", c, ratio, low, high, p)
		}
	}
	if ratio, low, high, p := counts.RateRatio(0, 1, 0, 1, 0.95); !math.IsNaN(ratio) || low != 0 || !math.IsInf(high, 1) || p != 1 {
		t.Errorf("nothing on both sides: %g, %g to %g, %g", ratio, low, high, p)
	}
}
