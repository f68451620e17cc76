package alarm

import (
	"runproof/counts"
	"runproof/measure"
)

// yardstick is what the likelihood-ratio CUSUM (Page 1954; optimal in
// Moustakides' sense, 1986) achieves at the same false alarms on a middling run
// of the product: no rule of any style can be much faster.
func (k *desk) yardstick() Yardstick {
	laws := k.typical() // in the order of their shares
	l := laws[len(laws)/2]
	if l.alone() {
		return Yardstick{Product: k.product} // a share that is always the whole tells nothing to any test
	}
	n := l.totals[len(l.totals)/2]
	spread := relativeVariance(l.fit.Share, l.fit.Phi)
	sound := countLaw(n, l.fit.Share, spread)
	between := workDayS / k.dt * float64(len(k.laws)) / max(1e-9, k.allowed) // samples of one run for each false alarm
	reach := func(f fault) *float64 {
		failed := countLaw(n, f.share(l.fit.Share), spread)
		chart, ok := counts.CUSUM{Score: counts.LogLikelihoodScore(failed, sound, 4)}.WithARL(sound, between, 400)
		if !ok {
			return nil
		}
		m := measure.Round(chart.ARL(failed, 0)*k.dt*k.speedMPS, 2)
		return &m
	}
	return Yardstick{Product: k.product, Missed: Missed{Blocked: reach(shut), Half: reach(half)}}
}
