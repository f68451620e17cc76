package counts

import "math"

// The saddle-point form of the binomial and Poisson probabilities (Loader
// 2000, "Fast and accurate computation of binomial probabilities") keeps all
// digits at counts of a million, where differences of ln Gamma lose six.

var lnSqrt2Pi = 0.5 * math.Log(2*math.Pi)

// stirlingError returns ln Gamma(n+1) - [(n+1/2) ln n - n + ln sqrt(2 pi)] for n > 0.
func stirlingError(n float64) float64 {
	if n < 16 {
		lg, _ := math.Lgamma(n + 1)
		return lg - (n+0.5)*math.Log(n) + n - lnSqrt2Pi
	}
	n2 := n * n
	return (1./12 - (1./360-(1./1260-(1./1680-1./1188/n2)/n2)/n2)/n2) / n
}

// deviance returns x ln(x/m) + m - x for x > 0, m > 0, without cancellation
// when x is near m.
func deviance(x, m float64) float64 {
	if math.Abs(x-m) >= 0.1*(x+m) {
		return x*math.Log(x/m) + m - x
	}
	v := (x - m) / (x + m)
	sum := (x - m) * v
	term := 2 * x * v
	for j := 1; j < 20; j++ { // |v| < 0.1: eight terms do
		term *= v * v
		next := sum + term/float64(2*j+1)
		if next == sum {
			break
		}
		sum = next
	}
	return sum
}

// logBinomialTerm returns ln[Gamma(n+1)/(Gamma(x+1) Gamma(n-x+1)) p^x q^(n-x)]
// for real 0 <= x <= n and p + q = 1, both given so that neither is rounded away.
func logBinomialTerm(x, n, p, q float64) float64 {
	switch {
	case x < 0 || x > n:
		return math.Inf(-1)
	case x == 0:
		return n * logOneMinus(p, q)
	case x == n:
		return n * logOneMinus(q, p)
	case p == 0 || q == 0:
		return math.Inf(-1)
	}
	y := n - x
	lc := stirlingError(n) - stirlingError(x) - stirlingError(y) - deviance(x, n*p) - deviance(y, n*q)
	return lc - lnSqrt2Pi + 0.5*(math.Log(n/x)-math.Log(y))
}

// logOneMinus returns ln(1-p) where q = 1-p; n times it is 0 for n = 0 and p = 1
// only if kept finite, hence the guard in the callers' supports.
func logOneMinus(p, q float64) float64 {
	if p < 0.5 {
		return math.Log1p(-p)
	}
	return math.Log(q)
}
