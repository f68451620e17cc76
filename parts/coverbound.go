package parts

import "math"

// boundWork limits the bound, in steps of its tables: some hundredths of a
// second.
const (
	boundWork  = 30_000_000
	boundTries = 300
	boundLeast = 20
)

// priced is a lower bound of what must be ordered, by prices for pieces of the
// shelf (Lagrangian relaxation of the shelf's limits; the best one equals that
// of the linear programme over all covers of each leg). With u(k) from 0 to the
// price of part k,
//
//	order >= sum over legs of their cheapest cover at u - sum over k of u(k) shelf(k)
//
// for what is taken from the shelf is worth no more than u, and what is ordered
// costs no less. Prices follow the subgradient, pieces wanted less pieces there,
// by Polyak's step toward the order already found.
func (p *coverProblem) priced(found int) int {
	t := p.newPriceTables()
	tries := min(boundTries, max(boundLeast, boundWork/max(1, t.work())))
	u := make([]float64, len(p.parts))
	for k := range u {
		u[k] = float64(p.price[k]) / 2
	}
	best, reach, since := 0.0, 1.0, 0
	for range tries {
		low, wanted := t.bound(u)
		if since++; low > best+1e-9 {
			best, since = low, 0
		}
		if since > 10 {
			reach, since = reach/2, 0
		}
		if best > float64(found-1)+1e-6 || !step(u, wanted, p.price, reach*(float64(found)-low)) {
			break
		}
	}
	return min(found, int(math.Ceil(best-1e-6)))
}

// step moves prices along the subgradient so far that the bound would rise by
// rise if it were straight; false where there is no way up.
func step(u, wanted []float64, price []int, rise float64) bool {
	norm := 0.0
	for k, g := range wanted {
		if g > 0 && u[k] < float64(price[k]) || g < 0 && u[k] > 0 {
			norm += g * g
		}
	}
	if norm == 0 {
		return false
	}
	for k, g := range wanted {
		u[k] = min(max(u[k]+rise/norm*g, 0), float64(price[k]))
	}
	return true
}

// priceTables are the cheapest covers of all lengths, one table for each least
// cross-section among the legs.
type priceTables struct {
	p     *coverProblem
	unit  int             // greatest length that divides all of the parts, mm
	areas []float64       // least cross-sections, mm2
	most  map[float64]int // longest need with each, units
	cost  []float64
	last  []int // part that comes first in the cheapest cover
}

func (p *coverProblem) newPriceTables() *priceTables {
	t := &priceTables{p: p, most: make(map[float64]int)}
	for _, mm := range p.mm {
		t.unit = divisor(t.unit, mm)
	}
	longest := 0
	for _, l := range p.legs {
		if len(l.choices) == 0 {
			continue
		}
		a := l.need.AreaMM2
		if _, seen := t.most[a]; !seen {
			t.areas = append(t.areas, a)
		}
		t.most[a] = max(t.most[a], t.units(l.needMM))
		longest = max(longest, t.most[a])
	}
	t.cost, t.last = make([]float64, longest+1), make([]int, longest+1)
	return t
}

func divisor(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

func (t *priceTables) units(mm int) int { return (mm + t.unit - 1) / t.unit }

// work is how many steps one bound takes.
func (t *priceTables) work() int {
	n := 0
	for _, a := range t.areas {
		n += t.most[a] * len(t.p.parts)
	}
	return n
}

// bound is that of the prices, and how many pieces of each part more are wanted
// at them than there are.
func (t *priceTables) bound(u []float64) (low float64, wanted []float64) {
	wanted = make([]float64, len(u))
	for k, n := range t.p.shelf {
		low -= u[k] * float64(n)
		wanted[k] -= float64(n)
	}
	for _, a := range t.areas {
		t.fill(a, u)
		for _, l := range t.p.legs {
			if len(l.choices) == 0 || l.need.AreaMM2 != a {
				continue
			}
			need := t.units(l.needMM)
			low += t.cost[need]
			for need > 0 {
				k := t.last[need]
				wanted[k]++
				need = max(0, need-t.p.mm[k]/t.unit)
			}
		}
	}
	return low, wanted
}

// fill reckons the cheapest cover of each length from parts at least so thick:
// c(0) = 0, c(n) = min over parts k of u(k) + c(n - length of k).
func (t *priceTables) fill(areaMM2 float64, u []float64) {
	for n := 1; n <= t.most[areaMM2]; n++ {
		t.cost[n] = math.Inf(1)
		for k, part := range t.p.parts {
			if part.AreaMM2 < areaMM2 || t.p.mm[k] <= 0 {
				continue
			}
			if c := u[k] + t.cost[max(0, n-t.p.mm[k]/t.unit)]; c < t.cost[n] {
				t.cost[n], t.last[n] = c, k
			}
		}
	}
}
