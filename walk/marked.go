package walk

import (
	"math"
	"slices"

	"runproof/fit"
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
		w := p.nats(*b, col, p.settled[col])
		if w > 0 && p.full.tap {
			w = p.directly(b.run, col, p.start(col, b.atS[0]), w)
		}
		w += math.Log(prior(b.run, col) / p.silent(b.run))
		if w > faintEdge || col == p.runs[b.run].col {
			out = append(out, edge{col, w})
			b.nats[col] = p.nats(*b, col, p.tracks[col])
		}
	}
	return out
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
