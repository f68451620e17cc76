package walk

import (
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

// Prior belief about one run of a walk, from no source but common practice:
// most hoses are where the plan wants them.
const (
	priorPlanned     = 0.92
	priorMoved       = 0.035
	priorSilent      = 0.04
	priorOdd         = 1.0   // no port reacts, where the planned one counts strangely; as a weight
	priorDisplaced   = 0.2   // a run whose port another has is at one that none has
	priorPattern     = 2e-4  // a whole drill is off by one or two ports...
	priorPatternNode = 0.012 // ...and by one where it has a single node: a person's slip
	priorPlannedDead = 0.05  // a port reacts although it is dead or missing
	priorOutside     = 0.02  // the recorder was off when a mark was made
	priorRepeat      = 0.1   // one of several marks of a run is a mistake
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
	slices.SortStableFunc(peaks, func(a, b offsetPeak) int { return -cmpFloat(a.score, b.score) })
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
	slices.SortStableFunc(peaks, func(a, b offsetPeak) int { return -cmpFloat(a.score, b.score) })
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

func cmpFloat(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
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
		return logAdd(v, math.Log(1-priorPlannedDead))
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

// pattern is a systematic way in which ports may be out of step with runs.
type pattern struct {
	cols     []int // port of each run
	logPrior float64
}

// patterns are the plan itself, and the plan with every run one or two ports
// further, either in the order of the ports or in the order of the walk.
func (p *prover) patterns() []pattern {
	plan := make([]int, len(p.runs))
	for i, r := range p.runs {
		plan[i] = r.col
	}
	pats := []pattern{{plan, 0}}
	for _, d := range []int{-2, -1, 1, 2} {
		prior := math.Log(priorPattern)
		if p.oneNode() && (d == 1 || d == -1) && p.mayShift(plan, d) {
			prior = math.Log(priorPatternNode)
		}
		pats = append(pats,
			pattern{shifted(plan, inOrder(len(plan)), d), prior},
			pattern{shifted(plan, p.walkOrder(), d), prior})
	}
	return pats
}

// mayShift says that all tubes may sit d places on: nothing is then connected
// to the port that the shift leaves, so it must be dead.
func (p *prover) mayShift(plan []int, d int) bool {
	left := plan[0]
	if d < 0 {
		left = plan[len(plan)-1]
	}
	if left < 0 || p.ex[left].dead {
		return true
	}
	return p.full.tap && !slices.ContainsFunc(p.tracks[left], func(v float32) bool { return v >= clearReaction })
}

// oneNode says that all planned ports are on one node. Within a node tubes are
// pushed on in order, and a slip at the first carries on to the last.
func (p *prover) oneNode() bool {
	return !slices.ContainsFunc(p.runs, func(r planned) bool { return r.port.Node != p.runs[0].port.Node })
}

// shifted gives each run of the order the port of the run d places on.
func shifted(plan, order []int, d int) []int {
	out := slices.Clone(plan)
	for i, run := range order {
		out[run] = -1
		if j := i + d; j >= 0 && j < len(order) {
			out[run] = plan[order[j]]
		}
	}
	return out
}

func inOrder(n int) []int {
	o := make([]int, n)
	for i := range o {
		o[i] = i
	}
	return o
}

// walkOrder is the runs in the order of their first marks.
func (p *prover) walkOrder() []int {
	var order []int
	seen := make([]bool, len(p.runs))
	for _, m := range p.marks {
		if !seen[m.run] {
			seen[m.run] = true
			order = append(order, m.run)
		}
	}
	return order
}
