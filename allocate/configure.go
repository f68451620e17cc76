package allocate

import "math"

// configure prices in, for each joined head, the cheapest configuration, where
// it is cheaper than its row of one; and it lowers the price of that row to
// what the cheapest gives, which makes the prices good for a bound. It reports
// whether anything came in.
func (p *master) configure(y []float64) bool {
	more := false
	for g, j := range p.joins {
		if j == nil {
			continue
		}
		c, cost := p.cheapestConfig(g, j, y)
		if cost >= y[j.one]-priceTol {
			continue
		}
		y[j.one] = cost
		if i, isNew := p.addConfig(c); isNew {
			p.cfg = append(p.cfg, -1)
			p.enterConfig(i)
			more = true
		}
	}
	return more
}

// cheapestConfig makes up the head of shares at the prices of their rows, by
// dynamic programming over the runs made up.
func (p *master) cheapestConfig(g int, j *joined, y []float64) (configuration, float64) {
	n := p.Demand[g]
	cost, last := make([]float64, n+1), make([]int, n+1)
	for v := 1; v <= n; v++ {
		cost[v] = math.Inf(1)
		for a := p.least[g]; a < len(j.size) && a <= v; a++ {
			if c := cost[v-a] + y[j.size[a]]; c < cost[v]-1e-12 {
				cost[v], last[v] = c, a
			}
		}
	}
	p.lp.meter.spend(4 * n * len(j.size))
	c := configuration{g, make([]int, len(j.size))}
	for v := n; v > 0; v -= last[v] {
		c.count[last[v]]++
	}
	return c, cost[n]
}
