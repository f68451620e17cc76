package counts

import (
	"math"
	"math/rand/v2"
)

// Law is the law of a count in one sample. All laws here live on the whole
// numbers from 0; probabilities outside the support are 0 (LogProb -Inf).
type Law interface {
	// LogProb returns ln P(X = x).
	LogProb(x int) float64
	// CDF returns P(X <= x), with full relative accuracy in the lower tail.
	CDF(x int) float64
	// Survival returns P(X > x), with full relative accuracy in the upper tail.
	Survival(x int) float64
	Mean() float64
	Variance() float64
	// Rand draws a count from rng.
	Rand(rng *rand.Rand) int
}

// Prob returns P(X = x).
func Prob(l Law, x int) float64 { return math.Exp(l.LogProb(x)) }

// Fano returns variance/mean: 1 for Poisson counts, more with swirl and
// pulsing, less with dead time. It is NaN when the mean is 0.
func Fano(l Law) float64 { return l.Variance() / l.Mean() }

// stepper is a law whose neighbouring probabilities have a simple ratio, so
// that a tail is one exponential and a sum of positive terms.
type stepper interface {
	Law
	// up returns P(k+1)/P(k).
	up(k int) float64
	// top is the largest count possible.
	top() int
	// unimodal says that terms beyond a negligible one stay negligible.
	unimodal() bool
}

// negligible is the size of a term, relative to the sum, at which a falling
// tail is cut: below half a unit in the last place.
const negligible = 1e-17

// tiniest is the smallest normal number. Below it a term times 0.9 can round
// back to itself for ever.
const tiniest = 0x1p-1022

func cdf(l stepper, x int) float64 {
	switch {
	case x < 0:
		return 0
	case x >= l.top():
		return 1
	case float64(x) < l.Mean():
		return sumDown(l, x)
	}
	return 1 - sumUp(l, x+1)
}

func survival(l stepper, x int) float64 {
	switch {
	case x < 0:
		return 1
	case x >= l.top():
		return 0
	case float64(x) < l.Mean():
		return 1 - sumDown(l, x)
	}
	return sumUp(l, x+1)
}

// sumDown returns P(X <= x) term by term from x to 0.
func sumDown(l stepper, x int) float64 {
	term := Prob(l, x)
	sum := term
	for k := x; k > 0 && term >= tiniest; k-- {
		r := l.up(k - 1)
		term /= r
		sum += term
		if r > 1 && term < negligible*sum && l.unimodal() {
			break
		}
	}
	return math.Min(sum, 1)
}

// sumUp returns P(X >= x) term by term from x.
func sumUp(l stepper, x int) float64 {
	term := Prob(l, x)
	sum := term
	for k := x; k < l.top() && term >= tiniest; k++ {
		r := l.up(k)
		term *= r
		sum += term
		if r < 1 && term < negligible*sum && l.unimodal() {
			break
		}
	}
	return math.Min(sum, 1)
}
