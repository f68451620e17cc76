package counts

import "math"

// meanAbsorption returns, for each state of a Markov chain, the mean number of
// steps until it leaves: p[i][j] are the probabilities of staying, exit[i] that
// of leaving. Both are used up.
//
// The elimination is that of Grassmann, Taksar & Heyman (1985, "Regenerative
// analysis and steady state distributions for Markov chains"): the pivot 1-p[k][k]
// is formed as the sum of the ways out, so that nothing is ever subtracted and
// the result keeps full relative accuracy even at 1e15 steps and beyond, where
// a plain solution of (I-P) t = 1 has no digit left. The result is +Inf where
// there is no way out.
func meanAbsorption(p [][]float64, exit []float64) []float64 {
	n := len(p)
	steps := make([]float64, n)
	for i := range steps {
		steps[i] = 1
	}
	out := make([]float64, n)
	for k := n - 1; k >= 0; k-- {
		out[k] = exit[k]
		for _, v := range p[k][:k] {
			out[k] += v
		}
		for i := range k {
			if p[i][k] == 0 {
				continue
			}
			f := p[i][k] / out[k]
			if out[k] == 0 {
				steps[i] = math.Inf(1)
				continue
			}
			for j, v := range p[k][:k] {
				p[i][j] += f * v
			}
			exit[i] += f * exit[k]
			steps[i] += f * steps[k]
		}
	}
	for k := range steps {
		for j, v := range p[k][:k] {
			if v > 0 {
				steps[k] += v * steps[j]
			}
		}
		steps[k] /= out[k]
	}
	return steps
}
