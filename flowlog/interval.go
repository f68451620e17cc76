package flowlog

import "slices"

// GapFactor is how many median intervals make a gap: at least one sample in
// between was lost, with room for half an interval of jitter.
const GapFactor = 1.5

// IntervalNS returns the median time between neighbouring samples, in
// nanoseconds: with an even number of intervals the lower of the middle two,
// so that it is an interval that occurs. It is 0 for fewer than two samples.
func IntervalNS(timeNS []int64) int64 {
	if len(timeNS) < 2 {
		return 0
	}
	d := make([]int64, len(timeNS)-1)
	for i := range d {
		d[i] = timeNS[i+1] - timeNS[i]
	}
	slices.Sort(d)
	return d[(len(d)-1)/2]
}

// IntervalS is IntervalNS in seconds.
func IntervalS(timeNS []int64) float64 { return float64(IntervalNS(timeNS)) / 1e9 }
