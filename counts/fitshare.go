package counts

import (
	"fmt"
	"math"
)

// ShareFit is the law of one run's share of its head's flow, fitted to its
// counts and the head's totals.
type ShareFit struct {
	// Share is the mean share. Phi = 1/(Alpha+Beta) is the over-dispersion:
	// the share's own variance is Share (1-Share) Phi/(1+Phi), beyond what
	// counting alone makes. 0 is the binomial law.
	Share, Phi float64
	// SEShare and SEPhi are standard errors from the observed information.
	SEShare, SEPhi float64
	// LogLikelihood of the counts given the totals.
	LogLikelihood float64
	Samples       int
	// Underdispersed says that the counts are spread no more than the binomial
	// law; Phi and SEPhi are then 0.
	Underdispersed bool

	covariance float64 // of Share and Phi
}

// At returns the law of the run's count in a sample whose head counts n.
func (f ShareFit) At(n int) Law {
	if f.Phi == 0 || f.Share <= 0 || f.Share >= 1 {
		return Binomial{n, f.Share}
	}
	return BetaBinomial{n, f.Share / f.Phi, (1 - f.Share) / f.Phi}
}

// Alpha returns the beta law's first parameter and its standard error, both
// +Inf where the fit fell back to the binomial law.
func (f ShareFit) Alpha() (alpha, se float64) { return f.parameter(f.Share, f.covariance) }

// Beta returns the beta law's second parameter and its standard error.
func (f ShareFit) Beta() (beta, se float64) { return f.parameter(1-f.Share, -f.covariance) }

func (f ShareFit) parameter(share, covariance float64) (value, se float64) {
	value = share / f.Phi
	v := f.SEShare*f.SEShare - 2*value*covariance + value*value*f.SEPhi*f.SEPhi
	return value, math.Sqrt(v) / f.Phi
}

// Rho returns the correlation of two particles' fates, Phi/(1+Phi).
func (f ShareFit) Rho() float64 { return f.Phi / (1 + f.Phi) }

// FitShare returns the maximum-likelihood beta-binomial law of xs[t] particles
// out of totals[t]; the totals may differ from sample to sample. Samples with a
// total of 0 say nothing and are passed over. It fails if there is no other
// sample, if the lengths differ, or if a count is negative or above its total.
func FitShare(xs, totals []int) (ShareFit, error) {
	if len(xs) != len(totals) {
		return ShareFit{}, fmt.Errorf("counts: %d counts for %d totals", len(xs), len(totals))
	}
	rest := make([]int, len(xs))
	for t, x := range xs {
		if x < 0 || x > totals[t] {
			return ShareFit{}, fmt.Errorf("counts: count %d of a total of %d in sample %d", x, totals[t], t+1)
		}
		rest[t] = totals[t] - x
	}
	f, err := FitShares([][]int{xs, rest})
	if err != nil {
		return ShareFit{}, err
	}
	return ShareFit{
		Share: f.Shares[0], Phi: f.Phi, SEShare: f.SEShares[0], SEPhi: f.SEPhi,
		LogLikelihood: f.LogLikelihood, Samples: f.Samples, Underdispersed: f.Underdispersed,
		covariance: f.slopes[0] * f.SEPhi * f.SEPhi,
	}, nil
}

// MomentsShare returns the share and Phi that match the mean and the spread of
// xs about it; for equal totals these are the raw-moment estimates of
// beta-binomial textbooks (divisor n). Phi is 0 if the counts are spread no
// more than binomial ones. The arguments are those of FitShare.
func MomentsShare(xs, totals []int) (share, phi float64, err error) {
	if len(xs) != len(totals) {
		return 0, 0, fmt.Errorf("counts: %d counts for %d totals", len(xs), len(totals))
	}
	var x, n float64
	for t := range xs {
		x += float64(xs[t])
		n += float64(totals[t])
	}
	if n == 0 {
		return 0, 0, fmt.Errorf("counts: no particles to share")
	}
	share = x / n
	var excess, pairs float64
	for t := range xs {
		if nt := float64(totals[t]); nt > 0 && share > 0 && share < 1 {
			d := float64(xs[t]) - nt*share
			excess += d*d/(nt*share*(1-share)) - 1
			pairs += nt - 1
		}
	}
	return share, phiOf(excess / pairs), nil
}

// phiOf turns the correlation rho = phi/(1+phi) into phi, 0 if not positive.
func phiOf(rho float64) float64 {
	if !(rho > 0) {
		return 0
	}
	return rho / math.Max(1-rho, 1e-6)
}
