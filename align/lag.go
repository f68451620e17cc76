package align

import (
	"math"
	"slices"
)

// bound is a time that the lag hardly exceeds, from a change of the work state to
// flow that changes with it, and its standard deviation.
type bound struct{ at, sd float64 }

// What times are beside the lag (common practice, no source). A drive that starts
// up and a line that runs empty come after the lag. A drive that is shut off stops
// at once, though it follows speed a little late, which is part of the lag here.
const (
	driveS     = 0.5  // usual time of a start, or of a line that runs empty
	responseS  = 0.2  // usual time by which a drive follows speed late
	leastLagS  = 0.3  // product is under way no shorter; a drill with a shorter bound meters ahead
	aheadFromS = -2.0 // how long ahead of the work state it may
	delayedToS = 10.0 // or behind
)

// boundsOf tells from work states and flow, by start and by stop, how long the
// lag is at most. A drill that meters ahead of its work state has none.
func boundsOf(work, flow []edge) (bounds []bound, ahead bool) {
	for _, up := range []bool{true, false} {
		m := spreadOf(matched(work, flow, (aheadFromS+delayedToS)/2, (delayedToS-aheadFromS)/2, up), 0.5)
		if m.n < leastEdge {
			continue
		}
		if m.at < leastLagS {
			return nil, true
		}
		bounds = append(bounds, bound{m.at, math.Hypot(m.sd, responseS)})
	}
	return bounds, false
}

// belief is what is known of the lag. The zero belief knows nothing.
type belief struct {
	known  *Lag
	bounds []bound
}

// most is what the lag hardly exceeds.
func (b belief) most() float64 {
	const sds = 4.0
	most := math.Inf(1)
	for _, x := range b.bounds {
		most = min(most, x.at+sds*x.sd)
	}
	if b.known != nil {
		most = min(most, b.known.S+sds*b.known.SDS)
	}
	return most
}

// density is how likely a lag is. Time beside the lag has no sign but plus, and a
// long tail: its density falls as 1/(1 + t/driveS)^2.
func (b belief) density(lagS float64) float64 {
	p := 1.0
	if b.known != nil {
		z := (lagS - b.known.S) / b.known.SDS
		p = math.Exp(-z * z / 2)
	}
	for _, x := range b.bounds {
		if beside := x.at - lagS; beside < 0 {
			p *= math.Exp(-beside * beside / (2 * x.sd * x.sd))
		} else {
			p /= (1 + beside/driveS) * (1 + beside/driveS)
		}
	}
	return p
}

// contradicted says that a known lag is beyond a bound.
func (b belief) contradicted() bool {
	const sds = 3.0
	for _, x := range b.bounds {
		if b.known != nil && b.known.S-x.at > sds*math.Hypot(b.known.SDS, x.sd) {
			return true
		}
	}
	return false
}

// mixture is the clock as each lag of a grid makes it, with the lag's weight; one
// standard deviation for all.
type mixture struct {
	lag, clock, weight []float64
	sd                 float64
}

// posterior is what is known of clock = flow + lag, where flow is clock less lag
// as flow and speed tell it, and other is the clock as work state and turns tell
// it, both normal; an other of infinite deviation says nothing.
func (b belief) posterior(flow, flowSD, other, otherSD float64) mixture {
	const steps = 500
	part := flowSD * flowSD / (flowSD*flowSD + otherSD*otherSD) // of the way from flow to other that the clock lies
	m := mixture{make([]float64, steps+1), make([]float64, steps+1), make([]float64, steps+1), flowSD * math.Sqrt(1-part)}
	most, total := b.most(), 0.0
	for k := range m.lag {
		m.lag[k] = most * float64(k) / steps
		m.clock[k] = flow + m.lag[k] + part*(other-flow-m.lag[k])
		z := (flow + m.lag[k] - other) / math.Hypot(otherSD, flowSD)
		m.weight[k] = b.density(m.lag[k]) * math.Exp(-z*z/2)
		total += m.weight[k]
	}
	for k := range m.weight {
		if m.weight[k] /= total; total == 0 { // they contradict each other: any lag
			m.weight[k] = 1.0 / (steps + 1)
		}
	}
	return m
}

// quantile is the clock below which a part lies.
func (m mixture) quantile(part float64) float64 {
	const sds, halvings = 6.0, 60
	low, high := slices.Min(m.clock)-sds*m.sd, slices.Max(m.clock)+sds*m.sd
	for range halvings {
		middle, below := (low+high)/2, 0.0
		for k, w := range m.weight {
			below += w * normal((middle-m.clock[k])/m.sd)
		}
		if below < part {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

// lagSD is the standard deviation of the lag alone.
func (m mixture) lagSD() float64 {
	mean, square := 0.0, 0.0
	for k, w := range m.weight {
		mean += w * m.lag[k]
		square += w * m.lag[k] * m.lag[k]
	}
	return math.Sqrt(max(0, square-mean*mean))
}

// normal is the standard normal distribution function.
func normal(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }
