package counts

import (
	"fmt"
	"math"
)

// Score is what one sample's count adds to a [CUSUM], in whole steps.
type Score func(x int) int

// LowerScore looks for a fall: km - m x, that is k - x in steps of 1/m with
// k = km/m.
func LowerScore(km, m int) Score { return func(x int) int { return km - m*x } }

// UpperScore looks for a rise: m x - km.
func UpperScore(km, m int) Score { return func(x int) int { return m*x - km } }

// LogLikelihoodScore is the score of the best sequential test of failed against
// sound: m ln[P_failed(x)/P_sound(x)], rounded.
func LogLikelihoodScore(failed, sound Law, m float64) Score {
	return func(x int) int {
		f, s := failed.LogProb(x), sound.LogProb(x)
		const far = 1e6 // as good as certain; keeps -Inf out of the lattice
		switch {
		case math.IsInf(s, -1) && math.IsInf(f, -1):
			return 0
		case math.IsInf(s, -1):
			return far
		case math.IsInf(f, -1):
			return -far
		}
		return int(math.Round(m * (f - s)))
	}
}

// CUSUM is the cumulative sum chart (Page 1954) S <- max(0, S + Score(x)), with
// an alarm when S > Limit (Lucas 1985 says when S >= h: his h is Limit+1).
// Among tests with a given mean time to a false alarm the likelihood-ratio
// CUSUM has the least worst-case delay (Moustakides 1986).
type CUSUM struct {
	Score Score
	Limit int
}

// BestPoissonK returns the reference value k between means l0 and l1 of Poisson
// counts: (l1-l0)/(ln l1 - ln l0).
func BestPoissonK(l0, l1 float64) float64 { return (l1 - l0) / math.Log(l1/l0) }

// BestBinomialK returns the reference value k, a count out of n, between shares
// p1 < p0.
func BestBinomialK(n, p0, p1 float64) float64 {
	return n * math.Log((1-p1)/(1-p0)) / math.Log(p0*(1-p1)/(p1*(1-p0)))
}

// ARL returns the mean number of samples to the alarm when every sample follows
// l and S starts at head (0 <= head <= Limit). The chain of Brook & Evans (1972)
// is exact here, for S is a whole number. It panics for a head out of range.
func (c CUSUM) ARL(l Law, head int) float64 {
	if head < 0 || head > c.Limit {
		panic(fmt.Sprintf("counts: headstart %d outside 0..%d", head, c.Limit))
	}
	n := c.Limit + 1
	p, exit := make([][]float64, n), make([]float64, n)
	for i := range p {
		p[i] = make([]float64, n)
	}
	steps := c.steps(l)
	for i := range p {
		for j, w := range steps { // step j-n: -n stands for all below
			switch to := i + j - n; {
			case to > c.Limit:
				exit[i] += w
			case to < 0:
				p[i][0] += w
			default:
				p[i][to] += w
			}
		}
	}
	return meanAbsorption(p, exit)[head]
}

// steps returns the law of the score, from -n to n with n = Limit+1, scores
// beyond counted at the ends. Summing from the rare ends inward would gain
// nothing: all terms are positive.
func (c CUSUM) steps(l Law) []float64 {
	n := c.Limit + 1
	out := make([]float64, 2*n+1)
	for x := 0; ; x++ {
		w := Prob(l, x)
		out[n+min(max(c.Score(x), -n), n)] += w
		if float64(x) > l.Mean() && w < 1e-300 {
			return out
		}
	}
}

// WithARL returns the chart with the smallest Limit whose mean time to a false
// alarm, starting from 0, is at least arl samples under the sound law. It gives
// up at a Limit of most, and says so.
func (c CUSUM) WithARL(sound Law, arl float64, most int) (chart CUSUM, ok bool) {
	at := func(limit int) bool { return CUSUM{c.Score, limit}.ARL(sound, 0) >= arl }
	hi := 0
	for !at(hi) {
		if hi >= most {
			return CUSUM{c.Score, most}, false
		}
		hi = min(2*hi+1, most)
	}
	lo := hi / 2 // fails, or hi is 0
	for lo < hi {
		if mid := (lo + hi) / 2; at(mid) {
			hi = mid
		} else {
			lo = mid + 1
		}
	}
	return CUSUM{c.Score, hi}, true
}
