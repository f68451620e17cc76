package evenness

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

// Estimate is a figure with its 95 % interval. A limit that is nil is not
// known, or there is none.
type Estimate struct {
	Value float64  `json:"value"` // the figure
	Low   *float64 `json:"low"`   // lower limit of its 95 % interval; null = not known
	High  *float64 `json:"high"`  // upper limit; null = not known, or without bound
}

// tail is what a 95 % interval leaves out on either side.
const tail = 0.025

// CVInterval is the exact interval of the true CV of n normal values whose
// sample CV is k, leaving out the given tail on either side: sqrt(n)/k is
// noncentral t with n - 1 degrees of freedom and noncentrality sqrt(n)/CV
// (Johnson and Welch 1940, Biometrika 31:362). high is +Inf where even a mean of
// 0 could have given the sample. NaN for n < 2; 0 to 0 for k = 0.
func CVInterval(k float64, n int, tail float64) (low, high float64) {
	switch {
	case n < 2 || !(k >= 0):
		return math.NaN(), math.NaN()
	case k == 0:
		return 0, 0
	}
	root := math.Sqrt(float64(n))
	solve := func(p float64) float64 {
		if noncentralT(root/k, float64(n-1), 0) <= p {
			return math.Inf(1)
		}
		return root / noncentrality(root/k, float64(n-1), p)
	}
	return solve(tail), solve(1 - tail)
}

// noncentrality is the d at which P(T <= t) is p; P falls as d grows. On the
// scale of normal quantiles it does so nearly in a straight line, so false
// position finds it in a few steps; where a step leaves one end of the bracket
// for the second time, that end counts half (Illinois rule).
func noncentrality(t, v, p float64) float64 {
	off := func(d float64) float64 {
		return distuv.UnitNormal.Quantile(clamp(noncentralT(t, v, d), 1e-300, 1-1e-15)) - distuv.UnitNormal.Quantile(p)
	}
	lo, hi := 0.0, t+10
	offLo, offHi := off(lo), off(hi)
	for ; offHi > 0; offHi = off(hi) {
		lo, offLo = hi, offHi
		hi *= 2
	}
	for side, steps := 0, 0; hi-lo > 1e-12*hi && steps < 200; steps++ {
		d := (lo*offHi - hi*offLo) / (offHi - offLo)
		if steps%8 == 7 || !(d > lo && d < hi) {
			d = (lo + hi) / 2
		}
		x := off(d)
		switch {
		case x == 0:
			return d
		case x > 0:
			if lo, offLo = d, x; side > 0 {
				offHi /= 2
			}
			side = 1
		default:
			if hi, offHi = d, x; side < 0 {
				offLo /= 2
			}
			side = -1
		}
		if math.Abs(x) < 1e-13 {
			return d
		}
	}
	return (lo + hi) / 2
}

// noncentralT is P(T <= t) of the noncentral t law with v degrees of freedom
// and noncentrality d, for t > 0: the mean over s, the chi of v degrees over
// sqrt(v), of Phi(t s - d). The integrand is smooth; the quadrature runs over
// all of s that carries weight.
func noncentralT(t, v, d float64) float64 {
	low := math.Sqrt(distuv.ChiSquared{K: v}.Quantile(1e-14) / v)
	high := math.Sqrt((v + 40 + 16*math.Sqrt(v)) / v)
	lnGamma, _ := math.Lgamma(v / 2)
	scale := math.Ln2 + v/2*math.Log(v/2) - lnGamma // of the density of s: s^(v-1) exp(-v s^2/2)
	// The step of Phi lies at s = d/t and is about 1/t wide.
	edges := [...]float64{low, clamp(d/t-9/t, low, high), clamp(d/t, low, high), clamp(d/t+9/t, low, high), high}
	sum := 0.0
	for i := range edges[1:] {
		half, mid := (edges[i+1]-edges[i])/2, (edges[i+1]+edges[i])/2
		if half <= 0 {
			continue
		}
		for k, x := range gauss.x {
			s := mid + half*x
			sum += half * gauss.w[k] * math.Exp(scale+(v-1)*math.Log(s)-v*s*s/2) * distuv.UnitNormal.CDF(t*s-d)
		}
	}
	return sum
}

// gauss are the places and weights of Gauss and Legendre's quadrature on -1 to 1.
var gauss = func() (g struct{ x, w [64]float64 }) {
	quad.Legendre{}.FixedLocations(g.x[:], g.w[:], -1, 1)
	return g
}()

func clamp(v, lo, hi float64) float64 { return math.Max(lo, math.Min(hi, v)) }

// SmallCVFactors are the factors of the interval of a small CV from n values:
// sqrt((n-1)/chi2), chi2 the quantiles of n - 1 degrees of freedom. It is the
// limit of CVInterval as k goes to 0, and the interval of a standard deviation.
func SmallCVFactors(n int, tail float64) (low, high float64) {
	return sdFactors(float64(n-1), tail)
}

func sdFactors(df, tail float64) (low, high float64) {
	chi := distuv.ChiSquared{K: df}
	return math.Sqrt(df / chi.Quantile(1-tail)), math.Sqrt(df / chi.Quantile(tail))
}

// cvEstimate is the plain CV of values with its exact 95 % interval.
func cvEstimate(x []float64) Estimate {
	e := Estimate{Value: CV(x)}
	low, high := CVInterval(e.Value, len(x), tail)
	e.Low, e.High = finite(low), finite(high)
	return e
}

// finite is a pointer to a figure of a document, nil where it is none.
func finite(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	v = digits(v)
	return &v
}

// digits rounds to seven significant digits: what a document holds. The last
// bits of a sum differ between processors, documents must not.
func digits(v float64) float64 {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return v
	}
	p := math.Pow(10, 6-math.Floor(math.Log10(math.Abs(v))))
	if r := math.Round(v*p) / p; !math.IsInf(r, 0) && !math.IsNaN(r) {
		return r
	}
	return v
}

func (e Estimate) rounded() Estimate { e.Value = digits(e.Value); return e }
