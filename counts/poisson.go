package counts

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"
)

// Poisson is the law of a count of particles that arrive independently, Mu on
// average in a sample (Mu >= 0):
//
//	P(x) = e^-Mu Mu^x / x!
//
// The zero value counts nothing.
type Poisson struct{ Mu float64 }

// LogProb returns ln P(X = x).
func (l Poisson) LogProb(x int) float64 {
	switch {
	case x < 0 || (l.Mu == 0 && x > 0):
		return math.Inf(-1)
	case x == 0:
		return -l.Mu
	}
	f := float64(x)
	return -stirlingError(f) - deviance(f, l.Mu) - lnSqrt2Pi - 0.5*math.Log(f)
}

// CDF returns P(X <= x).
func (l Poisson) CDF(x int) float64 { return cdf(l, x) }

// Survival returns P(X > x).
func (l Poisson) Survival(x int) float64 { return survival(l, x) }

// Mean returns Mu.
func (l Poisson) Mean() float64 { return l.Mu }

// Variance returns Mu.
func (l Poisson) Variance() float64 { return l.Mu }

// Rand draws a count.
func (l Poisson) Rand(rng *rand.Rand) int {
	if l.Mu == 0 {
		return 0
	}
	return int(distuv.Poisson{Lambda: l.Mu, Src: rng}.Rand())
}

func (l Poisson) up(k int) float64 { return l.Mu / float64(k+1) }
func (l Poisson) top() int         { return math.MaxInt }
func (l Poisson) unimodal() bool   { return true }
