package walk

import "math"

// Two hoses that are joined reach both sensors: at either pinch both ports
// fall, but only by half, and each fall alone is faint. Together the four make
// the case.

// junction is the case that a run is joined to another: that one's port, and
// the probability.
type junction struct {
	col  int
	prob float64
}

// surelyWhole is the evidence, nats, for a whole reaction from which a run
// need not be looked at.
const surelyWhole = 3

// junctions weighs, for each two runs whose own reactions are faint or by
// half, that they are joined.
func (p *prover) junctions(bs []belief) map[int]junction {
	out := map[int]junction{}
	if p.full.tap {
		return out
	}
	var faint []belief
	for _, b := range bs {
		c := p.runs[b.run].col
		best, prob := b.best()
		moved := best != c && prob > 0.5
		if c < 0 || moved || p.ex[c].dead || len(b.atS) != 1 {
			continue
		}
		own := p.own[c]
		if b.nats[c] < clearEnough || own.run != b.run || own.whole < surelyWhole {
			faint = append(faint, b)
		}
	}
	layers := p.halfLayers(faint)
	odds := make([][]float64, len(faint))
	parallel(len(faint), func(i int) {
		odds[i] = make([]float64, len(faint))
		for j := range i {
			odds[i][j] = p.joinOdds(faint[i], faint[j], layers)
		}
	})
	for i := range faint {
		for j := range i {
			p.join(out, faint[i], faint[j], odds[i][j])
			p.join(out, faint[j], faint[i], odds[i][j])
		}
	}
	return out
}

func (p *prover) join(out map[int]junction, a, b belief, logOdds float64) {
	prob := 1 / (1 + math.Exp(-logOdds))
	if prob > out[a.run].prob {
		out[a.run] = junction{p.runs[b.run].col, prob}
	}
}

func (p *prover) halfLayers(bs []belief) map[int][]bins {
	cols := make([]int, len(bs))
	all := make([][]bins, len(bs))
	parallel(len(bs), func(i int) {
		cols[i] = p.runs[bs[i].run].col
		q := p.tr.quiet(cols[i], p.full)
		for _, v := range p.full.strength[p.full.half:] {
			all[i] = append(all[i], p.tr.bins(cols[i], p.full, q, v))
		}
	})
	out := map[int][]bins{}
	for i, c := range cols {
		out[c] = all[i]
	}
	return out
}

// joinOdds is ln of the odds that the two runs are joined, against what is
// otherwise believed of them.
func (p *prover) joinOdds(a, b belief, layers map[int][]bins) float64 {
	ca, cb := p.runs[a.run].col, p.runs[b.run].col
	both := p.joinedAt(a, layers[ca], layers[cb]) + p.joinedAt(b, layers[ca], layers[cb])
	return p.priorPartner(ca, cb) + both - p.alone(a) - p.alone(b)
}

// joinedAt is the evidence that both ports fell by half at the run's pinch.
func (p *prover) joinedAt(b belief, x, y []bins) float64 {
	t, s := p.tr, p.full
	lo, hi := max(0, t.step(b.atS[0]-b.slackS)), min(t.steps()-1, t.step(b.atS[0]+b.slackS))
	acc := math.Inf(-1)
	for a := lo; a <= hi; a++ {
		for r := range x {
			for j, n := range s.length {
				z := min(a+n, t.steps())
				w := s.logW[s.half+r][j] - math.Log(priorHalf)
				acc = logAdd(acc, w+x[r].over(a, z, t.parts)+y[r].over(a, z, t.parts))
			}
		}
	}
	return acc - math.Log(float64(max(1, hi-lo+1)))
}

// alone is ln of the likelihood of what is otherwise believed of the run: it
// is as planned, or silent.
func (p *prover) alone(b belief) float64 {
	return logAdd(math.Log(priorPlanned)+b.nats[p.runs[b.run].col], math.Log(priorSilent))
}
