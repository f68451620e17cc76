package alarm

import (
	"fmt"
	"math"

	"runproof/counts"
	"runproof/drill"
	"runproof/measure"
)

// ownMeanS is the length of the running mean that the own-mean style is
// reckoned with, seconds.
const ownMeanS = 30

// ofAllRuns finds the best rule that compares a run with the mean of all the
// product's runs. On the head's total that is a floor of its own for each run:
// one whose sensor reads low stands nearer to its floor.
func (k *desk) ofAllRuns(heads []headData) (OtherRule, bool) {
	mean := map[drill.RunID]float64{} // the mean run's count against the run's own
	total, runs := 0.0, 0
	perHead := map[drill.HeadID]float64{}
	for _, h := range heads {
		perHead[h.id] = meanInt(h.totals)
		total += perHead[h.id]
		runs += len(h.runs)
	}
	for _, h := range heads {
		for _, id := range h.runs {
			mean[id] = total / float64(runs) / perHead[h.id]
		}
	}
	other := *k
	other.limit = func(l *runLaw, floor float64) float64 { return floor * mean[l.id] / l.fit.Share }
	w, _, ok := other.best()
	says := "compares a run with the mean of all runs of the product: a sensor that reads low by itself stands nearer to its floor, so the hold must be longer"
	return OtherRule{Style: OfAllRuns, Rule: w, Says: says}, ok
}

// ofOwnMean finds the best rule that compares a run with its own running mean.
// Nothing cancels there: the pulsing of the meter and changes of speed and rate
// are the run's own spread, so the law is fitted to the run's counts against
// their running mean.
func (k *desk) ofOwnMean(heads []headData) (OtherRule, bool) {
	other := *k
	other.laws, other.heads = nil, nil // spells against the head's total say nothing of this style
	var lead []float64
	for _, h := range heads {
		for r, id := range h.runs {
			if l, cling, ok := k.ownLaw(h, r, id); ok {
				other.laws = append(other.laws, l)
				lead = append(lead, cling)
			}
		}
	}
	if len(other.laws) == 0 {
		return OtherRule{}, false
	}
	// neighbours cling as the runs do on average
	if rho := median(lead); rho > 0.05 {
		for i := range other.laws {
			l := &other.laws[i]
			part := min(0.9, rho)
			l.waver = wavering{swirlSD: math.Sqrt(l.white * part), swirlRho: 0.7}
			l.white *= 1 - part
		}
	}
	w, _, ok := other.best()
	says := fmt.Sprintf("compares a run with its own mean of the last %d s: the meter's pulsing and changes of speed and rate do not cancel, and a loss that creeps becomes the new mean", ownMeanS)
	return OtherRule{Style: OfOwnMean, Rule: w, MeanS: ownMeanS, Says: says}, ok
}

// ownLaw fits the run's counts against their own running mean, as a share of a
// large whole so that the same machine can be used: a count out of n = mean/p
// with p small is as good as negative binomial.
func (k *desk) ownLaw(h headData, r int, id drill.RunID) (l runLaw, cling float64, ok bool) {
	const p = 0.01
	window := max(2, int(ownMeanS/k.dt))
	var z, mu []float64
	sum, from, prev := 0.0, 0, -1
	square, cross, pairs := 0.0, 0.0, 0.0
	for i, x := range h.xs[r] {
		if i > 0 && h.stretch[i] != h.stretch[i-1] {
			sum, from, prev = 0, i, -1
		}
		if i-from >= window {
			m := sum / float64(window)
			if m > 0 {
				e := float64(x)/m - 1
				z, mu = append(z, e), append(mu, m)
				square += e * e
				if prev == i-1 {
					cross += e * (float64(h.xs[r][i-1])/m - 1)
					pairs++
				}
				prev = i
			}
			sum -= float64(h.xs[r][from])
			from++
		}
		sum += float64(x)
	}
	if len(z) < 50 {
		return l, 0, false
	}
	usual := median(mu)
	spread := max(0, square/float64(len(z))-(1+1/float64(window))/usual) // beyond counting, of both count and mean
	l = runLaw{id: id, fit: counts.ShareFit{Share: p}, white: spread}
	l.squares = p * p * float64(window) / (float64(window) + 1) // its own mean has little noise of its own
	for q := range 8 {
		n := counts.Quantile(mu, (2*float64(q)+1)/16) / p
		l.totals, l.means = append(l.totals, max(1, int(n))), append(l.means, n)
	}
	return l, cross / max(1, pairs) / max(1e-12, spread), true
}

func meanInt(v []int) float64 {
	t := 0
	for _, x := range v {
		t += x
	}
	return float64(t) / float64(max(1, len(v)))
}

// total says what a limit on the product's total flow can and cannot see.
func (k *desk) total(heads []headData) TotalLimit {
	byRow := map[int]float64{}
	seen := map[int]int{}
	runs := 0
	for _, h := range heads {
		runs += len(h.runs)
		for i, n := range h.totals {
			byRow[h.rows[i]] += float64(n)
			seen[h.rows[i]]++
		}
	}
	var v []float64
	for row, n := range byRow {
		if seen[row] == len(heads) {
			v = append(v, n)
		}
	}
	t := TotalLimit{Product: k.product, Runs: runs}
	usual := median(v)
	if usual == 0 || runs == 0 {
		t.Says = "too little settled flow to say"
		return t
	}
	dev := make([]float64, len(v))
	for i, x := range v {
		dev[i] = math.Abs(x/usual - 1)
	}
	t.SpreadPct = measure.Round(100*median(dev)/0.6745, 1)
	t.LowPct = measure.Round(100*counts.Quantile(v, 0.0005)/usual-5, 0)
	t.HighPct = measure.Round(100*counts.Quantile(v, 0.9995)/usual+5, 0)
	t.OneRunPct = measure.Round(100/float64(runs), 1)
	t.SeesPct = measure.Round(100-t.LowPct, 0)
	t.Says = fmt.Sprintf(
		"One blocked run moves the total of %s by nothing, as the head gives its product to the siblings; one dead sensor moves it by %.1f %%. The total itself varies by %.1f %% from sample to sample. "+
			"Limits at %.0f and %.0f %% of the usual total keep quiet on this drill: they see an empty tank or a stopped meter (a fall of %.0f %% or more) and no single run.",
		k.product, t.OneRunPct, t.SpreadPct, t.LowPct, t.HighPct, t.SeesPct)
	return t
}
