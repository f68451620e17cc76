package evenness

import (
	"math"

	"gonum.org/v1/gonum/stat"
)

// CV is the coefficient of variation s/mean of a sample, s with n - 1. It is
// NaN for fewer than two values, or a mean that is not above 0.
func CV(x []float64) float64 {
	mean, sd := stat.MeanStdDev(x, nil)
	if len(x) < 2 || !(mean > 0) {
		return math.NaN()
	}
	return sd / mean
}

// OneBlocked is the CV of n runs of which one is blocked and the rest are equal:
//
//	sqrt(n) / (n - 1)
//
// with s of n - 1 and the mean over all n; exact. A drill of 60 runs with a dead
// one shows 13.1 % and would pass a limit of 15 %: evenness is no blockage test.
func OneBlocked(n int) float64 { return math.Sqrt(float64(n)) / float64(n-1) }

// TwoDivisions is the CV after two independent random divisions in a row, as
// from the main manifold over heads (a) and from a head over its outlets (b):
//
//	sqrt(a^2 + b^2 + a^2 b^2)
func TwoDivisions(a, b float64) float64 { return math.Sqrt(a*a + b*b + a*a*b*b) }

// Floor is the CV that chance alone gives when each run gets so many particles
// on average: 1/sqrt(n), for particles that come independently (Poisson).
// Particles that come in gusts have a higher one. It is +Inf for n = 0.
func Floor(particles float64) float64 { return 1 / math.Sqrt(particles) }

// Rise is the factor by which the other runs of a head of n open outlets get
// more when one of them blocks: n/(n - 1). It is +Inf for n = 1: there is no
// other run.
func Rise(n int) float64 { return float64(n) / float64(n-1) }
