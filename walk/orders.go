package walk

import (
	"math"
	"slices"

	"runproof/drill"
)

// order is one way in which a person may take "plan order", and ln of its
// prior.
type order struct {
	runs     []int // index into the prover's runs
	logPrior float64
}

// priorClosed is the prior probability that a walk calls on closed runs too.
const priorClosed = 0.1

// orders are the map as it stands, or one product after the other; with and
// without the closed runs.
func (p *prover) orders() []order {
	var prods []drill.ProductID
	for _, r := range p.runs {
		if !slices.Contains(prods, r.Product) {
			prods = append(prods, r.Product)
		}
	}
	seqs := [][]drill.ProductID{nil}
	if n := len(prods); n > 1 {
		seqs = append(seqs, prods)
		if n == 2 {
			seqs = append(seqs, []drill.ProductID{prods[1], prods[0]})
		}
	}
	var out []order
	add := func(runs []int, prior float64) {
		if len(runs) > 0 && !slices.ContainsFunc(out, func(x order) bool { return slices.Equal(x.runs, runs) }) {
			out = append(out, order{runs, math.Log(prior / float64(len(seqs)))})
		}
	}
	for _, seq := range seqs {
		add(p.orderOf(seq, false), 1-priorClosed)
		add(p.orderOf(seq, true), priorClosed)
	}
	return out
}

func (p *prover) orderOf(seq []drill.ProductID, closed bool) []int {
	var o []int
	for i, r := range p.runs {
		if closed || !r.Closed {
			o = append(o, i)
		}
	}
	if seq != nil {
		slices.SortStableFunc(o, func(a, b int) int {
			return slices.Index(seq, p.runs[a].Product) - slices.Index(seq, p.runs[b].Product)
		})
	}
	return o
}
