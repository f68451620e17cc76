package counts

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// PoissonInterval returns the exact two-sided interval of confidence level
// (0 < level < 1) for the mean of a Poisson count of which n were seen (Garwood
// 1936, Biometrika 28:437): the quantiles of gamma variables with shapes n and
// n+1. For n = 0 low is 0. It panics for n < 0.
func PoissonInterval(n int, level float64) (low, high float64) {
	if n < 0 {
		panic("counts: PoissonInterval of a negative count")
	}
	tail := (1 - level) / 2
	if n > 0 {
		low = mathext.GammaIncRegInv(float64(n), tail)
	}
	return low, mathext.GammaIncRegCompInv(float64(n)+1, tail)
}

// BinomialInterval returns the exact two-sided interval of confidence level for
// the chance of which k of n trials were a success (Clopper and Pearson 1934,
// Biometrika 26:404): quantiles of beta variables. Without trials it is 0 to 1.
// It panics unless 0 <= k <= n.
func BinomialInterval(k, n int, level float64) (low, high float64) {
	if k < 0 || k > n {
		panic("counts: BinomialInterval needs 0 <= k <= n")
	}
	tail, high := (1-level)/2, 1.
	if k > 0 {
		low = mathext.InvRegIncBeta(float64(k), float64(n-k+1), tail)
	}
	if k < n {
		high = 1 - mathext.InvRegIncBeta(float64(n-k), float64(k+1), tail)
	}
	return low, high
}

// PoissonAtLeast returns P(X >= k) of a Poisson count of mean mu >= 0.
func PoissonAtLeast(k int, mu float64) float64 {
	switch {
	case k <= 0:
		return 1
	case mu <= 0:
		return 0
	}
	return mathext.GammaIncReg(float64(k), mu)
}

// BinomialAtLeast returns P(X >= k) of n trials of chance p.
func BinomialAtLeast(k, n int, p float64) float64 {
	switch {
	case k <= 0:
		return 1
	case k > n || p <= 0:
		return 0
	case p >= 1:
		return 1
	}
	return mathext.RegIncBeta(float64(k), float64(n-k+1), p)
}

// RateRatio compares two Poisson counts: n1 events in t1 and n2 in t2 (hours,
// metres, any one unit). Given n1+n2 the first is binomial (Przyborowski and
// Wilenski 1940, Biometrika 31:313), so that the rates themselves cancel. The
// ratio is rate 1 over rate 2 with its exact interval, and p the chance of
// counts no likelier than these when the rates are equal. With no event at all
// everything may be: 0 to +Inf, and p = 1. It panics unless t1 and t2 are
// positive.
func RateRatio(n1 int, t1 float64, n2 int, t2, level float64) (ratio, low, high, p float64) {
	if !(t1 > 0) || !(t2 > 0) {
		panic("counts: RateRatio needs time on both sides")
	}
	if n1+n2 == 0 {
		return math.NaN(), 0, math.Inf(1), 1
	}
	l, h := BinomialInterval(n1, n1+n2, level)
	odds := func(p float64) float64 { return p / (1 - p) * t2 / t1 }
	return float64(n1) / t1 / (float64(n2) / t2), odds(l), odds(h), unlikely(n1, Binomial{N: n1 + n2, P: t1 / (t1 + t2)})
}

// unlikely is the chance of all counts that are no likelier than k; a part in
// ten million counts as equal, as sums of equal chances differ in the last
// digits.
func unlikely(k int, l Binomial) float64 {
	most, sum := l.LogProb(k)+1e-7, 0.0
	for x := range l.N + 1 {
		if lp := l.LogProb(x); lp <= most {
			sum += math.Exp(lp)
		}
	}
	return min(1, sum)
}
