package counts

import (
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"
)

// Binomial is the law of a run's count given its head's total N, when the run
// takes the share P (0 <= P <= 1) of the flow and particles are independent.
type Binomial struct {
	N int
	P float64
}

// LogProb returns ln P(X = x).
func (l Binomial) LogProb(x int) float64 {
	if l.N == 0 && x == 0 {
		return 0
	}
	return logBinomialTerm(float64(x), float64(l.N), l.P, 1-l.P)
}

// CDF returns P(X <= x).
func (l Binomial) CDF(x int) float64 { return cdf(l, x) }

// Survival returns P(X > x).
func (l Binomial) Survival(x int) float64 { return survival(l, x) }

// Mean returns N P.
func (l Binomial) Mean() float64 { return float64(l.N) * l.P }

// Variance returns N P (1-P).
func (l Binomial) Variance() float64 { return float64(l.N) * l.P * (1 - l.P) }

// Rand draws a count.
func (l Binomial) Rand(rng *rand.Rand) int {
	switch {
	case l.N == 0 || l.P <= 0:
		return 0
	case l.P >= 1:
		return l.N
	}
	return int(distuv.Binomial{N: float64(l.N), P: l.P, Src: rng}.Rand())
}

func (l Binomial) up(k int) float64 { return float64(l.N-k) / float64(k+1) * (l.P / (1 - l.P)) }
func (l Binomial) top() int         { return l.N }
func (l Binomial) unimodal() bool   { return true }
