package walk

import "math"

// steadyProduct is the product of a port that follows none: a dead sensor that
// hums at a constant rate.
const steadyProduct = -1

// reseat gives each port the product whose flow over time it follows, where
// that is far likelier than the planned one, and reports whether it changed
// any. Products walked one at a time are on at different times, so a seed port
// that listens to a fertiliser hose shows at once.
func (f *flow) reseat(products int) bool {
	if f.still {
		return false
	}
	b := f.perBlock()
	var changed bool
	now := make([]seat, len(f.seat))
	copy(now, f.seat)
	for p := range f.seat {
		best, bestLL := f.seat[p].product, f.follows(p, f.seat[p].product, b)+40
		for t := steadyProduct; t < products; t++ {
			if ll := f.follows(p, t, b); ll > bestLL {
				best, bestLL = t, ll
			}
		}
		if best != f.seat[p].product {
			now[p], changed = seat{-1, best}, true
		}
	}
	f.seat = now
	return changed
}

// follows is how well the port's counts are dealt over the blocks of the log
// as the product's flow would deal them, nats (a multinomial likelihood: the
// port's own level cancels), with the spread of counts put at five times the
// plain law's.
func (f *flow) follows(p, product, block int) float64 {
	const spread = 5
	var ll, x, e float64
	for i := 0; i < f.g.n; i += block {
		var bx, be float64
		for j := i; j < min(i+block, f.g.n); j++ {
			bx += float64(f.g.x[p][j])
			be += float64(f.g.e[p][j]) * f.teamFactor(product, j)
		}
		be += 1e-3 // a few counts may come while nothing flows
		ll += bx * math.Log(be)
		x, e = x+bx, e+be
	}
	if x == 0 {
		return 0
	}
	return (ll - x*math.Log(e)) / spread
}

func (f *flow) teamFactor(product, bin int) float64 {
	if product < 0 {
		return 1
	}
	h := f.smooth[product]
	c, e := f.teams[product].over(max(0, bin-h), min(f.g.n, bin+h+1))
	if e <= 0 {
		return 0
	}
	return c / e
}
