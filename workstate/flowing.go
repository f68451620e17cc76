package workstate

import (
	"math"
	"slices"
)

// flowing is in which seconds product flows: above half way between the little
// and the much of the recording; throughout, where it never stopped. It is not
// known where next to nothing was counted.
func (s seconds) flowing(ports int) ([]bool, bool) {
	if len(s.rate) == 0 {
		return nil, false
	}
	smooth := make([]float64, len(s.rate))
	for i := range smooth { // the odd second without a grain is no stop: look at three
		lo, hi := max(0, i-1), min(len(s.rate), i+2)
		for _, v := range s.rate[lo:hi] {
			smooth[i] += v / float64(hi-lo)
		}
	}
	sorted := slices.Sorted(slices.Values(smooth))
	at := func(part float64) float64 { return sorted[int(part*float64(len(sorted)-1))] }
	little, much := at(0.02), at(0.9)
	if much < leastHz*float64(max(1, ports)) {
		return nil, false
	}
	if little > much/2 {
		little = 0 // it never stopped
	}
	flow := make([]bool, len(smooth))
	for i, v := range smooth {
		flow[i] = v > (little+much)/2*0.6
	}
	steady(flow)
	return flow, true
}

// steady takes out stops and starts that are too short to be meant.
func steady(flow []bool) {
	from := 0
	for i := 1; i <= len(flow); i++ {
		if i < len(flow) && flow[i] == flow[from] {
			continue
		}
		if inside := from > 0 && i < len(flow); inside && float64(i-from)*binS < stillBack {
			for k := from; k < i; k++ {
				flow[k] = flow[from-1]
			}
			from = start(flow, i-1)
			continue
		}
		from = i
	}
}

// start is where the spell that holds i begins.
func start(flow []bool, i int) int {
	for i > 0 && flow[i-1] == flow[i] {
		i--
	}
	return i
}

func flips(flow []bool) int {
	n := 0
	for i := 1; i < len(flow); i++ {
		if flow[i] != flow[i-1] {
			n++
		}
	}
	return n
}

// tally adds up the seconds of the four states that are far from any change.
func (a *Agreement) tally(work []float64, flow []bool) {
	settled := make([]bool, len(work))
	for i := range settled {
		settled[i] = true
	}
	unsettle := func(i int) {
		for k := max(0, i-int(nearS)); k < min(len(settled), i+int(nearS)); k++ {
			settled[k] = false
		}
	}
	last := math.NaN()
	for i := range work {
		if i > 0 && flow[i] != flow[i-1] {
			unsettle(i)
		}
		if math.IsNaN(work[i]) {
			continue
		}
		if !math.IsNaN(last) && work[i] != last {
			unsettle(i)
		}
		last = work[i]
	}
	for i, w := range work {
		if !settled[i] || math.IsNaN(w) {
			continue
		}
		switch {
		case w == 1 && flow[i]:
			a.DownFlowS += binS
		case w == 1:
			a.DownStillS += binS
		case flow[i]:
			a.UpFlowS += binS
		default:
			a.UpStillS += binS
		}
	}
}
