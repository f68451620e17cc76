package counts

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"
)

// NegativeBinomial is a Poisson count whose mean itself wavers as a gamma
// variable of mean Mu >= 0 and shape Theta > 0:
//
//	P(x) = G(x+Theta)/(G(Theta) x!) (Theta/(Theta+Mu))^Theta (Mu/(Theta+Mu))^x
//	variance = Mu + Mu^2/Theta
//
// 1/Theta is the squared coefficient of variation of the mean. Theta = +Inf is
// the Poisson law.
type NegativeBinomial struct{ Mu, Theta float64 }

// LogProb returns ln P(X = x).
func (l NegativeBinomial) LogProb(x int) float64 {
	switch {
	case math.IsInf(l.Theta, 1):
		return Poisson{l.Mu}.LogProb(x)
	case x < 0 || (l.Mu == 0 && x > 0):
		return math.Inf(-1)
	case x == 0:
		return -l.Theta * math.Log1p(l.Mu/l.Theta)
	}
	// Theta/(x+Theta) times a binomial term of Theta successes in x+Theta
	// (as in the C library of R, dnbinom).
	n := float64(x) + l.Theta
	s := l.Theta + l.Mu
	return math.Log(l.Theta/n) + logBinomialTerm(float64(x), n, l.Mu/s, l.Theta/s)
}

// CDF returns P(X <= x).
func (l NegativeBinomial) CDF(x int) float64 { return cdf(l, x) }

// Survival returns P(X > x).
func (l NegativeBinomial) Survival(x int) float64 { return survival(l, x) }

// Mean returns Mu.
func (l NegativeBinomial) Mean() float64 { return l.Mu }

// Variance returns Mu + Mu^2/Theta.
func (l NegativeBinomial) Variance() float64 { return l.Mu + l.Mu*l.Mu/l.Theta }

// Rand draws a count.
func (l NegativeBinomial) Rand(rng *rand.Rand) int {
	if math.IsInf(l.Theta, 1) || l.Mu == 0 {
		return Poisson{l.Mu}.Rand(rng)
	}
	mu := distuv.Gamma{Alpha: l.Theta, Beta: l.Theta / l.Mu, Src: rng}.Rand()
	return Poisson{mu}.Rand(rng)
}

func (l NegativeBinomial) up(k int) float64 {
	if math.IsInf(l.Theta, 1) {
		return Poisson{l.Mu}.up(k)
	}
	return (float64(k) + l.Theta) / float64(k+1) * (l.Mu / (l.Theta + l.Mu))
}
func (l NegativeBinomial) top() int       { return math.MaxInt }
func (l NegativeBinomial) unimodal() bool { return true }
