package counts

import (
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"
)

// DirichletMultinomial is the law of the counts of all runs of a head given
// their total N, when the shares waver as a Dirichlet vector with parameters
// Alpha, all > 0. With A the sum of Alpha, the shares are Alpha/A, every
// margin is BetaBinomial{N, Alpha[i], A-Alpha[i]}, and
//
//	Cov(x_i, x_j) = -N p_i p_j (N+A)/(1+A)
type DirichletMultinomial struct {
	N     int
	Alpha []float64
}

// Concentration returns A, the sum of Alpha: large means steady shares.
func (l DirichletMultinomial) Concentration() float64 {
	var a float64
	for _, v := range l.Alpha {
		a += v
	}
	return a
}

// Margin returns the law of run i alone.
func (l DirichletMultinomial) Margin(i int) BetaBinomial {
	return BetaBinomial{l.N, l.Alpha[i], l.Concentration() - l.Alpha[i]}
}

// LogProb returns ln P(x); -Inf if x does not add up to N. It panics unless x
// has one count for each Alpha.
func (l DirichletMultinomial) LogProb(x []int) float64 {
	if len(x) != len(l.Alpha) {
		panic(fmt.Sprintf("counts: %d counts for %d shares", len(x), len(l.Alpha)))
	}
	// One run after the other given what is left: a product of beta-binomials.
	left, rest, lp := l.N, l.Concentration(), 0.0
	for i, v := range x[:max(len(x)-1, 0)] {
		rest -= l.Alpha[i]
		lp += BetaBinomial{left, l.Alpha[i], rest}.LogProb(v)
		left -= v
		if left < 0 {
			return math.Inf(-1)
		}
	}
	if len(x) > 0 && left != x[len(x)-1] {
		return math.Inf(-1)
	}
	return lp
}

// Mean returns the mean count of run i.
func (l DirichletMultinomial) Mean(i int) float64 { return l.Margin(i).Mean() }

// Covariance returns the covariance of the counts of runs i and j, the
// variance for i = j.
func (l DirichletMultinomial) Covariance(i, j int) float64 {
	if i == j {
		return l.Margin(i).Variance()
	}
	n, a := float64(l.N), l.Concentration()
	return -n * l.Alpha[i] / a * l.Alpha[j] / a * (n + a) / (1 + a)
}

// Rand draws the counts of all runs.
func (l DirichletMultinomial) Rand(rng *rand.Rand) []int {
	weights := make([]float64, len(l.Alpha))
	for i, a := range l.Alpha {
		weights[i] = distuv.Gamma{Alpha: a, Beta: 1, Src: rng}.Rand()
	}
	return Multinomial(l.N, weights, rng)
}

// Multinomial deals n particles to runs whose shares are in the ratio of
// weights (all >= 0, not all 0).
func Multinomial(n int, weights []float64, rng *rand.Rand) []int {
	// Sums from the end, so that rounding never leaves a remainder to share.
	rest := make([]float64, len(weights)+1)
	for i := len(weights) - 1; i >= 0; i-- {
		rest[i] = rest[i+1] + weights[i]
	}
	out := make([]int, len(weights))
	for i, w := range weights {
		if n == 0 {
			break
		}
		if w > 0 {
			out[i] = Binomial{n, w / rest[i]}.Rand(rng)
			n -= out[i]
		}
	}
	return out
}
