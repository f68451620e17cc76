package walk

import (
	"slices"
)

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
