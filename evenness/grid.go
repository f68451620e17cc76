package evenness

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"runproof/drill"
)

// grid is the masses of one product, runs by repeats, g; NaN where no bag was
// weighed. Runs without any bag and repeats without any are not in it.
type grid struct {
	runs    []drill.Run
	repeats []int       // their numbers, ascending
	g       [][]float64 // by run, then repeat
}

// factors are what each repeat made of the masses, their mean 1: a repeat that
// ran longer has more in every bag. Where bags are missing, the mass of a run
// and the factors are those at which both margins of the product s_i f_r over
// the weighed bags are the measured ones (quasi-independence, Goodman 1968, by
// Deming and Stephan's iteration); with all bags weighed they are the totals of
// the repeats. ok is false where a repeat has no mass at all.
func (g *grid) factors() (f []float64, ok bool) {
	f = make([]float64, len(g.repeats))
	for r := range f {
		f[r] = 1
	}
	s := make([]float64, len(g.runs))
	for range 200 {
		for i, row := range g.g {
			s[i] = ratio(row, f)
		}
		change, sum := 0.0, 0.0
		for r := range f {
			column := make([]float64, len(g.runs))
			for i := range g.g {
				column[i] = g.g[i][r]
			}
			next := ratio(column, s)
			if !(next > 0) {
				return nil, false
			}
			change = math.Max(change, math.Abs(next/f[r]-1))
			f[r] = next
			sum += next
		}
		for r := range f {
			f[r] *= float64(len(f)) / sum
		}
		if change < 1e-13 {
			break
		}
	}
	return f, true
}

// connected tells whether all runs hang together over repeats that they share.
// Where they do not, as when one head was caught after the other, nothing tells
// a richer repeat from a richer head.
func (g *grid) connected() bool {
	reached := make([]bool, len(g.runs))
	reached[0] = true
	for grew := true; grew; {
		grew = false
		for r := range g.repeats {
			if !g.anyIn(r, reached) {
				continue
			}
			for i := range g.runs {
				if !reached[i] && !math.IsNaN(g.g[i][r]) {
					reached[i], grew = true, true
				}
			}
		}
	}
	return !slices.Contains(reached, false)
}

// anyIn tells whether repeat r has a bag of one of the runs.
func (g *grid) anyIn(r int, of []bool) bool {
	for i := range g.runs {
		if of[i] && !math.IsNaN(g.g[i][r]) {
			return true
		}
	}
	return false
}

// ratio is the sum of the weighed masses over the sum of what they would be for
// a size of 1.
func ratio(g, size []float64) float64 {
	sum, of := 0.0, 0.0
	for i, v := range g {
		if !math.IsNaN(v) {
			sum += v
			of += size[i]
		}
	}
	return sum / of
}

// level is the grid with each repeat at the average one's length.
func (g *grid) level(f []float64) *grid {
	out := &grid{runs: g.runs, repeats: g.repeats, g: make([][]float64, len(g.g))}
	for i, row := range g.g {
		out.g[i] = make([]float64, len(row))
		for r, v := range row {
			out.g[i][r] = v / f[r]
		}
	}
	return out
}

// steadied is the grid levelled by medians: one bag that fell off does not make
// its whole repeat look short. It serves for finding odd bags, not for figures.
func (g *grid) steadied() *grid {
	out := g
	for range 3 {
		size := make([]float64, len(out.g))
		for i, row := range out.g {
			size[i] = median(row)
		}
		f := make([]float64, len(out.repeats))
		for r := range f {
			var parts []float64
			for i, row := range out.g {
				if size[i] > 0 {
					parts = append(parts, row[r]/size[i])
				}
			}
			if f[r] = median(parts); !(f[r] > 0) {
				return g
			}
		}
		out = out.level(f)
	}
	return out
}

// median leaves out what is not a number; it is NaN where nothing is left.
func median(v []float64) float64 {
	s := slices.DeleteFunc(slices.Clone(v), math.IsNaN)
	if len(s) == 0 {
		return math.NaN()
	}
	slices.Sort(s)
	return (s[(len(s)-1)/2] + s[len(s)/2]) / 2
}

// means are the runs' means over their weighed bags, and how many those are.
func (g *grid) means() (mean []float64, bags []int) {
	mean, bags = make([]float64, len(g.runs)), make([]int, len(g.runs))
	for i, row := range g.g {
		for _, v := range row {
			if !math.IsNaN(v) {
				mean[i] += v
				bags[i]++
			}
		}
		mean[i] /= float64(bags[i])
	}
	return mean, bags
}

// anova is the one-way random-effects analysis of a levelled grid: runs are the
// groups, bags the values. Group means count alike however many bags they rest
// on (unweighted means, Thomas and Hultquist 1978), which changes nothing where
// all bags were weighed.
type anova struct {
	mean    []float64  // of each run, g
	bags    []int      // of each run
	grand   float64    // mean of the run means, g
	between meanSquare // variance of the run means, as they are
	within  meanSquare // variance of the bags of a run; 0 degrees of freedom = not known
	perRun  float64    // bags of a run: harmonic mean
}

// analyse needs at least two runs. The factors of the repeats cost a degree of
// freedom each but one.
func analyse(g *grid) anova {
	a := anova{}
	a.mean, a.bags = g.means()
	n, inverse, squares := 0, 0.0, 0.0
	for i, row := range g.g {
		n += a.bags[i]
		inverse += 1 / float64(a.bags[i])
		for _, v := range row {
			if !math.IsNaN(v) {
				squares += sq(v - a.mean[i])
			}
		}
	}
	k := len(g.runs)
	a.perRun = float64(k) / inverse
	var s2 float64
	a.grand, s2 = stat.MeanVariance(a.mean, nil)
	a.between = meanSquare{s2, float64(k - 1)}
	if df := n - k - (len(g.repeats) - 1); df > 0 {
		a.within = meanSquare{squares / float64(df), float64(df)}
	}
	return a
}

// ofMean is the within mean square as it stands in a run's mean.
func (a anova) ofMean() meanSquare { return meanSquare{a.within.value / a.perRun, a.within.df} }
