package counts

import (
	"fmt"
	"math"
)

// Lows is the law of low and good samples of a sound run as a two-state chain:
// AfterGood = P(low | the sample before was good), AfterLow = P(low | it was
// low), both in [0, 1]. Equal values mean independent samples. An alarm that
// takes lows for independent when they cling together can sound 10^5 times too
// often, so both are to be estimated, never their mean alone.
// The zero value is a run that is never low.
type Lows struct{ AfterGood, AfterLow float64 }

// Independent returns lows of probability q, independent of each other.
func Independent(q float64) Lows { return Lows{q, q} }

// Stationary returns the long-run share of low samples, a/(1+a-b).
func (l Lows) Stationary() float64 {
	if l.AfterGood == 0 {
		return 0
	}
	return l.AfterGood / (l.AfterGood + (1 - l.AfterLow))
}

// Correlation returns the correlation of one sample's lowness with the next's.
func (l Lows) Correlation() float64 { return l.AfterLow - l.AfterGood }

// RunLength returns the law of the sample at which d lows in a row are first
// complete, counted from a good sample. It panics unless d >= 1 and both
// probabilities are in [0, 1].
func (l Lows) RunLength(d int) RunLength {
	if d < 1 || !(l.AfterGood >= 0 && l.AfterGood <= 1 && l.AfterLow >= 0 && l.AfterLow <= 1) {
		panic(fmt.Sprintf("counts: no run-length law for %d lows of probability %g and %g", d, l.AfterGood, l.AfterLow))
	}
	return RunLength{l, d}
}

// RunLength is the law of the number N of samples until D lows in a row are
// first complete (Feller 1968, vol. 1, XIII.7, and for clinging lows by
// first-step analysis). Make it with [Lows.RunLength].
type RunLength struct {
	Lows Lows
	D    int
}

// MeanRunLength returns the mean number of samples until d low samples in a
// row are first complete, when each sample is low with probability q,
// independently of the others (Feller 1968, vol. 1, XIII.7):
//
//	E N = (1 - q^d) / ((1-q) q^d) = q^-1 + q^-2 + ... + q^-d
//
// It is +Inf for q = 0. The same sum is the delay once a run has failed, with q
// the probability that a sample of the failed run is low.
// It panics unless 0 <= q <= 1 and d >= 1.
func MeanRunLength(q float64, d int) float64 { return Independent(q).RunLength(d).Mean() }

// Mean returns E N in samples; +Inf if the lows never come.
func (r RunLength) Mean() float64 {
	m, _ := r.moments()
	return m
}

// Variance returns the variance of N in samples squared.
func (r RunLength) Variance() float64 {
	_, v := r.moments()
	return v
}

// moments builds d lows from d-1: a geometric number of tries, each of which
// takes a run of d-1 and one sample more. Every term is positive; the closed
// form cancels as q nears 1.
func (r RunLength) moments() (mean, variance float64) {
	a, b := r.Lows.AfterGood, r.Lows.AfterLow
	if a == 0 || (b == 0 && r.D > 1) {
		return math.Inf(1), math.Inf(1)
	}
	mean, variance = 1/a, (1-a)/(a*a)
	for range r.D - 1 {
		m := mean + 1
		mean, variance = m/b, variance/b+(1-b)/b*m/b*m
	}
	return mean, variance
}

// OnsetRate returns the long-run number of alarm onsets a sample: a good sample
// followed by D lows; an alarm that stays until the next good sample is one.
// This, not 1/E N, is the figure to hold against a budget of false alarms.
func (r RunLength) OnsetRate() float64 { return (1 - r.Lows.Stationary()) * r.attempt() }

// attempt is P(D lows follow a good sample).
func (r RunLength) attempt() float64 {
	return r.Lows.AfterGood * math.Pow(r.Lows.AfterLow, float64(r.D-1))
}

// ExpectedOnsets returns the mean number of onsets in n samples of a log that
// starts anywhere: one more than the long-run rate gives can be under way at
// the start.
func (r RunLength) ExpectedOnsets(n int) float64 {
	if n < r.D {
		return 0
	}
	q := r.Lows.Stationary()
	return q*math.Pow(r.Lows.AfterLow, float64(r.D-1)) + float64(n-r.D)*r.OnsetRate()
}

// CDF returns P(N <= n). It costs n D steps.
func (r RunLength) CDF(n int) float64 {
	var sum float64
	w := r.walk(n)
	for k := r.D; k <= n; k++ {
		sum += w[k-r.D] * r.attempt()
	}
	return math.Min(sum, 1)
}

// Prob returns P(N = n).
func (r RunLength) Prob(n int) float64 {
	if n < r.D {
		return 0
	}
	return r.walk(n - r.D)[n-r.D] * r.attempt()
}

// Survival returns P(N > n), a sum of positive terms: no digits are lost where
// it is small.
func (r RunLength) Survival(n int) float64 {
	if n < 0 {
		return 1
	}
	w := r.walk(n)
	sum, spell := w[n], r.Lows.AfterGood
	for j := 1; j < r.D && j <= n; j++ {
		sum += w[n-j] * spell
		spell *= r.Lows.AfterLow
	}
	return math.Min(sum, 1)
}

// walk returns, for k = 0..n, P(no alarm within k samples and sample k good).
func (r RunLength) walk(n int) []float64 {
	a, b := r.Lows.AfterGood, r.Lows.AfterLow
	w := make([]float64, max(n, 0)+1)
	w[0] = 1
	for k := 1; k <= n; k++ {
		w[k] = w[k-1] * (1 - a)
		spell := a * (1 - b)
		for j := 1; j < r.D && j < k; j++ {
			w[k] += w[k-1-j] * spell
			spell *= b
		}
	}
	return w
}

// Tail returns root and factor of P(N > n) ~ factor root^-(n+1) for large n,
// where root is the smallest s > 1 with
//
//	(1-s)(1-(b-a)s) + a (1-b) b^(D-1) s^(D+1) = 0
//
// (for independent lows Feller's 1 - s + p q^D s^(D+1) = 0).
func (r RunLength) Tail() (root, factor float64) {
	a, b, d := r.Lows.AfterGood, r.Lows.AfterLow, float64(r.D)
	c := (1 - b) * r.attempt()
	s := 1.0
	for range 10000 {
		next := 1 + c*math.Pow(s, d+1)/(1-(b-a)*s)
		if math.Abs(next-s) <= 1e-16*s {
			break
		}
		s = next
	}
	slope := 2*(b-a)*s - (1 + b - a) + (d+1)*c*math.Pow(s, d)
	return s, -((1 - b*s) + a*s*(1-math.Pow(b*s, d-1))) / slope
}

// LargestQ returns the largest probability of a low sample at which d lows in a
// row come on no more often than onsetsPerSample: the solution of
// (1-q) q^d = onsetsPerSample with q <= d/(d+1). It is 1 when the budget is
// more than any q can spend. It panics unless d >= 1.
func LargestQ(onsetsPerSample float64, d int) float64 {
	if d < 1 {
		panic(fmt.Sprintf("counts: no budget for %d lows in a row", d))
	}
	lo, hi := 0.0, float64(d)/float64(d+1)
	if Independent(hi).RunLength(d).OnsetRate() <= onsetsPerSample {
		return 1
	}
	for mid := hi / 2; lo < mid && mid < hi; mid = (lo + hi) / 2 {
		if Independent(mid).RunLength(d).OnsetRate() <= onsetsPerSample {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}
