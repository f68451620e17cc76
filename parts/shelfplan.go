package parts

import (
	"cmp"
	"fmt"
	"slices"
)

// CoverFromShelf chooses the pieces of all legs anew, so that as little as
// possible must be ordered: fewest pieces, or least cost where every leg of the
// catalogue has a price; then least surplus, then fewest joints. Any piece at
// least as thick as wanted serves; a leg has at most three pieces more than it
// needs, and at most MostJoints joints where any choice has. The answer is
// exact, or says how far the order may be above the least.
func CoverFromShelf(legs []LegNeed, shelf Shelf, cat Catalogue) ShelfPlan {
	p := newCoverProblem(legs, shelf, cat)
	chosen, low, optimal := p.solve()
	total := p.total(chosen)
	out := ShelfPlan{
		Least: LeastPieces, SurplusM: float64(total.surplus) / 1000, Joints: total.joints,
		Optimal: optimal, Bound: fmt.Sprintf("proved among legs of at most %d pieces more than the fewest and %d joints: no choice orders less, then has less surplus, then fewer joints", morePieces, MostJoints),
	}
	if p.byFee {
		out.Least = LeastCost
	}
	switch {
	case optimal:
	case total.order <= low:
		out.Bound = "proved: no choice of pieces orders less; whether one that orders as much has less surplus was not searched to the end"
	default:
		out.Bound = fmt.Sprintf("the order is at most %s above the least", p.fee(total.order-low))
	}
	left := slices.Clone(p.shelf)
	for i := range p.legs {
		out.Legs = append(out.Legs, p.cover(i, chosen[i], left, &out))
	}
	return out
}

// fee writes what is made least.
func (p *coverProblem) fee(n int) string {
	if p.byFee {
		return fmt.Sprintf("%.2f", float64(n)/100)
	}
	if n == 1 {
		return "1 piece"
	}
	return fmt.Sprintf("%d pieces", n)
}

// cover is leg i as chosen; pieces come off what is left on the shelf.
func (p *coverProblem) cover(i, k int, left []int, out *ShelfPlan) LegCover {
	need := p.legs[i].need
	c := LegCover{ID: need.ID, Pieces: []string{}}
	if k < 0 {
		c.Changed = len(need.Pieces) > 0
		return c
	}
	for j, n := range p.legs[i].choices[k].count {
		part := p.parts[j]
		for range n {
			c.Pieces = append(c.Pieces, part.ID)
			c.LengthM += part.LengthM
			if c.AreaMM2 == 0 || part.AreaMM2 < c.AreaMM2 {
				c.AreaMM2 = part.AreaMM2
			}
			if left[j]--; left[j] < 0 {
				c.Order = append(c.Order, part.ID)
				out.Order++
				if p.byFee {
					out.OrderCost += part.Price
				}
			}
		}
	}
	planned := slices.Clone(need.Pieces)
	slices.Sort(planned)
	c.Changed = !slices.Equal(planned, slices.Sorted(slices.Values(c.Pieces)))
	return c
}

// StandIns are the nodes to fit where the shelf is short of the planned ones:
// for each planned node its own part where there is one, else the smallest on
// the shelf that can do all that it does, else its own, to be ordered. planned
// are part ids in the order of the fit.
func StandIns(planned []string, shelf Shelf, cat Catalogue) []string {
	left := make(map[string]int)
	for _, s := range shelf {
		left[s.Part] = s.Pieces
	}
	out := slices.Clone(planned)
	short := []int(nil)
	for i, id := range planned {
		if left[id]--; left[id] < 0 {
			short = append(short, i)
		}
	}
	for _, i := range short {
		own, _ := cat.Part(planned[i])
		fits := slices.DeleteFunc(cat.Of(Node), func(p Part) bool { return left[p.ID] <= 0 || !p.doesAllOf(own) })
		if len(fits) == 0 {
			continue
		}
		p := slices.MinFunc(fits, func(a, b Part) int {
			return cmp.Or(cmp.Compare(a.Ports, b.Ports), cmp.Compare(a.TubeMaxM, b.TubeMaxM))
		})
		out[i] = p.ID
		left[p.ID]--
	}
	return out
}

// doesAllOf tells whether a node can stand in for another: as many ports and as
// long tubes, no more volts, the same bus, joined alike.
func (p Part) doesAllOf(o Part) bool {
	return p.Ports >= o.Ports && p.TubeMaxM >= o.TubeMaxM && p.VoltsMin <= o.VoltsMin && p.Bus == o.Bus && p.KbitS == o.KbitS && p.Joins == o.Joins
}

// From says of each line how many pieces are on the shelf and how many must be
// ordered. Spares are ordered too: a shelf that is emptied is not one to drive
// off with. insteadOf are parts that stand in for planned ones, by id.
func (k Kit) From(shelf Shelf, plan ShelfPlan, insteadOf map[string]string) Kit {
	k.Lines = slices.Clone(k.Lines)
	left := make(map[string]int)
	for _, s := range shelf {
		left[s.Part] = s.Pieces
	}
	plan.Order, plan.OrderCost = 0, 0
	priced := true
	for i := range k.Lines {
		l := &k.Lines[i]
		l.Shelf = min(l.Pieces(), left[l.Part])
		l.Order = l.Pieces() - l.Shelf
		left[l.Part] -= l.Shelf
		l.InsteadOf = insteadOf[l.Part]
		plan.Order += l.Order
		plan.OrderCost += float64(l.Order) * l.Price
		priced = priced && (l.Order == 0 || l.Price > 0)
	}
	if !priced {
		plan.OrderCost = 0
	}
	k.Shelf = plan
	return k
}
