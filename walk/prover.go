package walk

import (
	"math"
	"slices"

	"runproof/fit"
)

// prover holds one walk while it is worked out.
type prover struct {
	g         *grid
	runs      []planned
	nodePorts map[string]int // ports of the recording by node
	ex        []expected
	tr        *tracker
	full      shape               // what a reaction looks like
	own       map[int]ownReaction // by port: the reaction that a run claims
	whole     []float64           // what a pinched run keeps, this walk
	burst     []float64           // taps: each port's clearest burst, counts/s
	strays    float64             // reactions of a port that no run should claim, in the whole walk
	joints    map[int]junction    // by run: what it may be joined to
	cross     float64             // what a tap adds at a neighbour, this walk, as a part of its own
	tracks    []track             // evidence for each port and start step
	settled   []track             // the same against all else that may be true of the port
	marks     []mark
}

// mark is a mark on the grid's axis, by the marks' own clock.
type mark struct {
	run int
	atS float64
}

// belief is what is held of one run: the probability of each port that may
// have reacted to it, and of none.
type belief struct {
	run      int
	ports    map[int]float64 // by port of the grid
	silent   float64
	assigned int             // the port in the likeliest assignment as a whole; -1 for none
	slackS   float64         // give or take, s
	atS      []float64       // expected starts of its pinches, s on the grid's axis
	nats     map[int]float64 // evidence for each port
	slot     slot            // whether an unmarked walk had time for it
}

// trace makes the tracks for the present shape.
func (p *prover) trace() {
	p.tracks = p.tr.all(p.full)
	p.settled = make([]track, len(p.tracks))
	rate := p.strays / p.g.spanS()
	parallel(len(p.tracks), func(c int) { p.settled[c] = p.tr.settle(c, p.tracks[c], p.full, rate) })
}

// slot says whether a run that no reaction answers had its turn in a walk
// without marks. The zero value: it had.
type slot int

const (
	hadTurn slot = iota
	noTime       // its neighbours followed one another too soon
	beyond       // the recording begins after or ends before its turn
)

// fromMarks works out a walk with marks: the offset and what reacted to each
// marked run.
func (p *prover) fromMarks() ([]belief, []offsetPeak) {
	p.trace()
	peaks := p.offsets()
	for range 2 {
		peaks[0].offsetS = p.refine(peaks[0])
	}
	p.full = p.learn(p.believe(peaks[0]))
	p.trace()
	peaks = p.offsets()
	for i := range peaks {
		if odds(peaks, i) > negligibleOdds {
			peaks[i].offsetS = p.refine(peaks[i])
		}
	}
	return p.mix(peaks), peaks
}

const negligibleOdds = 1e-5

// odds is the posterior of peak i among all.
func odds(peaks []offsetPeak, i int) float64 {
	total := math.Inf(-1)
	for _, k := range peaks {
		total = logAdd(total, k.score)
	}
	return math.Exp(peaks[i].score - total)
}

// mix weighs what each offset would say of the runs by its posterior.
func (p *prover) mix(peaks []offsetPeak) []belief {
	var out []belief
	for i, k := range peaks {
		w := odds(peaks, i)
		if w <= negligibleOdds {
			continue
		}
		b := p.believe(k)
		if out == nil {
			out = b
			for j := range out {
				out[j].scale(w)
			}
			continue
		}
		for j := range out {
			out[j].add(b[j], w)
		}
	}
	return out
}

func (b *belief) scale(w float64) {
	b.silent *= w
	for c := range b.ports {
		b.ports[c] *= w
	}
}

func (b *belief) add(o belief, w float64) {
	b.silent += w * o.silent
	for c, v := range o.ports {
		b.ports[c] += w * v
	}
}

// believe is the posterior of every marked run at an offset.
func (p *prover) believe(k offsetPeak) []belief {
	pats := p.patterns()
	prior := func(run, col int) float64 {
		var v float64
		for i, pat := range pats {
			if pat.cols[run] == col {
				v += k.pattern[i] * priorPlanned
			}
		}
		return v + priorMoved*p.place(run, col)
	}
	var out []belief
	for _, run := range p.walkOrder() {
		b := belief{run: run, slackS: markErrorS, ports: map[int]float64{}, nats: map[int]float64{}}
		for _, m := range p.marks {
			if m.run == run {
				b.atS = append(b.atS, m.atS+k.offsetS)
			}
		}
		out = append(out, b)
	}
	p.match(out, prior)
	p.match(out, p.settleSwaps(out, prior))
	return out
}

// settleSwaps sharpens the prior of runs whose planned port answers to another
// run: tubes change places more often than they come off, so such a run is
// most likely at one of the ports that no run claims.
func (p *prover) settleSwaps(bs []belief, prior func(run, col int) float64) func(run, col int) float64 {
	claimed := make([]int, len(p.g.ports))
	for _, b := range bs {
		if col, prob := b.best(); prob > 0.95 && b.nats[col] >= leastProof {
			claimed[col] = b.run + 1
		}
	}
	open := 0
	for col, by := range claimed {
		if by == 0 && !p.ex[col].dead {
			open++
		}
	}
	return func(run, col int) float64 {
		c := p.runs[run].col
		if c < 0 || claimed[c] == 0 || claimed[c] == run+1 || claimed[col] != 0 || p.ex[col].dead {
			return prior(run, col)
		}
		return priorDisplaced / float64(open)
	}
}

// place is the prior probability that the run, moved somewhere, is at the
// port: half of the moves stay on the node.
func (p *prover) place(run, col int) float64 {
	if p.runs[run].col == col {
		return 0
	}
	return p.spreadOver(p.runs[run].port, col)
}

// spreadOver is a weight for each port other than the one given, adding up to
// about 1: half of it stays on the node.
func (p *prover) spreadOver(from fit.PortRef, to int) float64 {
	v := 0.5 / float64(max(1, len(p.g.ports)-1))
	if p.g.ports[to].Node == from.Node {
		v += 0.5 / float64(max(1, p.nodePorts[from.Node]-1))
	}
	return v
}

// match fills in the posterior of every run, each port answering to one run at
// most, and the likeliest assignment as a whole.
func (p *prover) match(bs []belief, prior func(run, col int) float64) {
	rows := make([][]edge, len(bs))
	parallel(len(bs), func(i int) { rows[i] = p.edges(&bs[i], prior) })
	post := matchPosterior(rows)
	whole := likeliestMatching(rows)
	for i := range bs {
		bs[i].silent, bs[i].assigned = 1, whole[i]
		for k, e := range rows[i] {
			bs[i].ports[e.col] = post[i][k]
			bs[i].silent -= post[i][k]
		}
		bs[i].silent = max(0, bs[i].silent)
	}
}

// edges weighs each port as the answer to a run.
func (p *prover) edges(b *belief, prior func(run, col int) float64) []edge {
	var out []edge
	for col := range p.tracks {
		w := math.Log(prior(b.run, col)/p.silent(b.run)) + p.nats(*b, col, p.settled[col])
		if w > faintEdge && p.full.tap && col != p.runs[b.run].col {
			w += p.direct(col, p.start(col, b.atS[0]))
		}
		if w > faintEdge || col == p.runs[b.run].col {
			out = append(out, edge{col, w})
			b.nats[col] = p.nats(*b, col, p.tracks[col])
		}
	}
	return out
}

// silent is the prior probability that no port answers to the run. A port that
// counts steadily whatever the others do is more likely broken than not.
func (p *prover) silent(run int) float64 {
	if c := p.runs[run].col; c >= 0 && p.ex[c].odd {
		return priorOdd
	}
	return priorSilent
}

// deadNats is the evidence against a reaction of a port that cannot react.
const deadNats = -30

// nats is the evidence that the port reacted to the run, over all its pinches.
// Where a run has several, each may be a mistake of the marks.
func (p *prover) nats(b belief, col int, tr track) float64 {
	if p.ex[col].dead {
		return deadNats
	}
	if len(b.atS) == 1 {
		return p.tr.near(tr, b.atS[0])
	}
	var sum float64
	for _, at := range b.atS {
		sum += logAdd(math.Log(priorRepeat), math.Log(1-priorRepeat)+p.tr.near(tr, at))
	}
	return sum
}

// best is the likeliest port and its probability.
func (b belief) best() (col int, prob float64) {
	col = -1
	for c, v := range b.ports {
		if v > prob || (v == prob && c < col) {
			col, prob = c, v
		}
	}
	return col, prob
}

// start is the likeliest start step of the port's reaction about the time.
func (p *prover) start(col int, at float64) int {
	t, tr := p.tr, p.tracks[col]
	lo, hi := max(0, t.step(at-markTailS)), min(len(tr)-1, t.step(at+markTailS))
	best, bestV := max(0, min(t.step(at), len(tr)-1)), math.Inf(-1)
	for a := lo; a <= hi; a++ {
		if v := float64(tr[a]) + math.Log(markDensity(float64(a)*t.stepS-at)+1e-9); v > bestV {
			best, bestV = a, v
		}
	}
	return best
}

// refine moves the offset to the median of what the clear reactions say.
func (p *prover) refine(k offsetPeak) float64 {
	var d []float64
	for _, b := range p.believe(k) {
		col, prob := b.best()
		if prob < 0.9 || b.nats[col] < clearEnough {
			continue
		}
		for _, at := range b.atS {
			d = append(d, float64(p.start(col, at))*p.tr.stepS-at)
		}
	}
	if len(d) == 0 {
		return k.offsetS
	}
	slices.Sort(d)
	n := len(d)
	return k.offsetS + (d[(n-1)/2]+d[n/2])/2
}

// learn gives the shape the strengths and lengths of this walk's clear
// reactions: one person on one day pinches much alike.
func (p *prover) learn(bs []belief) shape {
	s := p.full
	strength, length := make([]float64, s.half), make([]float64, len(s.length))
	for _, b := range bs {
		col, prob := b.best()
		if prob < 0.95 || b.nats[col] < clearEnough || len(b.atS) != 1 {
			continue
		}
		v, l := p.tr.peak(col, p.start(col, b.atS[0]), s)
		if k := slices.Index(s.strength, v); k < s.half {
			strength[k]++
		}
		length[slices.Index(s.length, l)]++
	}
	return s.weighted(smoothed(strength), smoothed(length))
}

// smoothed spreads each count over its neighbours and adds a little of
// everything: four reactions' worth in all.
func smoothed(n []float64) []float64 {
	out := make([]float64, len(n))
	for i, v := range n {
		out[i] += v / 2
		out[max(0, i-1)] += v / 4
		out[min(len(n)-1, i+1)] += v / 4
	}
	var sum float64
	for i := range out {
		out[i] += 4 / float64(len(n))
		sum += out[i]
	}
	for i := range out {
		out[i] /= sum
	}
	return out
}
