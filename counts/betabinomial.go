package counts

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"
)

// BetaBinomial is the law of a run's count given its head's total N, when the
// share wavers as a beta variable with parameters Alpha, Beta > 0:
//
//	P(x) = C(N,x) B(x+Alpha, N-x+Beta) / B(Alpha, Beta)
//	share = Alpha/(Alpha+Beta), rho = 1/(Alpha+Beta+1)
//	variance = N share (1-share) (1 + (N-1) rho)
type BetaBinomial struct {
	N           int
	Alpha, Beta float64
}

// Share returns the mean share Alpha/(Alpha+Beta).
func (l BetaBinomial) Share() float64 { return l.Alpha / (l.Alpha + l.Beta) }

// LogProb returns ln P(X = x).
func (l BetaBinomial) LogProb(x int) float64 {
	switch {
	case x < 0 || x > l.N:
		return math.Inf(-1)
	case l.N == 0:
		return 0
	}
	// Each Gamma quotient as a real binomial term with p the mean share: the
	// powers of p cancel, and each term keeps its digits.
	a, b, n, k := l.Alpha, l.Beta, float64(l.N), float64(x)
	s := a + b
	p, q := a/s, b/s
	lp := logBinomialTerm(k, n, p, q) + logBinomialTerm(a, s, p, q) - logBinomialTerm(k+a, n+s, p, q)
	return lp + math.Log(a/(k+a)) + math.Log(b/(n-k+b)) + math.Log((n+s)/s)
}

// CDF returns P(X <= x).
func (l BetaBinomial) CDF(x int) float64 { return cdf(l, x) }

// Survival returns P(X > x).
func (l BetaBinomial) Survival(x int) float64 { return survival(l, x) }

// Mean returns N times the share.
func (l BetaBinomial) Mean() float64 { return float64(l.N) * l.Share() }

// Variance returns N p (1-p) (1 + (N-1) rho).
func (l BetaBinomial) Variance() float64 {
	n, p, s := float64(l.N), l.Share(), l.Alpha+l.Beta
	return n * p * (1 - p) * (n + s) / (1 + s)
}

// Rand draws a count.
func (l BetaBinomial) Rand(rng *rand.Rand) int {
	p := distuv.Beta{Alpha: l.Alpha, Beta: l.Beta, Src: rng}.Rand()
	return Binomial{l.N, p}.Rand(rng)
}

func (l BetaBinomial) up(k int) float64 {
	n, f := float64(l.N), float64(k)
	return (n - f) / (f + 1) * ((f + l.Alpha) / (n - f - 1 + l.Beta))
}
func (l BetaBinomial) top() int { return l.N }

// A beta density with a parameter below 1 has a peak at that end.
func (l BetaBinomial) unimodal() bool { return l.Alpha >= 1 && l.Beta >= 1 }
