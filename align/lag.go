package align

import (
	"math"
	"slices"
)

// lagRange is what the logs tell of the transport lag: anything from none to
// most is equally likely, beyond that nothing.
type lagRange struct{ most, sd float64 }

// startLag bounds the lag by the flow log alone: from the work state going down
// to flow at half its level. Product cannot be under way longer than that.
func startLag(work, flow []edge) (lagRange, bool) {
	const (
		from, to = -2.0, 10.0
		least    = 3
	)
	m := spreadOf(matched(work, flow, (from+to)/2, (to-from)/2, true), 0.5)
	if m.n < least || !(m.at > -1) {
		return lagRange{}, false
	}
	return lagRange{max(0, m.at), m.sd}, true
}

// posterior is what is known of clock = flow + lag, where flow is clock less lag
// as flow and speed tell it, and other is the clock as work state and turns tell
// it, both normal. The answer is the most likely clock and the 95 % interval of
// the posterior over a lag that is even between 0 and most.
func posterior(flow, flowSD, other, otherSD float64, lag lagRange) (clock, low, high float64) {
	const steps = 2000
	lag.most = max(lag.most, 1e-3)
	reach := 3 * flowSD
	p := make([]float64, steps+1)
	total := 0.0
	at := func(k int) float64 { return flow - reach + (lag.most+2*reach)*float64(k)/steps }
	for k := range p {
		c := at(k)
		z := (c - other) / otherSD
		p[k] = math.Exp(-z*z/2) * (normal((c-flow)/flowSD) - normal((c-flow-lag.most)/flowSD))
		total += p[k]
	}
	if total == 0 { // they contradict each other
		return flow + max(0, min(lag.most, other-flow)), flow, flow + lag.most
	}
	low, high, clock = at(0), at(steps), at(slices.Index(p, slices.Max(p)))
	sum := 0.0
	for k := range p {
		sum += p[k] / total
		if sum < 0.025 {
			low = at(k)
		}
		if sum < 0.975 {
			high = at(k)
		}
	}
	return clock, min(low, clock), max(high, clock)
}

// normal is the standard normal distribution function.
func normal(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }
