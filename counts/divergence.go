package counts

import "math"

// PoissonDivergence returns the Kullback-Leibler divergence of Poisson counts
// of mean l1 from mean l0, in nats a sample: l1 ln(l1/l0) - l1 + l0. It is what
// one sample of the changed flow tells, on average.
func PoissonDivergence(l1, l0 float64) float64 {
	if l1 == 0 {
		return l0
	}
	return deviance(l1, l0)
}

// BinomialDivergence returns that of a share p1 from p0 among n particles.
func BinomialDivergence(n, p1, p0 float64) float64 {
	return n * (xlog(p1, p0) + xlog(1-p1, 1-p0))
}

// xlog returns x ln(x/y), 0 at x = 0.
func xlog(x, y float64) float64 {
	if x == 0 {
		return 0
	}
	return x * math.Log(x/y)
}

// NegativeBinomialDivergence returns that of mean mu1 from mu0 with equal theta.
func NegativeBinomialDivergence(mu1, mu0, theta float64) float64 {
	if math.IsInf(theta, 1) {
		return PoissonDivergence(mu1, mu0)
	}
	return xlog(mu1, mu0) - xlog(mu1+theta, mu0+theta)
}

// Divergence returns that of any law from another, by summation; +Inf if
// changed can count what sound cannot.
func Divergence(changed, sound Law) float64 {
	var sum float64
	for x := 0; ; x++ {
		lp := changed.LogProb(x)
		p := math.Exp(lp)
		if p > 0 {
			sum += p * (lp - sound.LogProb(x))
		}
		if float64(x) > changed.Mean() && p < 1e-18 {
			return sum
		}
	}
}

// LordenDelay returns ln(falseSamples)/information, the leading term of the
// least worst-case delay, in samples, of any test whose mean time to a false
// alarm is at least falseSamples (Lorden 1971). For small information the exact
// optimum lies up to 30 % below it; see [DiffusionDelay].
func LordenDelay(falseSamples, information float64) float64 {
	return math.Log(falseSamples) / information
}

// DiffusionDelay returns the delay of the best test on a Brownian path of the
// same information: with h the root of e^h - h - 1 = falseSamples information,
// (h - 1 + e^-h)/information. Close for information below about 0.5 nat a
// sample; use [CUSUM] above.
func DiffusionDelay(falseSamples, information float64) float64 {
	y := falseSamples * information
	h := math.Sqrt(2 * y) // not below the root; Newton then descends to it
	if y > 1 {
		h = math.Min(h, 2*math.Log1p(y))
	}
	for range 100 {
		next := h - (math.Expm1(h)-h-y)/math.Expm1(h)
		if !(next < h) {
			break
		}
		h = next
	}
	return (h + math.Expm1(-h)) / information
}
