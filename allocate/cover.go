package allocate

import (
	"math"
	"slices"
)

// cover finds the fewest nodes that can serve a part: a whole number k of nodes
// for each mount, so that each window of mounts has its nodes. Windows that
// whole numbers miss beyond the known ones are found by trying to serve the
// runs.
//
// The programme (least sum of k, for each window the sum of its k >= nodes,
// limits from branching) is solved in its dual form, in which windows and
// limits are columns that can be added at any time: k are its prices.
type cover struct {
	*part
	lp     linear
	limits map[coverLimit]int32 // column of each
	best   []int                // nodes of each mount; nil when no better answer than the one known was found
	value  int
	low    int // proved: no fewer nodes will do
	steps  int
}

// coverLimit is n nodes at most, or at least, at a mount.
type coverLimit struct {
	at   int
	most bool
	n    int
}

// coverBranch is a choice of limits, and the basis to begin with.
type coverBranch struct {
	limits []coverLimit
	low    int
	basis  []int32
}

// idle is the cost of a column out of use.
const idle = 1e9

// fewest solves it by branch and bound. known is a number of nodes that will
// do.
func (p *part) fewest(known int, m *meter) *cover {
	c := &cover{part: p, lp: newLinear(m), value: known, low: (p.total() + p.Cap - 1) / p.Cap, limits: make(map[coverLimit]int32)}
	if c.low >= c.value {
		return c
	}
	slacks := make([]int32, len(p.Demand))
	for at := range slacks {
		c.lp.b = append(c.lp.b, 1+disturbance(at))
		slacks[at] = c.lp.column(0, []int32{int32(at)}, []float64{1})
	}
	for _, w := range p.windows() {
		c.know(w)
	}
	open := []coverBranch{{low: c.low, basis: slacks}}
	for len(open) > 0 && c.value > c.low && !m.empty() {
		c.steps++
		k := c.next(open)
		b := open[k]
		open = slices.Delete(open, k, k+1)
		if b.low < c.value {
			open = append(open, c.look(b)...)
		}
		c.low = c.value
		for _, b := range open {
			c.low = min(c.low, b.low)
		}
	}
	return c
}

// next takes the newest branch, and now and then the one with the lowest
// bound.
func (c *cover) next(open []coverBranch) int {
	k := len(open) - 1
	if c.steps%8 == 0 {
		for i, b := range open {
			if b.low < open[k].low {
				k = i
			}
		}
	}
	return k
}

// know adds a window.
func (c *cover) know(w window) {
	var rows []int32
	var ones []float64
	for at := range w.mounts.all {
		rows, ones = append(rows, int32(at)), append(ones, 1)
	}
	c.lp.column(-float64(w.nodes), rows, ones)
}

// look solves the branch's programme and returns the branches that are left.
func (c *cover) look(b coverBranch) []coverBranch {
	c.restrict(b)
	for {
		k, ok := c.programme()
		if !ok {
			return nil
		}
		sum := 0.0
		for _, v := range k {
			sum += v
		}
		if b.low = max(b.low, int(math.Ceil(sum-1e-6))); b.low >= c.value {
			return nil
		}
		if at := brokenMount(k); at >= 0 {
			b.basis = slices.Clone(c.lp.basis)
			return c.split(b, at, k[at])
		}
		whole := rounded(k)
		w, missed := c.missing(whole)
		if !missed {
			c.best, c.value = whole, total(whole)
			return nil
		}
		c.know(w)
	}
}

// restrict puts the branch's limits in use and all others out of it.
func (c *cover) restrict(b coverBranch) {
	for _, j := range c.limits {
		c.lp.cost[j] = idle
	}
	for _, l := range b.limits {
		j, ok := c.limits[l]
		sign := 1.0
		if l.most {
			sign = -1
		}
		if !ok {
			j = c.lp.column(0, []int32{int32(l.at)}, []float64{sign})
			c.limits[l] = j
		}
		c.lp.cost[j] = -sign * float64(l.n)
	}
	c.lp.setBasis(b.basis, nil)
}

// programme solves for k. It reports false when the limits leave no answer, or
// the meter is empty.
func (c *cover) programme() (k []float64, ok bool) {
	if !c.lp.solve() {
		return nil, false
	}
	k = make([]float64, len(c.Demand))
	for at, y := range c.lp.y {
		k[at] = max(0, -y)
	}
	return k, true
}

func (c *cover) split(b coverBranch, at int, v float64) []coverBranch {
	down, up := b, b
	down.limits = append(slices.Clone(b.limits), coverLimit{at, true, int(math.Floor(v))})
	up.limits = append(slices.Clone(b.limits), coverLimit{at, false, int(math.Ceil(v))})
	return []coverBranch{down, up}
}

// missing tries to serve the runs with so many nodes at the mounts; where that
// fails it returns a window that lacks nodes.
func (c *cover) missing(nodes []int) (window, bool) {
	_, heads, ok := c.serve(nodes)
	if ok {
		return window{}, false
	}
	mounts := newMask(len(c.Demand))
	for _, g := range heads {
		mounts.join(c.reach[g])
	}
	return c.window(mounts), true
}

// brokenMount is where the number of nodes is farthest from whole, or -1.
func brokenMount(k []float64) int {
	at, far := -1, 1e-6
	for i, v := range k {
		if f := broken(v); f > far+1e-9 {
			at, far = i, f
		}
	}
	return at
}

func rounded(k []float64) []int {
	whole := make([]int, len(k))
	for i, v := range k {
		whole[i] = int(math.Round(v))
	}
	return whole
}
