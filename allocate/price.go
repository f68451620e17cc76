package allocate

import "slices"

// priceTable is scratch for pricing.
type priceTable struct {
	worth [][]float64 // of each head: what a share of so many runs is worth at any mount
	local [][]int     // of each mount: the rows about it alone
	value []float64   // of shares of one head at one mount
	sizes []int       // of shares worth a look
	best  []float64   // of so many ports: the worth of the best load
	pick  []uint16    // of each head in reach and so many ports: runs taken
}

const priceTol = 1e-8

// price finds, for each mount, the pattern of least reduced cost at the row
// prices y: a knapsack in which each head offers one share of any size
// (multiple choice, by dynamic programming over ports). It returns the least
// reduced cost and the patterns whose cost is negative.
func (p *master) price(y []float64) (least float64, found []pattern) {
	t := &p.table
	p.prepare(t, y)
	base := 0.0
	for _, i := range p.other {
		if r := &p.rows[i]; r.kind == nodeRow && r.at == anywhere {
			base -= y[i]
		}
	}
	for at, heads := range p.near {
		if len(heads) == 0 {
			continue
		}
		cost := base
		for _, i := range t.local[at] {
			if k := p.rows[i].kind; k == nodeRow || k == windowRow {
				cost -= y[i]
			}
		}
		top := p.knapsack(t, at, heads, y)
		if rc := cost - t.best[top]; rc < -priceTol {
			found = append(found, p.traced(t, at, heads, top))
			least = min(least, rc)
		}
	}
	return least, found
}

// prepare fills the tables that hold for all mounts.
func (p *master) prepare(t *priceTable, y []float64) {
	if t.worth == nil {
		t.worth, t.local = make([][]float64, len(p.Demand)), make([][]int, len(p.Demand))
		t.best, t.sizes = make([]float64, p.Cap+1), make([]int, 0, p.Cap)
		for g, n := range p.Demand {
			t.worth[g] = make([]float64, min(n, p.Cap)+1)
		}
	}
	pair := p.w.pair
	for at := range t.local {
		t.local[at] = t.local[at][:0]
	}
	for _, i := range p.other {
		r := &p.rows[i]
		switch {
		case y[i] == 0:
		case r.kind == pairRow:
			pair -= y[i]
		case r.kind == windowRow:
			for at := range r.set.all {
				t.local[at] = append(t.local[at], i)
			}
		case r.at != anywhere:
			t.local[r.at] = append(t.local[r.at], i)
		}
	}
	for g, w := range t.worth {
		for a := 1; a < len(w); a++ {
			w[a] = -pair
			if j := p.joins[g]; j != nil {
				w[a] += y[j.size[a]]
			}
		}
		p.addRows(t, g, y)
	}
}

// addRows adds what the rows about head g give for its shares.
func (p *master) addRows(t *priceTable, g int, y []float64) {
	w := t.worth[g]
	for _, i := range p.about[g] {
		r := &p.rows[i]
		if y[i] == 0 {
			continue
		}
		if r.at != anywhere {
			t.local[r.at] = append(t.local[r.at], i)
			continue
		}
		for a := 1; a < len(w); a++ {
			w[a] += y[i] * r.worth(a)
		}
	}
}

// knapsack fills the tables with the best loads of a node at the mount, and
// returns at how many ports the best of all is found.
func (p *master) knapsack(t *priceTable, at int, heads []int, y []float64) int {
	if need := len(heads) * (p.Cap + 1); len(t.pick) < need {
		t.pick = make([]uint16, need)
	}
	clear(t.best)
	for k, g := range heads {
		pick := t.pick[k*(p.Cap+1) : (k+1)*(p.Cap+1)]
		clear(pick)
		p.evaluate(t, at, g, y)
		p.pack(t, pick)
	}
	top := 0
	for c, v := range t.best {
		if v > t.best[top]+1e-12 {
			top = c
		}
	}
	return top
}

// evaluate lists the shares of head g at the mount that are worth a look: each
// larger one is worth more than all smaller ones.
func (p *master) evaluate(t *priceTable, at, g int, y []float64) {
	w := t.worth[g]
	t.value = append(t.value[:0], w...)
	d := p.w.metre * p.DistM[at][g]
	for a := 1; a < len(w); a++ {
		t.value[a] -= d * float64(a)
	}
	for _, i := range t.local[at] {
		r := &p.rows[i]
		if r.head != g || r.kind == nodeRow || r.kind == windowRow {
			continue
		}
		for a := 1; a < len(w); a++ {
			t.value[a] += y[i] * r.worth(a)
		}
	}
	t.sizes = t.sizes[:0]
	top := 0.0
	for a := p.least[g]; a < len(w); a++ {
		if t.value[a] > top {
			top = t.value[a]
			t.sizes = append(t.sizes, a)
		}
	}
}

// pack takes one more head into the table of best loads.
func (p *master) pack(t *priceTable, pick []uint16) {
	if len(t.sizes) == 0 {
		return
	}
	best := t.best
	for c := len(best) - 1; c >= t.sizes[0]; c-- {
		b, a := best[c], 0
		for _, s := range t.sizes {
			if s > c {
				break
			}
			if v := best[c-s] + t.value[s]; v > b+1e-12 {
				b, a = v, s
			}
		}
		best[c], pick[c] = b, uint16(a)
	}
	p.lp.meter.spend(5 * len(best) * len(t.sizes))
}

// traced is the load behind the best worth of so many ports.
func (p *master) traced(t *priceTable, at int, heads []int, ports int) pattern {
	n := Node{At: at}
	for k := len(heads) - 1; k >= 0; k-- {
		if a := int(t.pick[k*(p.Cap+1)+ports]); a > 0 {
			n.Load = append(n.Load, Share{heads[k], a})
			ports -= a
		}
	}
	slices.SortFunc(n.Load, func(a, b Share) int { return a.Head - b.Head })
	return p.pattern(n)
}
