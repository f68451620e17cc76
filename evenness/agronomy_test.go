package evenness

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"runproof/drill"
)

// Section 3 of the project's agronomy reference; ids as there. Computed there
// in two ways unless a source is named.
func TestAgronomySection3(t *testing.T) {
	// cv: invented masses, mean 100.0, deviations +4.6 and -4.6 %.
	masses := []float64{101.2, 98.7, 103.9, 95.4, 100.8, 97.1, 104.6, 99.9, 102.3, 96.1}
	near(t, "cv", 100*CV(masses), 3.16614030713, 1e-10)
	near(t, "cv with n", 100*CV(masses)*math.Sqrt(9./10), 3.00366442866, 1e-10)
	near(t, "mean", meanOf(masses), 100, 1e-12)
	for _, c := range []struct {
		n    int
		want float64
	}{{10, 0.351364184463}, {12, 0.314918328649}, {48, 0.147408579368}} { // cv-blocked-*
		near(t, "one blocked", OneBlocked(c.n), c.want, 1e-11)
		x := make([]float64, c.n) // and by hand: n-1 runs share what n would
		for i := 1; i < c.n; i++ {
			x[i] = Rise(c.n)
		}
		near(t, "one blocked, by masses", CV(x), c.want, 1e-11)
	}
	for n, want := range map[float64]float64{100: 10, 1000: 3.16227766017, 10000: 1} { // cv-poisson
		near(t, "floor", 100*Floor(n), want, 1e-11)
	}
	near(t, "two divisions", TwoDivisions(0.05, 0.08), 0.0944245730729, 1e-11) // cv-two-stage
	low, high := SmallCVFactors(12, tail)                                      // cv-ci-12
	near(t, "low factor", low, 0.7083951509, 1e-8)
	near(t, "high factor", high, 1.6978780174, 1e-8)
	// 60 runs, one dead: 13.1 %, under a limit of 15 % (design, "How flow behaves").
	near(t, "one of 60", OneBlocked(60), 0.131, 0.005)
	// n/(n-1): +9 % for 12 outlets, +33 % for 4 (section 2, seed-placed fertiliser).
	near(t, "rise of 12", Rise(12), 1.090909, 1e-6)
	near(t, "rise of 4", Rise(4), 1.333333, 1e-6)
}

// Manitoba Agriculture, Guidelines for Safely Applying Fertilizer with Seed:
// printed table of seedbed utilisation, %, by spread and row spacing in inches.
func TestSeedbedUtilisation(t *testing.T) {
	const inch = 0.0254
	for spread, row := range map[float64][3]float64{1: {17, 11, 8}, 2: {33, 22, 17}, 3: {50, 33, 25}} {
		for i, in := range []float64{6, 9, 12} {
			if got := 100 * SBU(spread*inch, in*inch); math.Abs(got-row[i]) > 0.5 {
				t.Errorf("%g in on %g in: %.2f, printed %g", spread, in, got, row[i])
			}
		}
	}
}

// Exact intervals of a CV: alarms reference, section 7 (noncentral t by mpmath's
// quadrature), and Vangel's approximation (1996, Am. Statistician 50:21) beside
// them, which must lie near.
func TestCVIntervalPublished(t *testing.T) {
	for _, c := range []struct {
		n         int
		k         float64
		low, high float64 // exact
		vLow, vHi float64 // Vangel
	}{
		{6, 0.08, 0.04984532, 0.198216712, 0.0498452358, 0.198234724},
		{12, 0.05, 0.0353977205, 0.0850515977, 0.0353977081, 0.0850519956},
		{12, 0.1, 0.0706640068, 0.171050431, 0.0706636119, 0.171063264},
		{12, 0.2, 0.140299468, 0.349714248, 0.140287324, 0.350138665},
		{48, 0.05, 0.0416070726, 0.0626700411, 0.0416070584, 0.0626701134},
		{48, 0.1, 0.0831165091, 0.125585465, 0.0831160594, 0.125587772},
		{12, 0.032748347756, 0.02319257374, 0.05564700079, 0.02319257223, 0.05564704868}, // the worked example
	} {
		low, high := CVInterval(c.k, c.n, tail)
		near(t, fmt.Sprintf("low of %g, n %d", c.k, c.n), low, c.low, 1e-7)
		near(t, fmt.Sprintf("high of %g, n %d", c.k, c.n), high, c.high, 1e-7)
		vLow, vHigh := vangel(c.k, float64(c.n))
		near(t, "Vangel's low", vLow, c.vLow, 1e-8)
		near(t, "Vangel's high", vHigh, c.vHi, 1e-8)
		near(t, "exact against Vangel, low", low, vLow, 2e-3)
		near(t, "exact against Vangel, high", high, vHigh, 2e-3)
	}
}

// vangel is Vangel's modification of McKay's interval.
func vangel(k, n float64) (low, high float64) {
	v := n - 1
	limit := func(u float64) float64 { return k / math.Sqrt(((u+2)/(v+1)-1)*k*k+u/v) }
	chi := distuv.ChiSquared{K: v}
	return limit(chi.Quantile(1 - tail)), limit(chi.Quantile(tail))
}

// As a CV gets small its exact interval becomes that of a standard deviation.
func TestCVIntervalOfSmallCV(t *testing.T) {
	low, high := CVInterval(1e-4, 12, tail)
	near(t, "low", low/1e-4, 0.7083951509, 1e-6)
	near(t, "high", high/1e-4, 1.6978780174, 1e-6)
}

// A mean that could be 0 sets no upper limit.
func TestCVIntervalWithoutBound(t *testing.T) {
	if low, high := CVInterval(2, 4, tail); !(low > 0) || !math.IsInf(high, 1) {
		t.Errorf("%g to %g", low, high)
	}
	if low, high := CVInterval(0, 9, tail); low != 0 || high != 0 {
		t.Errorf("%g to %g", low, high)
	}
	if low, _ := CVInterval(0.1, 1, tail); !math.IsNaN(low) {
		t.Error("one value has an interval")
	}
}

// Rosner (1983), Technometrics 25:165, example of 54 values, as NIST/SEMATECH
// e-Handbook 1.3.5.17.3 prints it: R 3.118, 2.942, 3.179, 2.810, ... against
// 3.158, 3.151, 3.143, 3.136, ...; three outliers, 6.01, 5.42 and 5.34, of which
// the first two are found only because the third is. Values from memory; R 4.2.2
// gives the printed figures of them.
func TestRosner(t *testing.T) {
	x := []float64{
		-0.25, 0.68, 0.94, 1.15, 1.20, 1.26, 1.26, 1.34, 1.38, 1.43, 1.49, 1.49, 1.55, 1.56, 1.58, 1.65, 1.69, 1.70, 1.76, 1.77, 1.81, 1.91, 1.94, 1.96, 1.99, 2.06, 2.09,
		2.10, 2.14, 2.15, 2.23, 2.24, 2.26, 2.35, 2.37, 2.40, 2.47, 2.54, 2.62, 2.64, 2.90, 2.92, 2.92, 2.93, 3.21, 3.26, 3.30, 3.59, 3.68, 4.30, 4.64, 5.34, 5.42, 6.01,
	}
	head := make([]drill.HeadID, len(x))
	odd := outOfLine(x, head, 10)
	if len(odd) != 3 || x[odd[0].i] != 6.01 || x[odd[1].i] != 5.42 || x[odd[2].i] != 5.34 {
		t.Fatalf("%+v", odd)
	}
	// The first step alone: R 3.1189 under 3.1588, so its own chance is over 5 %.
	if _, p := farthest(x, head, make([]bool, len(x))); !(p > 0.05 && p < 0.07) {
		t.Errorf("chance of the first alone %g", p)
	}
	if one := outOfLine(x, head, 1); len(one) != 0 {
		t.Errorf("%+v", one)
	}
}
