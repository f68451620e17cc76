package counts

import (
	"fmt"
	"math"
)

// SharesFit is the law of all runs' shares of one head's flow.
type SharesFit struct {
	// Shares are the mean shares, adding up to 1; Phi = 1/A, where A is the
	// Dirichlet concentration. 0 is the multinomial law.
	Shares []float64
	Phi    float64
	// SEShares and SEPhi are standard errors from the observed information.
	SEShares []float64
	SEPhi    float64
	// LogLikelihood of the counts given the totals.
	LogLikelihood float64
	Samples       int
	// Underdispersed says that the counts are spread no more than the
	// multinomial law; Phi and SEPhi are then 0.
	Underdispersed bool

	slopes []float64 // d Shares/d Phi along the likelihood's ridge
}

// Margin returns the law of run i's count in a sample whose head counts n.
func (f SharesFit) Margin(i, n int) Law {
	return ShareFit{Share: f.Shares[i], Phi: f.Phi}.At(n)
}

// FitShares returns the maximum-likelihood Dirichlet-multinomial law of a
// head's counts, runs[i][t] for run i in sample t; the totals may differ from
// sample to sample. It starts from the moments and climbs by Newton steps in
// (shares, Phi), where the plain multinomial is the point Phi = 0; if the
// likelihood falls from there the fit stays there (Underdispersed).
//
// A run that never counts has share 0. The fit fails if the columns differ in
// length, a count is negative, or no particle was counted.
func FitShares(runs [][]int) (SharesFit, error) {
	h, err := newHeadTally(runs)
	if err != nil {
		return SharesFit{}, err
	}
	at := sharePoint{h.pooled(), 0}
	under := h.derivatives(at).phi <= 0
	if !under {
		at = h.climb(sharePoint{at.p, math.Max(h.momentPhi(runs), 1e-9)})
	}
	d := h.derivatives(at)
	fit := SharesFit{
		Shares: at.p, Phi: at.phi, LogLikelihood: h.logLikelihood(at) + h.logWays(),
		Samples: h.samples, Underdispersed: under, SEShares: make([]float64, len(at.p)), slopes: make([]float64, len(at.p)),
	}
	var varPhi float64
	if !under {
		varPhi = 1 / d.information()
		fit.SEPhi = math.Sqrt(varPhi)
	}
	for i := range at.p {
		if d.dd[i] > 0 {
			fit.slopes[i] = -(d.cross[i] - d.meanOf(d.cross)) / d.dd[i]
			own := 1/d.dd[i] - 1/(d.dd[i]*d.dd[i]*d.sumInverse())
			fit.SEShares[i] = math.Sqrt(math.Max(own, 0) + fit.slopes[i]*fit.slopes[i]*varPhi)
		}
	}
	return fit, nil
}

// headTally is all that the likelihood needs of a head's counts.
type headTally struct {
	parts   []tally
	total   tally
	samples int
}

func newHeadTally(runs [][]int) (headTally, error) {
	if len(runs) == 0 {
		return headTally{}, fmt.Errorf("counts: no runs to share among")
	}
	totals := make([]int, len(runs[0]))
	h := headTally{parts: make([]tally, len(runs))}
	for i, xs := range runs {
		if len(xs) != len(totals) {
			return h, fmt.Errorf("counts: run %d has %d samples, run 1 has %d", i+1, len(xs), len(totals))
		}
		for t, x := range xs {
			if x < 0 {
				return h, fmt.Errorf("counts: negative count %d of run %d in sample %d", x, i+1, t+1)
			}
			totals[t] += x
		}
		h.parts[i] = tallyOf(xs)
	}
	h.total = tallyOf(totals)
	if len(h.total) == 0 {
		return h, fmt.Errorf("counts: no particles to share")
	}
	h.samples = int(h.total[0]) // samples with a total above 0
	return h, nil
}

func (h headTally) pooled() []float64 {
	p := make([]float64, len(h.parts))
	all := h.total.sum()
	for i, t := range h.parts {
		p[i] = t.sum() / all
	}
	return p
}

// logWays is the multinomial coefficients' part of the log likelihood.
func (h headTally) logWays() float64 {
	s := h.total.logFactorials()
	for _, t := range h.parts {
		s -= t.logFactorials()
	}
	return s
}

func (h headTally) momentPhi(runs [][]int) float64 { return momentPhi(runs, h.pooled()) }

// MomentsShares returns the shares and Phi that match the counts' spread about
// the pooled shares: per sample, the sum over runs of (x - n p)^2/(n p) has
// the mean (K-1)(1 + (n-1) rho), K runs, rho = Phi/(1+Phi); the divisor is
// (T-1)(K-1) because the shares are estimated too. Phi is 0 if the spread is
// no more than multinomial. The argument is that of FitShares.
func MomentsShares(runs [][]int) (shares []float64, phi float64, err error) {
	h, err := newHeadTally(runs)
	if err != nil {
		return nil, 0, err
	}
	return h.pooled(), h.momentPhi(runs), nil
}

func momentPhi(runs [][]int, p []float64) float64 {
	var x2, pairs, samples, kinds float64
	for _, share := range p {
		if share > 0 {
			kinds++
		}
	}
	for t := range runs[0] {
		var n float64
		for _, xs := range runs {
			n += float64(xs[t])
		}
		if n == 0 {
			continue
		}
		samples++
		pairs += n - 1
		for i, xs := range runs {
			if p[i] > 0 {
				d := float64(xs[t]) - n*p[i]
				x2 += d * d / (n * p[i])
			}
		}
	}
	if samples < 2 || kinds < 2 {
		return 0
	}
	return phiOf((x2*samples/((samples-1)*(kinds-1)) - samples) / pairs)
}
