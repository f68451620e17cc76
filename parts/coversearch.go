package parts

import (
	"cmp"
	"math"
	"slices"
)

// coverWork limits the search, in choices looked at: some tenths of a second.
const coverWork = 600_000

// solve returns a choice for each leg, -1 where none exists, a lower bound of
// the first part of the score, and whether no better cover exists.
func (p *coverProblem) solve() (chosen []int, low int, optimal bool) {
	hard := p.hardFirst()
	best := p.improved(p.greedy(hard))
	slices.Reverse(hard)
	if other := p.improved(p.greedy(hard)); p.total(other).compare(p.total(best)) < 0 {
		best = other
	}
	s := &coverSearch{p: p, best: best, score: p.total(best), left: slices.Clone(p.shelf), chosen: slices.Clone(best), work: coverWork}
	s.order = p.hardFirst()
	s.bounds()
	low = max(s.suffix[0].order, p.deficit(s.left, s.order))
	if p.complete() {
		s.branch(0, score{})
		optimal = s.work > 0
	}
	if optimal {
		low = s.score.order
	} else {
		low = max(low, p.priced(s.score.order))
	}
	return s.best, min(low, s.score.order), optimal
}

// complete tells whether no leg's choices were cut short.
func (p *coverProblem) complete() bool {
	return !slices.ContainsFunc(p.legs, func(l coverLeg) bool { return len(l.choices) >= mostChoices })
}

// hardFirst are the legs with a choice, longest first.
func (p *coverProblem) hardFirst() []int {
	var order []int
	for i, l := range p.legs {
		if len(l.choices) > 0 {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(p.legs[b].need.AreaMM2, p.legs[a].need.AreaMM2), cmp.Compare(p.legs[b].needMM, p.legs[a].needMM))
	})
	return order
}

// greedy serves the legs in an order, each as well as what is left allows.
func (p *coverProblem) greedy(order []int) []int {
	chosen := make([]int, len(p.legs))
	for i := range chosen {
		chosen[i] = -1
	}
	left := slices.Clone(p.shelf)
	for _, i := range order {
		chosen[i] = p.bestFor(i, left)
		take(p.legs[i].choices[chosen[i]], left, 1)
	}
	return chosen
}

func (p *coverProblem) bestFor(i int, left []int) int {
	best, least := 0, score{order: math.MaxInt}
	for k, c := range p.legs[i].choices {
		if s := p.of(c, left); s.compare(least) < 0 {
			best, least = k, s
		}
	}
	return best
}

// pairChoices is how many of a leg's choices a change of two legs at once looks
// at.
const pairChoices = 40

// improved changes one leg, then two legs at once, until nothing gets better.
func (p *coverProblem) improved(chosen []int) []int {
	now := p.total(chosen)
	for again := true; again; {
		again = false
		for i := range p.legs {
			for j := i; j < len(p.legs); j++ {
				if s := p.change(chosen, i, j, now); s.compare(now) < 0 {
					now, again = s, true
				}
			}
		}
		if len(p.legs) > 24 {
			break // one round of all pairs
		}
	}
	return chosen
}

// likely are the choices of a leg that are best with what is left on the shelf.
func (p *coverProblem) likely(i int, left []int) []int {
	ks := make([]rankedChoice, len(p.legs[i].choices))
	for k, c := range p.legs[i].choices {
		ks[k] = rankedChoice{k, p.of(c, left)}
	}
	slices.SortStableFunc(ks, func(a, b rankedChoice) int { return a.score.compare(b.score) })
	out := make([]int, min(len(ks), pairChoices))
	for k := range out {
		out[k] = ks[k].k
	}
	return out
}

// change chooses legs i and j anew, the rest as it is; i = j changes one.
func (p *coverProblem) change(chosen []int, i, j int, now score) score {
	if chosen[i] < 0 || chosen[j] < 0 {
		return now
	}
	left := slices.Clone(p.shelf)
	var rest score
	for k, c := range chosen {
		if k != i && k != j && c >= 0 {
			x := p.legs[k].choices[c]
			take(x, left, 1)
			rest.surplus += x.surplus
			rest.joints += x.pieces - 1
		}
	}
	for k, n := range left {
		rest.order += max(0, -n) * p.price[k]
	}
	bestA, bestB, best := chosen[i], chosen[j], now
	seconds := p.likely(j, left)
	for _, a := range p.likely(i, left) {
		x := p.legs[i].choices[a]
		s := rest.plus(p.of(x, left))
		if i == j {
			if s.compare(best) < 0 {
				bestA, bestB, best = a, a, s
			}
			continue
		}
		take(x, left, 1)
		for _, b := range seconds {
			if t := s.plus(p.of(p.legs[j].choices[b], left)); t.compare(best) < 0 {
				bestA, bestB, best = a, b, t
			}
		}
		take(x, left, -1)
	}
	chosen[i], chosen[j] = bestA, bestB
	return best
}

// deficit is the least that must be ordered because the shelf has too few metres
// for these legs: what is lacking over the longest piece, at the least price of
// a metre.
func (p *coverProblem) deficit(left []int, legs []int) int {
	lacking := 0
	least := math.Inf(1)
	for _, i := range legs {
		lacking += p.legs[i].needMM
		for k, part := range p.parts {
			if part.AreaMM2 >= p.legs[i].need.AreaMM2 {
				least = math.Min(least, float64(p.price[k])/float64(p.mm[k]))
			}
		}
	}
	for k := range p.parts {
		lacking -= max(0, left[k]) * p.mm[k]
	}
	if lacking <= 0 || math.IsInf(least, 1) {
		return 0
	}
	return int(math.Ceil(float64(lacking)*least - 1e-9))
}

// coverSearch is a depth-first search with bounds.
type coverSearch struct {
	p      *coverProblem
	order  []int   // legs in the order in which they are decided
	suffix []score // least that legs order[k:] can add, each with the whole shelf
	best   []int
	score  score
	chosen []int
	left   []int
	work   int
}

func (s *coverSearch) bounds() {
	s.suffix = make([]score, len(s.order)+1)
	for k := len(s.order) - 1; k >= 0; k-- {
		least := score{order: math.MaxInt, surplus: math.MaxInt, joints: math.MaxInt}
		for _, c := range s.p.legs[s.order[k]].choices {
			x := s.p.of(c, s.p.shelf)
			least = score{min(least.order, x.order), min(least.surplus, x.surplus), min(least.joints, x.joints)}
		}
		s.suffix[k] = s.suffix[k+1].plus(least)
	}
}

func (s *coverSearch) branch(k int, so score) {
	if k == len(s.order) {
		if so.compare(s.score) < 0 {
			s.score, s.best = so, slices.Clone(s.chosen)
		}
		return
	}
	bound := so.plus(s.suffix[k])
	bound.order = max(bound.order, so.order+s.p.deficit(s.left, s.order[k:]))
	if bound.compare(s.score) >= 0 || s.work <= 0 {
		return
	}
	i := s.order[k]
	ranked := s.ranked(i)
	for _, c := range ranked {
		s.chosen[i] = c.k
		take(s.p.legs[i].choices[c.k], s.left, 1)
		s.branch(k+1, so.plus(c.score))
		take(s.p.legs[i].choices[c.k], s.left, -1)
		if s.work <= 0 {
			return
		}
	}
}

type rankedChoice struct {
	k     int
	score score
}

// ranked are the choices of a leg, best first with what is left on the shelf.
func (s *coverSearch) ranked(i int) []rankedChoice {
	s.work -= len(s.p.legs[i].choices)
	out := make([]rankedChoice, len(s.p.legs[i].choices))
	for k, c := range s.p.legs[i].choices {
		out[k] = rankedChoice{k, s.p.of(c, s.left)}
	}
	slices.SortStableFunc(out, func(a, b rankedChoice) int { return a.score.compare(b.score) })
	return out
}
