package walk

import (
	"cmp"
	"math"
	"slices"
)

// sharing is the case that other ports reacted to the same pinch.
type sharing struct {
	prob   float64 // that any did
	also   []int   // which, likeliest first; unseen where none stands out
	share  float64 // that the first of also did, if any
	common int     // how many ports reacted plainly at that time
}

// rival is a port that may share a reaction: ln of the odds that it does, and
// the evidence, nats, that it reacted at all.
type rival struct {
	col  int
	logW float64
	nats float64
}

// priorShared is the prior probability that a second port hears a run.
const priorShared = 0.006

// plainRival is the evidence from which a rival counts on its own account.
const plainRival = 6

// sharing weighs, for every other port, "it reacted too", over just the time
// in which the main port reacted.
func (p *prover) sharing(main, step int) sharing {
	_, n := p.tr.peak(main, step, p.full)
	var rs []rival
	if p.full.tap {
		rs = p.tapRivals(main, step, step+n)
	} else {
		rs = p.pinchRivals(main, step, step+n)
	}
	slices.SortStableFunc(rs, func(a, b rival) int { return -cmp.Compare(a.logW, b.logW) })
	return weighRivals(rs)
}

func weighRivals(rs []rival) sharing {
	var s sharing
	total := 0.0
	for _, r := range rs {
		total += math.Exp(min(r.logW, 300))
		if r.logW > 0 && r.nats >= plainRival {
			s.common++
		}
	}
	s.prob = total / (1 + total)
	for i, r := range rs {
		share := math.Exp(min(r.logW, 300)) / total
		if (i == 0 && share > 0.5) || (r.logW > 0 && r.nats >= 2*plainRival) {
			s.also = append(s.also, r.col)
		}
		if i == 0 {
			s.share = share
		}
	}
	if len(s.also) == 0 && len(rs) > 0 {
		s.also = []int{unseen}
	}
	return s
}

// ownReaction is the reaction of a port to the run that claims it: how much
// likelier, nats, a pinch is a whole one than one by half, and what a tap
// counted, counts/s.
type ownReaction struct {
	run    int
	whole  float64
	rateHz float64
}

// claim notes every port's own reaction.
func (p *prover) claim(bs []belief) {
	p.own = map[int]ownReaction{}
	for _, b := range bs {
		col, prob := b.best()
		if prob < 0.9 || b.nats[col] < leastProof {
			continue
		}
		own := ownReaction{run: b.run}
		a := p.start(col, b.atS[0])
		_, n := p.tr.peak(col, a, p.full)
		if p.full.tap {
			own.rateHz = p.excess(col, a, a+n) / (float64(n) * p.tr.stepS)
		} else {
			own.whole = p.wholly(col, a, a+n) - p.byHalf(col, a, a+n)
		}
		p.own[col] = own
	}
}

// priorUnseen is the prior probability of such a rival.
const priorUnseen = 5e-4

// unseen stands for a rival that does not show, or is not recorded.
const unseen = -1

// pinchRivals weighs two cases for each other port: it fell as far as any
// pinched port does; or it and the main port fell by about half, as where two
// hoses are joined. A port that falls wholly at its own run's pinch hears that
// run alone, which speaks against both.
func (p *prover) pinchRivals(main, a, z int) []rival {
	half := p.byHalf(main, a, z) - p.wholly(main, a, z)
	rs := []rival{{unseen, math.Log(priorUnseen) + half, 0}}
	for q := range p.tracks {
		if q == main || p.ex[q].dead || p.core(q, a, z).left() > 0.9 {
			continue
		}
		own := p.own[q].whole // 0 where no run claims the port
		whole, part := p.wholly(q, a, z), p.byHalf(q, a, z)
		w := p.priorPartner(main, q) + logAdd(whole-max(own, 0), part+half-max(own, math.Log(priorShared)))
		if w > -12 {
			rs = append(rs, rival{q, w, max(whole, part)})
		}
	}
	return rs
}

// priorPartner is ln of the prior probability that just these two ports share
// a run: half of such pairs are on one node.
func (p *prover) priorPartner(a, b int) float64 {
	return math.Log(priorShared * p.spreadOver(p.g.ports[a], b))
}
