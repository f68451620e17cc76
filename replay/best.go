package replay

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"runproof/measure"
)

// mostBudget bounds the false alarms that are shared out one by one.
const mostBudget = 2000

// better says whether a rule did better on the day: less missed, then fewer
// false alarms, then the longer hold and the lower floor, which are the safer
// ones on another day.
func better(a, b Point) bool {
	return cmp.Or(cmp.Compare(a.MissedM, b.MissedM), cmp.Compare(a.FalseCount, b.FalseCount), cmp.Compare(b.samples, a.samples), cmp.Compare(a.Floor, b.Floor)) < 0
}

// choice is rules for the first products, one each, with their sum. The zero
// choice is of no product.
type choice struct {
	points  []Point
	missedM float64
	ok      bool
}

// share deals the drill's allowance of false alarms to the products so that the
// least is missed: for each number of alarms the best choice for the products
// so far, one product after another. A product for which nothing keeps within
// the allowance goes without a rule, and all that its events took is missed.
func share(products [][]Point, silentM []float64, budget int) choice {
	best := make([]choice, budget+1)
	best[0].ok = true
	for p, points := range products {
		byFalse := cheapest(points, budget)
		next := make([]choice, budget+1)
		for spent, c := range best {
			if !c.ok {
				continue
			}
			next[spent] = lesser(next[spent], choice{c.points, c.missedM + silentM[p], true})
			for n, w := range byFalse {
				if w != nil && spent+n <= budget {
					next[spent+n] = lesser(next[spent+n], choice{append(slices.Clip(c.points), *w), c.missedM + w.MissedM, true})
				}
			}
		}
		best = next
	}
	out := best[0]
	for _, c := range best[1:] {
		out = lesser(out, c)
	}
	return out
}

// lesser is the choice that misses less, the first of equals; of equals the one
// with a rule for more products.
func lesser(a, b choice) choice {
	if !a.ok || b.ok && (b.missedM < a.missedM || b.missedM == a.missedM && len(b.points) > len(a.points)) {
		return b
	}
	return a
}

// cheapest is for each number of false alarms the best rule that makes just so
// many.
func cheapest(points []Point, budget int) []*Point {
	out := make([]*Point, budget+1)
	for i, p := range points {
		if p.FalseCount <= budget && (out[p.FalseCount] == nil || better(p, *out[p.FalseCount])) {
			out[p.FalseCount] = &points[i]
		}
	}
	return out
}

// frontier are the points that no other betters in both false alarms and
// missed metres, by false alarms.
func frontier(points []Point) []Point {
	sorted := slices.Clone(points)
	slices.SortStableFunc(sorted, func(a, b Point) int {
		if c := cmp.Compare(a.FalseCount, b.FalseCount); c != 0 {
			return c
		}
		if better(a, b) {
			return -1
		}
		return 1
	})
	var out []Point
	least := math.Inf(1)
	for _, p := range sorted {
		if p.MissedM < least-1e-9 {
			least, out = p.MissedM, append(out, p)
		}
	}
	return out
}

// allowance is how many false alarms the allowed rate leaves for the day, whole
// alarms.
func (s *session) allowance(allowed float64) int {
	return int(min(mostBudget, allowed*s.hours()/10+1e-9))
}

// best searches the grid. Hindsight is not held to fewer false alarms than the
// rules that were played made.
func (s *session) best(allowed float64) (b Best, curve []Point) {
	b = Best{Products: []Point{}, MostFalse: min(mostBudget, max(s.allowance(allowed), s.players[0].quiet))}
	var products [][]Point
	var silent []float64
	events := 0
	ids, _ := s.layout.products(s.fit)
	for _, id := range ids {
		missed := 0.0
		for _, t := range s.players[0].targetsOf(id) {
			missed += t.Metres
			events++
		}
		if !s.players[0].has(id) || missed == 0 {
			continue
		}
		points := s.grid.points(id, func(d int) float64 { return measure.Round(float64(d)*s.machine.intervalS, 6) })
		curve = append(curve, frontier(points)...)
		products, silent = append(products, points), append(silent, missed)
	}
	c := share(products, silent, b.MostFalse)
	for _, p := range c.points {
		b.Products = append(b.Products, tidy(p))
		b.FalseCount += p.FalseCount
	}
	b.MissedM = measure.Round(c.missedM, 2)
	b.Remark = s.remark(events, len(products)-len(c.points), allowed)
	for i := range curve {
		curve[i] = tidy(curve[i])
	}
	return b, curve
}

func tidy(p Point) Point {
	p.Floor, p.MissedM = measure.Round(p.Floor, 4), measure.Round(p.MissedM, 2)
	return p
}

// remark says what the choice is worth.
func (s *session) remark(events, without int, allowed float64) string {
	hours := s.hours()
	if events == 0 {
		return "No event of this day cost product on a single run, so there is nothing to choose a rule by."
	}
	text := fmt.Sprintf("Fitted to this one day of %.1f h with %d events that cost product on a run: it shows what hindsight would have gained, and is no rule to key in. "+
		"On another day it will miss more and sound more often than here; rules for work come from runproof tune, which reckons with flow that was not seen.", hours, events)
	if without > 0 {
		text += " For some product no floor and hold kept within the allowed false alarms; it stands without a rule here."
	}
	leaves, rang := s.allowance(allowed), s.players[0].quiet
	if leaves == 0 {
		text += fmt.Sprintf(" The allowed %.3g in 10 h leave no false alarm in %.1f h.", allowed, hours)
	}
	if rang > leaves {
		text += fmt.Sprintf(" The search was given as many false alarms as %s made: %d.", s.books[0].Name, rang)
	}
	return text
}
