package counts

import (
	"fmt"
	"math"
)

// NegativeBinomialFit is a negative binomial law fitted to counts.
type NegativeBinomialFit struct {
	Law NegativeBinomial
	// SEMu and SETheta are standard errors from the observed information;
	// SETheta is +Inf where the law fell back to Poisson.
	SEMu, SETheta float64
	// LogLikelihood of the counts under Law.
	LogLikelihood float64
	Samples       int
	// Underdispersed says that the variance (divisor n) does not exceed the
	// mean: no finite Theta fits better than the Poisson law, and Law.Theta is
	// +Inf.
	Underdispersed bool
}

// FitNegativeBinomial returns the maximum-likelihood law of xs. The mean is
// the sample mean; Theta has a finite root exactly when the variance with
// divisor n exceeds the mean (Anscombe 1950; Levin & Reeds 1977).
// It fails on no counts at all and on negative ones.
func FitNegativeBinomial(xs []int) (NegativeBinomialFit, error) {
	mean, variance, err := moments(xs)
	if err != nil {
		return NegativeBinomialFit{}, err
	}
	n := float64(len(xs))
	fit := NegativeBinomialFit{Samples: len(xs), Law: NegativeBinomial{mean, math.Inf(1)}, SETheta: math.Inf(1)}
	if variance <= mean {
		fit.Underdispersed = true
	} else {
		t := tallyOf(xs)
		phi := positiveRoot(func(phi float64) (float64, float64) { return t.phiScore(phi, mean, n) }, (variance-mean)/(mean*mean))
		_, slope := t.phiScore(phi, mean, n)
		fit.Law.Theta = 1 / phi
		fit.SETheta = 1 / (phi * phi * math.Sqrt(-slope))
	}
	fit.SEMu = math.Sqrt(fit.Law.Variance() / n)
	for _, x := range xs {
		fit.LogLikelihood += fit.Law.LogProb(x)
	}
	return fit, nil
}

// phiScore returns the first and second derivative in phi = 1/theta of the
// negative binomial log likelihood of n counts with mean mu,
//
//	sum_k t[k] ln(1 + k phi) - n (1/phi + mu) ln(1 + mu phi)
func (t tally) phiScore(phi, mu, n float64) (first, second float64) {
	for k, c := range t {
		r := float64(k) / (1 + float64(k)*phi)
		first += c * r
		second -= c * r * r
	}
	u := mu / (1 + mu*phi)
	g, dg := logExcess(mu * phi)
	return first + n*(mu*mu*g-mu*u), second + n*(mu*mu*mu*dg+mu*u*u)
}

// logExcess returns g(y) = [ln(1+y) - y/(1+y)] / y^2 and its derivative, by
// series where the difference would cancel.
func logExcess(y float64) (g, dg float64) {
	if y > 0.01 {
		g = (math.Log1p(y) - y/(1+y)) / (y * y)
		return g, 1/(y*(1+y)*(1+y)) - 2*g/y
	}
	for k := 9; k >= 2; k-- { // (-1)^k (1-1/k) y^(k-2)
		dg = g - y*dg
		g = 1 - 1/float64(k) - y*g
	}
	return g, -dg
}

// positiveRoot finds the positive root of a score that is positive at 0+ and
// negative at large arguments, by Newton steps kept inside a bracket.
func positiveRoot(score func(float64) (first, second float64), start float64) float64 {
	lo, hi := 0.0, math.Inf(1)
	x := start
	for range 200 {
		f, df := score(x)
		if f > 0 {
			lo = x
		} else {
			hi = x
		}
		next := x - f/df
		switch {
		case !(next > lo) && lo > 0, next >= hi, math.IsNaN(next):
			if math.IsInf(hi, 1) {
				next = 2 * x
			} else {
				next = (lo + hi) / 2
			}
		case next <= 0:
			next = (lo + x) / 2
		}
		if math.Abs(next-x) <= 1e-15*x {
			return next
		}
		x = next
	}
	return x
}

// MomentsNegativeBinomial returns the law with the mean and variance (divisor
// n-1) of xs; Theta is +Inf if the variance does not exceed the mean. It fails
// on fewer than two counts and on negative ones.
func MomentsNegativeBinomial(xs []int) (NegativeBinomial, error) {
	mean, variance, err := moments(xs)
	if err != nil {
		return NegativeBinomial{}, err
	}
	n := float64(len(xs))
	if n < 2 {
		return NegativeBinomial{}, fmt.Errorf("counts: a variance needs two counts, got %d", len(xs))
	}
	variance *= n / (n - 1)
	if variance <= mean {
		return NegativeBinomial{mean, math.Inf(1)}, nil
	}
	return NegativeBinomial{mean, mean * mean / (variance - mean)}, nil
}

// moments returns the mean and the variance with divisor n.
func moments(xs []int) (mean, variance float64, err error) {
	if len(xs) == 0 {
		return 0, 0, fmt.Errorf("counts: no counts to fit")
	}
	for _, x := range xs {
		if x < 0 {
			return 0, 0, fmt.Errorf("counts: negative count %d", x)
		}
		mean += float64(x)
	}
	n := float64(len(xs))
	mean /= n
	for _, x := range xs {
		d := float64(x) - mean
		variance += d * d
	}
	return mean, variance / n, nil
}
