package workstate

import (
	"math"
	"slices"
)

// How samples become seconds: common practice, no source.
const (
	coarseS   = 10.0 // samples farther apart as a rule tell nothing of starts and stops
	holeTimes = 3.0  // times the usual step between samples is a hole in the recording
	holeS     = 1.0  // but nothing shorter than this
)

// seconds is a recording by the second, holes taken out.
type seconds struct {
	work []float64 // 1, 0 or NaN: as most of the second says
	rate []float64 // counts/s
}

// bins spreads each sample over the time since the one before. Seconds in which
// no port reported are left out, as are holes: nobody knows whether product
// flowed. It is not possible with too few samples or too coarse ones.
func bins(timeS, work, counts []float64) (seconds, bool) {
	usual := usualStepS(timeS)
	if !(usual <= coarseS) {
		return seconds{}, false
	}
	var g gathered
	var atS float64
	for i := 1; i < len(timeS); i++ {
		stepS := timeS[i] - timeS[i-1]
		if !(stepS > 0) { // a clock set back
			continue
		}
		if stepS > max(holeS, holeTimes*usual) {
			stepS = usual
		}
		g.add(atS, atS+stepS, work[i], counts[i])
		atS += stepS
	}
	return g.seconds(), true
}

// usualStepS is the median step between samples, s; NaN where there is none.
func usualStepS(timeS []float64) float64 {
	var steps []float64
	for i := 1; i < len(timeS); i++ {
		if d := timeS[i] - timeS[i-1]; d > 0 {
			steps = append(steps, d)
		}
	}
	if len(steps) == 0 {
		return math.NaN()
	}
	slices.Sort(steps)
	return steps[(len(steps)-1)/2]
}

// gathered is what a second has been told.
type gathered []struct{ count, heardS, downS, toldS float64 }

// add spreads a sample evenly over its time.
func (g *gathered) add(fromS, toS, work, count float64) {
	for k := int(fromS / binS); float64(k)*binS < toS; k++ {
		for k >= len(*g) {
			*g = append(*g, struct{ count, heardS, downS, toldS float64 }{})
		}
		b := &(*g)[k]
		s := min(toS, float64(k+1)*binS) - max(fromS, float64(k)*binS)
		if !math.IsNaN(count) {
			b.count += count * s / (toS - fromS)
			b.heardS += s
		}
		if !math.IsNaN(work) {
			b.downS += work * s
			b.toldS += s
		}
	}
}

func (g gathered) seconds() seconds {
	var out seconds
	for _, b := range g {
		if b.heardS <= 0 {
			continue
		}
		w := math.NaN()
		if b.toldS > 0 {
			w = 0
			if 2*b.downS >= b.toldS {
				w = 1
			}
		}
		out.work, out.rate = append(out.work, w), append(out.rate, b.count/b.heardS)
	}
	return out
}
