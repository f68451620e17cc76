package alarm

import (
	"math"
	"slices"

	"runproof/counts"
	"runproof/drill"
)

// wavering is how the runs' shares of one product waver, as relative standard
// deviations: swirl with its lag-one correlation, and slow drift.
type wavering struct {
	swirlSD, swirlRho float64
	driftSD           float64
}

// runLaw is one run's fitted law.
type runLaw struct {
	id      drill.RunID
	fit     counts.ShareFit
	white   float64 // relative variance of the share in one sample, given swirl and drift
	waver   wavering
	totals  []int     // totals that the baseline shows, a few of equal weight
	means   []float64 // the same without their own counting noise
	squares float64   // sum of the squared shares of the head's runs
}

// driftLagsS are the lags, seconds, at which drift is read off: by four seconds
// swirl has died away.
var driftLagsS = [...]float64{4, 6, 9, 14, 25, 50, 100, 180}

// waver finds swirl and drift of the product from the autocovariance of its
// runs' relative residuals e = (x - p n)/(p n), weighted by p n so that all
// runs speak with the weight of their counts.
func waver(heads []headData, shares map[drill.RunID]float64, dt float64) wavering {
	lags := []int{1, 2}
	for _, s := range driftLagsS {
		lags = append(lags, max(3, int(math.Round(s/dt))))
	}
	cov := make([]covariance, len(lags))
	spanS := 0.0
	for _, h := range heads {
		spanS = max(spanS, float64(h.rows[len(h.rows)-1]-h.rows[0])*dt)
		for r, id := range h.runs {
			e, w := residuals(h, r, shares[id])
			for a, k := range lags {
				cov[a].add(e, w, h, k)
			}
		}
	}
	near := max(0, (cov[2].value()+cov[3].value()+cov[4].value())/3)
	out := wavering{driftSD: math.Sqrt(driftVariance(cov[2:], spanS))}
	c1, c2 := cov[0].value()-near, cov[1].value()-near
	if c1 > 4*cov[0].se() {
		out.swirlRho = min(0.95, max(0.1, c2/c1))
		out.swirlSD = math.Sqrt(c1 / out.swirlRho)
	}
	return out
}

// driftVariance is the variance of a share about its true long-run value, as
// the coming days will show it against the share fitted here: drift itself and
// the error that it leaves in the fitted share. With an Ornstein-Uhlenbeck
// drift of variance v and time tau seen over a span T, the mean of the span has
// variance v b, b = 2 tau/T (1 - tau/T (1 - exp(-T/tau))), and the covariance
// about that mean is v (exp(-lag/tau) - b): v and tau are fitted to it.
func driftVariance(cov []covariance, spanS float64) float64 {
	best, out := math.Inf(1), 0.0
	for tau := 30.0; tau <= min(400, spanS/3); tau *= 1.25 {
		b := 2 * tau / spanS * (1 - tau/spanS*(1-math.Exp(-spanS/tau)))
		num, den := 0.0, 0.0
		for k, c := range cov {
			h := math.Exp(-driftLagsS[k]/tau) - b
			num, den = num+c.weight*h*c.value(), den+c.weight*h*h
		}
		if den == 0 {
			continue
		}
		v, miss := max(0, num/den), 0.0
		for k, c := range cov {
			d := c.value() - v*(math.Exp(-driftLagsS[k]/tau)-b)
			miss += c.weight * d * d
		}
		if miss < best {
			best, out = miss, v*(1+b)
		}
	}
	if math.IsInf(best, 1) { // a recording too short to see drift at all
		return max(0, cov[0].value())
	}
	return out
}

// residuals are the relative residuals of a run and their weight.
func residuals(h headData, r int, share float64) (e []float64, w float64) {
	e = make([]float64, len(h.totals))
	sum := 0.0
	for i, n := range h.totals {
		if want := share * float64(n); want > 0 {
			e[i] = (float64(h.xs[r][i]) - want) / want
			sum += want
		}
	}
	return e, sum / float64(len(e))
}

// covariance of neighbours at one lag.
type covariance struct{ sum, square, weight, n float64 }

func (c *covariance) add(e []float64, w float64, h headData, lag int) {
	for i := lag; i < len(e); i++ {
		if h.stretch[i] == h.stretch[i-lag] {
			p := e[i] * e[i-lag]
			c.sum, c.weight = c.sum+w*p, c.weight+w
			c.square, c.n = c.square+p*p*w*w, c.n+1
		}
	}
}

func (c *covariance) value() float64 {
	if c.weight == 0 {
		return 0
	}
	return c.sum / c.weight
}

// se is the standard error of value when neighbours are independent.
func (c *covariance) se() float64 {
	if c.weight == 0 {
		return math.Inf(1)
	}
	return math.Sqrt(c.square) / c.weight
}

// fitProduct fits every run of the product's heads.
func fitProduct(heads []headData, dt float64) []runLaw {
	shares := map[drill.RunID]float64{}
	fits := map[drill.RunID]counts.ShareFit{}
	for _, h := range heads {
		for r, id := range h.runs {
			f, err := counts.FitShare(h.xs[r], h.totals)
			if err != nil || f.Share == 0 {
				continue // a run that never counted; told elsewhere
			}
			fits[id], shares[id] = f, f.Share
		}
	}
	w := waver(heads, shares, dt)
	var out []runLaw
	for _, h := range heads {
		totals, squares := typicalTotals(h.totals), 0.0
		for _, id := range h.runs {
			squares += shares[id] * shares[id]
		}
		for _, id := range h.runs {
			if f, ok := fits[id]; ok {
				l := newRunLaw(id, f, w, totals)
				l.squares, l.means = squares, meansOf(h.totals, totals, l.white*squares)
				out = append(out, l)
			}
		}
	}
	return out
}

// newRunLaw takes swirl and drift out of the run's over-dispersion: what is
// left is white.
func newRunLaw(id drill.RunID, f counts.ShareFit, w wavering, totals []int) runLaw {
	all := relativeVariance(f.Share, f.Phi)
	white := max(0, all-w.swirlSD*w.swirlSD-w.driftSD*w.driftSD)
	return runLaw{id: id, fit: f, waver: w, white: white, totals: totals}
}

// relativeVariance of a beta share with over-dispersion phi: (1-p)/p phi/(1+phi).
func relativeVariance(p, phi float64) float64 { return (1 - p) / p * phi / (1 + phi) }

// typicalTotals are the middles of sixteen equal parts of the sorted totals.
func typicalTotals(totals []int) []int {
	s := slices.Clone(totals)
	slices.Sort(s)
	const parts = 16
	var out []int
	for k := range parts {
		out = append(out, s[(2*k+1)*len(s)/(2*parts)])
	}
	return out
}

// lowAt is the chance that the run's count is below floor x share x total when
// its share is what factor makes of the usual one.
func (l *runLaw) lowAt(limit, factor float64) float64 {
	p := min(0.999999, l.fit.Share*factor)
	sum := 0.0
	for _, n := range l.totals {
		below := counts.LargestBelow(limit * l.fit.Share * float64(n))
		sum += countLaw(n, p, l.white).CDF(below)
	}
	return sum / float64(len(l.totals))
}

// alone says that the run is the only one on its head: its share is always the
// whole, and the rule cannot see it.
func (l *runLaw) alone() bool { return l.fit.Share > 1-1e-9 }

// meansOf draws the typical totals together by what counting itself spreads
// them: variance n + spread n^2 of a total with mean n.
func meansOf(all, typical []int, spread float64) []float64 {
	n := meanInt(all)
	v := 0.0
	for _, x := range all {
		v += (float64(x) - n) * (float64(x) - n)
	}
	v /= math.Max(1, float64(len(all)-1))
	keep := 0.0
	if v > 0 {
		keep = math.Sqrt(max(0, 1-(n+spread*n*n)/v))
	}
	out := make([]float64, len(typical))
	for i, x := range typical {
		out[i] = max(0, n+(float64(x)-n)*keep)
	}
	return out
}

// lowFailed is the chance that the run's count x is below the limit when a
// fault leaves it that share of its head. The run and its siblings y are
// independent given the head's mean m, each with the relative variance white
// per run, and x < limit p (x+y) when y > x/(limit p) - x; y is summed over so
// many that it is nearly normal.
func (l *runLaw) lowFailed(limit, share float64) float64 {
	if l.alone() {
		return 0
	}
	sum := 0.0
	rest := max(0, l.squares-l.fit.Share*l.fit.Share) / math.Pow(1-l.fit.Share, 2)
	for _, m := range l.means {
		y := m * (1 - share)
		sd := math.Sqrt(y + l.white*rest*y*y)
		sum += lowAgainst(runCount(m*share, l.white), 1/(limit*l.fit.Share)-1, y, sd)
	}
	return min(1, sum/float64(len(l.means)))
}

// runCount is the law of one run's count by itself.
func runCount(mean, white float64) counts.Law {
	if white < 1e-9 {
		return counts.Poisson{Mu: mean}
	}
	return counts.NegativeBinomial{Mu: mean, Theta: 1 / white}
}

// lowAgainst is P(Y > x odds) over the law of x, Y normal with continuity.
func lowAgainst(law counts.Law, odds, mean, sd float64) float64 {
	if sd == 0 {
		return 0
	}
	q, seen := 0.0, 0.0
	for x := 0; seen < 1-1e-9 && x < 100000; x++ {
		p := counts.Prob(law, x)
		seen += p
		above := math.Floor(float64(x)*odds+1e-9) + 0.5
		tail := 0.5 * math.Erfc((above-mean)/(sd*math.Sqrt2))
		q += p * tail
		if float64(x) > law.Mean() && tail < 1e-12 {
			break
		}
	}
	return q
}

// countLaw is the law of a count out of n at share p whose relative variance
// beyond counting is white. That variance belongs to the flow (swirling air,
// flutes), so it stays when a fault halves the share; a constant phi would
// double it.
func countLaw(n int, p, white float64) counts.Law {
	rho := min(0.99, white*p/(1-p))
	if rho < 1e-9 {
		return counts.Binomial{N: n, P: p}
	}
	sum := (1 - rho) / rho // alpha + beta
	return counts.BetaBinomial{N: n, Alpha: p * sum, Beta: (1 - p) * sum}
}
