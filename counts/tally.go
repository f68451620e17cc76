package counts

import "math"

// tally holds, for k = 0, 1, ..., how many of some counts exceed k. The sums
// of ln Gamma in every likelihood here become sums over k of tally[k] times a
// logarithm, so a fit costs the largest count, not the number of samples, and
// its derivatives are fractions: no digamma, and the plain law (no
// over-dispersion) is an ordinary point instead of a limit at infinity.
type tally []float64

// tallyOf counts, for each k, the xs above k.
func tallyOf(xs []int) tally {
	var top int
	for _, x := range xs {
		top = max(top, x)
	}
	t := make(tally, top)
	for _, x := range xs {
		if x > 0 {
			t[x-1]++
		}
	}
	for k := top - 2; k >= 0; k-- {
		t[k] += t[k+1]
	}
	return t
}

// sum returns the sum of the counts.
func (t tally) sum() float64 {
	var s float64
	for _, c := range t {
		s += c
	}
	return s
}

// logFactorials returns the sum of ln x! over the counts.
func (t tally) logFactorials() float64 {
	var s float64
	for k, c := range t {
		s += c * math.Log(float64(k+1))
	}
	return s
}
