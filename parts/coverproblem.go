package parts

import (
	"cmp"
	"math"
	"slices"
)

// A cover of all legs from a shelf is better with
//
//	(1) fewer pieces to order, or less to pay for them where every price is known,
//	(2) less surplus, (3) fewer joints,
//
// in that order. Legs compete for the pieces on the shelf and nothing else.
type coverProblem struct {
	parts []Part // legs of the catalogue, longest first
	mm    []int  // their lengths
	price []int  // what ordering one costs: 1, or its price in hundredths
	shelf []int  // pieces on the shelf
	legs  []coverLeg
	byFee bool
}

// coverLeg is one leg and what it can be made of.
type coverLeg struct {
	need    LegNeed
	needMM  int
	choices []choice // least surplus first
}

// choice is one way to make a leg: pieces of each part.
type choice struct {
	count   []uint16
	pieces  int
	surplus int // mm
}

// score is how good a cover is; less is better, in this order.
type score struct{ order, surplus, joints int }

func (a score) compare(b score) int {
	return cmp.Or(cmp.Compare(a.order, b.order), cmp.Compare(a.surplus, b.surplus), cmp.Compare(a.joints, b.joints))
}

func (a score) plus(b score) score {
	return score{a.order + b.order, a.surplus + b.surplus, a.joints + b.joints}
}

// MostJoints is how many joints a leg may have between its ends: common
// practice, no source. Each is two more contacts and a place for water.
const MostJoints = 16

// Bounds of the enumeration: a leg of more pieces than three above the fewest,
// or with more surplus than a piece that could be left out, helps nobody; nor
// does one of more joints than are allowed, unless there is no other.
const (
	morePieces  = 3
	mostChoices = 3000
)

func newCoverProblem(legs []LegNeed, shelf Shelf, cat Catalogue) *coverProblem {
	p := &coverProblem{parts: cat.Of(Leg), byFee: true}
	slices.SortStableFunc(p.parts, func(a, b Part) int {
		return cmp.Or(cmp.Compare(b.LengthM, a.LengthM), cmp.Compare(a.AreaMM2, b.AreaMM2))
	})
	for _, part := range p.parts {
		p.mm = append(p.mm, int(math.Round(part.LengthM*1000)))
		p.shelf = append(p.shelf, shelf.Pieces(part.ID))
		p.byFee = p.byFee && part.Price > 0
	}
	for _, part := range p.parts {
		fee := 1
		if p.byFee {
			fee = int(math.Round(part.Price * 100))
		}
		p.price = append(p.price, fee)
	}
	for _, l := range legs {
		c := coverLeg{need: l, needMM: int(math.Ceil(l.NeedM*1000 - 1e-6))}
		c.choices = p.choicesFor(c)
		p.legs = append(p.legs, c)
	}
	return p
}

// choicesFor lists the ways to make a leg from which no piece can be left out,
// by surplus, then pieces.
func (p *coverProblem) choicesFor(l coverLeg) []choice {
	longest := 0
	for i, part := range p.parts {
		if part.AreaMM2 >= l.need.AreaMM2 {
			longest = max(longest, p.mm[i])
		}
	}
	if longest == 0 {
		return nil
	}
	fewest := (l.needMM + longest - 1) / longest
	most := max(fewest, min(fewest+morePieces, MostJoints+1))
	var all []choice
	count := make([]uint16, len(p.parts))
	var add func(from, sum, pieces, shortest int)
	add = func(from, sum, pieces, shortest int) {
		if sum >= l.needMM {
			if sum-shortest < l.needMM {
				all = append(all, choice{slices.Clone(count), pieces, sum - l.needMM})
			}
			return
		}
		for i := from; i < len(p.parts) && pieces < most; i++ {
			if p.parts[i].AreaMM2 < l.need.AreaMM2 || sum+(most-pieces)*p.mm[i] < l.needMM {
				continue
			}
			count[i]++
			add(i, sum+p.mm[i], pieces+1, min(shortest, p.mm[i]))
			count[i]--
		}
	}
	add(0, 0, 0, math.MaxInt)
	slices.SortStableFunc(all, func(a, b choice) int {
		return cmp.Or(cmp.Compare(a.surplus, b.surplus), cmp.Compare(a.pieces, b.pieces))
	})
	return all[:min(len(all), mostChoices)]
}

// of is the score of a choice when so many pieces are left on the shelf.
func (p *coverProblem) of(c choice, left []int) score {
	s := score{surplus: c.surplus, joints: c.pieces - 1}
	for i, n := range c.count {
		if over := int(n) - max(0, left[i]); over > 0 {
			s.order += over * p.price[i]
		}
	}
	return s
}

// take moves a choice's pieces off the shelf; times -1 puts them back. What is
// not there is ordered, and the shelf goes below nothing.
func take(c choice, left []int, times int) {
	for i, n := range c.count {
		left[i] -= times * int(n)
	}
}

// total is the score of all legs together.
func (p *coverProblem) total(chosen []int) score {
	left := slices.Clone(p.shelf)
	var s score
	for i, k := range chosen {
		if k < 0 {
			continue
		}
		c := p.legs[i].choices[k]
		take(c, left, 1)
		s.surplus += c.surplus
		s.joints += c.pieces - 1
	}
	for i, n := range left {
		s.order += max(0, -n) * p.price[i]
	}
	return s
}
