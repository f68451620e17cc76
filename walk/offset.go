package walk

import (
	"cmp"
	"math"
	"slices"
)

const (
	largestOffsetS = 120.0 // the clocks differ by no more (contract)
	offsetSlackS   = 5.0   // searched beyond that, so that a peak at the edge is a peak
	markErrorS     = 1.75  // a mark is that far off its pinch, or less...
	markTailS      = 3.5   // ...but for the careless one
	markTail       = 0.15  // part of the marks that are careless
	offsetPeaks    = 12    // offsets that are looked at closely
	peakApartS     = 1.5
)

// markDensity is the probability density [1/s] of a reaction d seconds after
// its mark, once the clocks agree.
func markDensity(d float64) float64 {
	d = math.Abs(d)
	var v float64
	if d <= markErrorS {
		v += (1 - markTail) / (2 * markErrorS)
	}
	if d <= markTailS {
		v += markTail / (2 * markTailS)
	}
	return v
}

// near is the evidence, nats, that the port's reaction starts about the time
// at (s on the grid's axis), averaged over the error of the mark.
func (t *tracker) near(tr track, at float64) float64 {
	lo, hi := max(0, t.step(at-markTailS)), min(len(tr)-1, t.step(at+markTailS))
	best := math.Inf(-1)
	for a := lo; a <= hi; a++ {
		best = max(best, float64(tr[a]))
	}
	if math.IsInf(best, -1) {
		return 0 // outside the recording: nothing is known
	}
	var sum, weight float64
	for a := lo; a <= hi; a++ {
		w := markDensity(float64(a)*t.stepS - at)
		weight += w
		sum += w * math.Exp(float64(tr[a])-best)
	}
	if weight == 0 || sum == 0 {
		return 0
	}
	return best + math.Log(sum/weight)
}

// offsetPeak is one clock offset that the marks would allow.
type offsetPeak struct {
	offsetS float64
	score   float64   // ln posterior, up to a constant
	pattern []float64 // posterior of each pattern of names, given the offset
}

// offsets searches the recorder-minus-marks offset. The score of an offset is
// the likelihood of everything at once: each mark's run reacts at its planned
// port, or at any port, or not at all. Names therefore help as far as the map
// may be trusted, and the times decide where it may not; a map that is off by
// one port all along is a hypothesis of its own, because in an evenly spaced
// walk it looks like an offset wrong by one step.
func (p *prover) offsets() []offsetPeak {
	pats := p.patterns()
	blind := p.blind()
	var grid []offsetPeak
	for o := -largestOffsetS - offsetSlackS; o <= largestOffsetS+offsetSlackS; o += startStepAimS {
		grid = append(grid, offsetPeak{offsetS: o, score: p.score(o, blind, pats[0].cols)})
	}
	peaks := topPeaks(grid)
	for i := range peaks {
		p.weigh(&peaks[i], blind, pats)
	}
	slices.SortStableFunc(peaks, func(a, b offsetPeak) int { return -cmp.Compare(a.score, b.score) })
	return peaks
}

// topPeaks are the best local maxima, best first.
func topPeaks(grid []offsetPeak) []offsetPeak {
	reach := int(peakApartS / startStepAimS)
	var peaks []offsetPeak
	for i, c := range grid {
		top := true
		for j := max(0, i-reach); j <= min(len(grid)-1, i+reach); j++ {
			top = top && (grid[j].score < c.score || (grid[j].score == c.score && j >= i))
		}
		if top {
			peaks = append(peaks, plateau(grid, c))
		}
	}
	slices.SortStableFunc(peaks, func(a, b offsetPeak) int { return -cmp.Compare(a.score, b.score) })
	return peaks[:min(len(peaks), offsetPeaks)]
}

// plateau moves a peak to the middle of the offsets next to it that score
// within a nat of it.
func plateau(grid []offsetPeak, c offsetPeak) offsetPeak {
	var sum, n float64
	for _, g := range grid {
		if math.Abs(g.offsetS-c.offsetS) < peakApartS && g.score > c.score-1 {
			sum += g.offsetS
			n++
		}
	}
	c.offsetS = sum / n
	return c
}

// blind is the evidence per start step that some port reacts, whichever: the
// statistic that ignores names.
func (p *prover) blind() track {
	out := make(track, p.tr.steps())
	n := math.Log(float64(len(p.settled)))
	parallel(len(out), func(a int) {
		best := math.Inf(-1)
		for _, tr := range p.settled {
			best = max(best, float64(tr[a]))
		}
		var sum float64
		for _, tr := range p.settled {
			sum += math.Exp(float64(tr[a]) - best)
		}
		out[a] = float32(best + math.Log(sum) - n)
	})
	return out
}

// score is the ln likelihood of the marks at an offset, when run k should
// react at port cols[k] (-1: at none that is recorded).
func (p *prover) score(offsetS float64, blind track, cols []int) float64 {
	var s float64
	for _, m := range p.marks {
		s += p.markScore(m.atS+offsetS, blind, cols[m.run])
	}
	return s
}

func (p *prover) markScore(at float64, blind track, col int) float64 {
	if at < 0 || at > p.g.spanS() {
		return math.Log(priorOutside)
	}
	v := logAdd(math.Log(priorSilent), math.Log(priorMoved)+p.tr.near(blind, at))
	if col < 0 || p.ex[col].dead {
		return logAdd(v, math.Log(priorSilentDead))
	}
	return logAdd(v, math.Log(priorPlanned)+p.tr.near(p.settled[col], at))
}

// weigh adds to a peak what needs a closer look: patterns of names.
func (p *prover) weigh(k *offsetPeak, blind track, pats []pattern) {
	ll := make([]float64, len(pats))
	k.score = math.Inf(-1)
	for i, pat := range pats {
		ll[i] = pat.logPrior + p.score(k.offsetS, blind, pat.cols)
		k.score = logAdd(k.score, ll[i])
	}
	for _, v := range ll {
		k.pattern = append(k.pattern, math.Exp(v-k.score))
	}
}

func inOrder(n int) []int {
	o := make([]int, n)
	for i := range o {
		o[i] = i
	}
	return o
}
