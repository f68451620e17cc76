package walk

import (
	"math"
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
	disorder bool            // a port reacted out of its turn around this run
	slot     slot            // whether an unmarked walk had time for it
}

// trace makes the tracks for the present shape.
func (p *prover) trace() {
	p.tracks = p.tr.all(p.full)
	p.settled = make([]track, len(p.tracks))
	rate := p.strays / p.g.spanS()
	parallel(len(p.tracks), func(c int) { p.settled[c] = p.tr.settle(c, p.tracks[c], p.full, rate) })
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

// silent is the prior probability that no port answers to the run. A port that
// counts steadily whatever the others do is more likely broken than not.
func (p *prover) silent(run int) float64 {
	if c := p.runs[run].col; c >= 0 && p.ex[c].odd {
		return priorSilentOdd
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
