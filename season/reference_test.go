package season

import (
	"math"
	"testing"

	"runproof/counts"
)

// TestScoreAgainstR: R 4.2.2, glm(n ~ offset(log(e)), poisson) against
// glm(n ~ t + offset(log(e)), poisson), anova(..., test = "Rao"), both with epsilon 1e-15: the score
// statistic is z squared, its p is from the normal law.
func TestScoreAgainstR(t *testing.T) {
	for _, c := range []struct {
		n     []int
		hours []float64
		at    []int
		rao   float64
		p     float64
		up    bool
	}{
		{[]int{2, 0, 3, 1, 4, 6, 5, 9}, []float64{5.1, 6.2, 4.4, 7, 6.5, 3.2, 8, 6}, []int{55, 176, 290, 401, 552, 660, 771, 921}, 10.1985451171, 0.00140551497098, true},
		{[]int{12, 9, 11, 4, 3, 2, 2, 0, 1, 1}, []float64{8, 8, 7.5, 8, 2, 8, 9, 8, 8, 6.5}, []int{55, 164, 271, 377, 445, 514, 630, 747, 857, 956}, 29.4260370639, 5.80919011579e-08, false},
		{[]int{3, 3, 4, 2, 5, 3, 4, 4}, []float64{6, 6, 6, 6, 6, 6, 6, 6}, []int{63, 188, 313, 438, 563, 688, 813, 938}, 0.244897959184, 0.620690717075, true},
	} {
		z, p, exact := scoreTest(c.n, parts(c.hours), c.at)
		if math.Abs(z*z/c.rao-1) > 1e-9 || math.Abs(p/c.p-1) > 1e-8 || exact || z > 0 != c.up {
			t.Errorf("%v: z^2 %.10g, p %.10g, %v; R %.10g, %.10g", c.n, z*z, p, exact, c.rao, c.p)
		}
	}
}

func parts(hours []float64) []float64 {
	out := make([]float64, len(hours))
	for i, h := range hours {
		out[i] = h / sum(hours)
	}
	return out
}

// TestExactScore: every way for the troubles to fall on the days, listed in R
// 4.2.2 with expand.grid.
func TestExactScore(t *testing.T) {
	six := []int{65, 226, 403, 597, 806, 952}
	for _, c := range []struct {
		n         []int
		hours     []float64
		at        []int
		low, high float64
	}{
		{[]int{0, 0, 1, 0, 2, 2}, []float64{4, 6, 5, 7, 6, 3}, six, 0.9903172469208, 0.0113803235031},
		{[]int{3, 0, 0, 0, 0, 0}, []float64{4, 6, 5, 7, 6, 3}, six, 0.00214829982209, 1},
		{[]int{1, 0, 0, 0, 0, 1, 2, 2}, []float64{5, 5, 5, 5, 1, 5, 5, 5}, []int{69, 208, 347, 486, 569, 653, 792, 931}, 0.9580372605523, 0.0493273940275},
	} {
		n, score := 0, 0
		for d := range c.n {
			n, score = n+c.n[d], score+c.n[d]*c.at[d]
		}
		low, high := tails(n, score, parts(c.hours), c.at)
		if math.Abs(low-c.low) > 1e-12 || math.Abs(high-c.high) > 1e-12 {
			t.Errorf("%v: %.13g and %.13g, R %.13g and %.13g", c.n, low, high, c.low, c.high)
		}
		if _, p, exact := scoreTest(c.n, parts(c.hours), c.at); !exact || math.Abs(p-2*min(low, high)) > 1e-12 {
			t.Errorf("%v: p %g", c.n, p)
		}
	}
}

// TestCompareAgainstR: R 4.2.2, poisson.test(c(after, before), c(t after, t before)).
func TestCompareAgainstR(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		a, b                Span
		ratio, low, high, p float64
	}{
		{Span{0, 52, 1}, Span{0, 41, 9}, 0.0876068376068, 0.00199874090265, 0.632231138665, 0.00678157788571},
		{Span{0, 30, 0}, Span{0, 44.5, 6}, 0, 0, 1.25981160487, 0.0876283629171},
		{Span{0, 20, 5}, Span{0, 25, 0}, inf, 1.14544482164, inf, 0.0173415299158},
		{Span{0, 60, 4}, Span{0, 61, 5}, 0.813333333333, 0.161388439447, 3.77873839567, 1},
		{Span{0, 33.3, 17}, Span{0, 40, 4}, 5.10510510511, 1.66517565389, 20.8539310896, 0.00145243241792},
	} {
		ratio, low, high, p := compare(c.a, c.b)
		if !sameEnd(ratio, c.ratio) || !near(low, c.low, 2e-5) || !sameEnd(high, c.high) || math.Abs(p-c.p) > 1e-6 {
			t.Errorf("%+v over %+v: %v, %g to %v, p %g; R %+v", c.a, c.b, ratio, low, high, p, c)
		}
	}
	if r, low, high, p := compare(Span{1, 5, 0}, Span{1, 6, 0}); r != nil || low != 0 || high != nil || p != 1 {
		t.Error("no trouble at all tells nothing of the ratio")
	}
}

func sameEnd(got *float64, want float64) bool {
	if math.IsInf(want, 0) {
		return got == nil
	}
	return got != nil && near(*got, want, 2e-5)
}

// TestHolmAgainstR: R 4.2.2, p.adjust(..., "holm").
func TestHolmAgainstR(t *testing.T) {
	got := holm([]float64{0.01, 0.04, 0.03, 0.0005, 0.5, 0.04})
	for i, want := range []float64{0.05, 0.12, 0.12, 0.003, 0.5, 0.12} {
		if math.Abs(got[i]-want) > 1e-12 {
			t.Errorf("%d: %g, R %g", i, got[i], want)
		}
	}
}

// TestRatesAgainstR: R 4.2.2, poisson.test(n, t)$conf.int, and pbinom with
// lower.tail=FALSE for the chance of an offender's count.
func TestRatesAgainstR(t *testing.T) {
	for _, c := range []struct {
		n            int
		h, low, high float64
	}{{0, 12.5, 0, 0.295110356329}, {4, 61.2, 0.017808257739, 0.167346220186}, {31, 240, 0.0877624832464, 0.18334177293}} {
		if r := rate(c.n, c.h); !near(r.Low, c.low, 1e-5) || !near(r.High, c.high, 1e-5) || !near(r.Value, float64(c.n)/c.h, 1e-5) {
			t.Errorf("%d in %g h: %+v", c.n, c.h, r)
		}
	}
	for _, c := range []struct {
		k, n    int
		p, want float64
	}{{9, 14, 1. / 48, 1.34650307068e-12}, {3, 40, 1. / 96, 0.00837783536476}, {2, 3, 0.25, 0.15625}} {
		if got := counts.BinomialAtLeast(c.k, c.n, c.p); !near(got, c.want, 1e-9) {
			t.Errorf("%d of %d: %g, R %g", c.k, c.n, got, c.want)
		}
	}
}
