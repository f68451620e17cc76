package walk

import (
	"slices"

	"runproof/drill"
)

// orders are the ways in which a person may take "plan order": the map as it
// stands, or one product after the other; with and without the closed runs.
func (p *prover) orders() [][]int {
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
	var out [][]int
	for _, seq := range seqs {
		for _, closed := range []bool{false, true} {
			o := p.orderOf(seq, closed)
			if len(o) > 0 && !slices.ContainsFunc(out, func(x []int) bool { return slices.Equal(x, o) }) {
				out = append(out, o)
			}
		}
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
