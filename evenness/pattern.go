package evenness

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"runproof/drill"
)

// HeadMean is one head's part.
type HeadMean struct {
	Head      drill.HeadID `json:"head"`      // id of the head
	Runs      int          `json:"runs"`      // runs that were weighed
	MeanG     float64      `json:"mean_g"`    // of a run and an average repeat, g
	Deviation float64      `json:"deviation"` // from the mean of all runs of the product
	CV        *float64     `json:"cv"`        // of its run means; null with one run
}

// Division is how the product divides over heads, and within them.
type Division struct {
	Heads    []HeadMean `json:"heads"`     // in the order of the drill
	HeadsCV  *float64   `json:"heads_cv"`  // of the heads, what the runs' own scatter brings about taken off; null with one head
	WithinCV *float64   `json:"within_cv"` // of the runs within heads, runs out of line left out; null where it is not known
	Test     *Test      `json:"test"`      // whether heads differ more than their runs' scatter explains
}

// divide judges the heads. used tells which runs are in line: the scatter within
// heads is theirs. The heads' means are those of all runs, for what a blocked
// run does not take goes to its siblings and stays in the head.
func divide(x []float64, runs []drill.Run, used []bool, order []drill.HeadID) Division {
	d := Division{}
	grand := stat.Mean(x, nil)
	var means, sizes []float64
	for _, h := range order {
		mine := where(x, func(i int) bool { return runs[i].Head == h })
		if len(mine) == 0 {
			continue
		}
		m := stat.Mean(mine, nil)
		means, sizes = append(means, m), append(sizes, float64(len(mine)))
		d.Heads = append(d.Heads, HeadMean{Head: h, Runs: len(mine), MeanG: digits(m), Deviation: digits(m/grand - 1), CV: finite(CV(mine))})
	}
	within := withinHeads(x, runs, used)
	if within.df > 0 {
		d.WithinCV = finite(math.Sqrt(within.value) / grand)
	}
	if len(means) < 2 {
		return d
	}
	square, inverse := 0.0, 0.0
	for i, m := range means {
		square += sizes[i] * sq(m-grand)
		inverse += 1 / sizes[i]
	}
	if t, ok := fTest(square/float64(len(means)-1), len(means)-1, within.value, int(within.df)); ok {
		d.Test = &t
		v := stat.Variance(means, nil) - within.value*inverse/float64(len(means))
		d.HeadsCV = finite(root(v) / grand)
	}
	return d
}

// withinHeads is the variance of the runs in line about their heads' means.
func withinHeads(x []float64, runs []drill.Run, used []bool) meanSquare {
	r := residuals(x, runs, used)
	squares := 0.0
	for _, e := range r.e {
		squares += sq(e)
	}
	return meanSquare{squares / math.Max(1, float64(r.df())), float64(r.df())}
}

// aboutHeads are the runs in line with what they deviate from their heads' means.
type aboutHeads struct {
	at    []int     // index of the run
	e     []float64 // deviation
	heads int       // heads that they belong to
}

func (r aboutHeads) df() int { return len(r.e) - r.heads }

func residuals(x []float64, runs []drill.Run, used []bool) aboutHeads {
	sum, n := map[drill.HeadID]float64{}, map[drill.HeadID]float64{}
	for i, v := range x {
		if used[i] {
			sum[runs[i].Head] += v
			n[runs[i].Head]++
		}
	}
	r := aboutHeads{heads: len(n)}
	for i, v := range x {
		if h := runs[i].Head; used[i] {
			r.at, r.e = append(r.at, i), append(r.e, v-sum[h]/n[h])
		}
	}
	return r
}

// where are the values at the indices that keep holds for.
func where(x []float64, keep func(i int) bool) []float64 {
	var out []float64
	for i, v := range x {
		if keep(i) {
			out = append(out, v)
		}
	}
	return out
}

// OutletPlace is the mean of one outlet number over heads of one size.
type OutletPlace struct {
	Outlet    int     `json:"outlet"`    // number of the outlet
	Heads     int     `json:"heads"`     // heads that it is the mean of
	Deviation float64 `json:"deviation"` // from the heads' own means
}

// Outlets is the effect of an outlet's place on the head, over several heads of
// the same number of outlets.
type Outlets struct {
	Of     int           `json:"of"`     // outlets of these heads
	Heads  int           `json:"heads"`  // heads that were compared: those with every outlet weighed and in line
	Places []OutletPlace `json:"places"` // by number
	Test   *Test         `json:"test"`   // whether the places differ, the same way on all of these heads
}

// outletPlaces compares outlet numbers over heads of one size with all their
// outlets in line: two-way layout of heads and places without interaction.
func outletPlaces(x []float64, runs []drill.Run, used []bool, d *drill.Drill) []Outlets {
	type whole struct{ dev []float64 }
	sizes := map[int][]whole{}
	grand := stat.Mean(x, nil)
	for _, h := range d.Heads {
		dev := make([]float64, 0, len(h.Rows))
		for i, r := range runs {
			if r.Head == h.ID && used[i] {
				dev = append(dev, x[i])
			}
		}
		if n := len(h.Rows); len(dev) == n && n >= 2 {
			m := stat.Mean(dev, nil)
			for j := range dev {
				dev[j] -= m
			}
			sizes[n] = append(sizes[n], whole{dev})
		}
	}
	var out []Outlets
	for n, heads := range sizes {
		k := len(heads)
		if k < 2 {
			continue
		}
		o := Outlets{Of: n, Heads: k}
		effect, rest := 0.0, 0.0
		for j := range n {
			m := 0.0
			for _, h := range heads {
				m += h.dev[j] / float64(k)
			}
			effect += float64(k) * sq(m)
			for _, h := range heads {
				rest += sq(h.dev[j] - m)
			}
			o.Places = append(o.Places, OutletPlace{Outlet: j + 1, Heads: k, Deviation: digits(m / grand)})
		}
		df2 := (n - 1) * (k - 1)
		if t, ok := fTest(effect/float64(n-1), n-1, rest/float64(df2), df2); ok {
			o.Test = &t
		}
		out = append(out, o)
	}
	slices.SortFunc(out, func(a, b Outlets) int { return cmp.Compare(a.Of, b.Of) })
	return out
}
