package harness

import (
	"cmp"
	"math"
	"slices"

	"runproof/parts"
)

// Cover is the stock pieces of which a leg is made, longest first, all of one
// cross-section. The zero Cover has no pieces: nothing in stock serves.
type Cover struct {
	Pieces  []parts.Part
	LengthM float64
}

// Joints is how many connectors lie within the leg.
func (c Cover) Joints() int { return max(0, len(c.Pieces)-1) }

// Stock chooses pieces for legs from the legs of a catalogue. It remembers what
// it has reckoned, so that many legs cost little more than the longest.
type Stock struct{ reels []*reel } // by cross-section, least first

// NewStock takes the legs of the catalogue as stock without limit of number.
func NewStock(cat parts.Catalogue) Stock {
	byArea := make(map[float64]*reel)
	var s Stock
	for _, p := range cat.Of(parts.Leg) {
		r := byArea[p.AreaMM2]
		if r == nil {
			r = &reel{areaMM2: p.AreaMM2, fewest: []int{0}}
			byArea[p.AreaMM2] = r
			s.reels = append(s.reels, r)
		}
		r.add(p)
	}
	slices.SortFunc(s.reels, func(a, b *reel) int { return cmp.Compare(a.areaMM2, b.areaMM2) })
	return s
}

// Cover is the best cover of needM metres from the least cross-section in stock
// that is at least areaMM2, mm2: least surplus, then fewest pieces, or the other
// way about; of equals that with the longest pieces. Lengths count in whole
// millimetres, the need rounded up. No pieces where no cross-section is large
// enough.
//
// A cover that the rule on joints within a leg refuses is no cover: the best is
// sought among those of at most parts.MostJoints joints, of a thicker stock
// where the thinner has none such. Where no stock has, it is the cover with the
// fewest pieces of the thinnest, for a person to judge.
func (s Stock) Cover(needM, areaMM2 float64, rule CoverRule) Cover {
	var first Cover
	for _, r := range s.reels {
		if r.areaMM2 < areaMM2 {
			continue
		}
		c := r.cover(needM, rule)
		if len(c.Pieces) > 0 && c.Joints() <= parts.MostJoints {
			return c
		}
		if len(first.Pieces) == 0 {
			first = c
		}
	}
	return first
}

// Areas are the cross-sections in stock, mm2, least first.
func (s Stock) Areas() []float64 {
	var as []float64
	for _, r := range s.reels {
		as = append(as, r.areaMM2)
	}
	return as
}

// reel is the stock of one cross-section. fewest[t] is the least number of
// pieces that are t units long together, -1 where none are:
//
//	m(0) = 0, m(t) = 1 + min over lengths l of m(t - l)
type reel struct {
	areaMM2 float64
	parts   []parts.Part // longest first, one of each length
	mm      []int        // their lengths
	unit    int          // greatest length that divides all, mm
	fewest  []int
}

// millimetres is a length in whole millimetres.
func millimetres(m float64) int { return int(math.Round(m * 1000)) }

// needMM rounds up, but not for what is only binary dust.
func needMM(m float64) int { return int(math.Ceil(m*1000 - 1e-6)) }

// add takes the part into stock, unless one of that length is there.
func (r *reel) add(p parts.Part) {
	mm := millimetres(p.LengthM)
	i, found := slices.BinarySearchFunc(r.mm, mm, func(a, b int) int { return cmp.Compare(b, a) })
	if found || mm <= 0 {
		return
	}
	r.mm, r.parts = slices.Insert(r.mm, i, mm), slices.Insert(r.parts, i, p)
	r.unit = gcd(r.unit, mm)
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// reckon fills the table up to t.
func (r *reel) reckon(t int) {
	for len(r.fewest) <= t {
		best := -1
		for _, mm := range r.mm {
			if before := len(r.fewest) - mm/r.unit; before >= 0 && r.fewest[before] >= 0 {
				if n := r.fewest[before] + 1; best < 0 || n < best {
					best = n
				}
			}
		}
		r.fewest = append(r.fewest, best)
	}
}

// cover finds the length first, then the pieces. No best cover is longer than
// the need and one longest piece: another could leave out a piece, and has
// fewer joints then. With least surplus it is the shortest length that can be
// had with joints in order, failing all the one with the fewest.
func (r *reel) cover(needM float64, rule CoverRule) Cover {
	if len(r.mm) == 0 || !(needM > 0) || math.IsInf(needM, 0) {
		return Cover{}
	}
	need := (needMM(needM) + r.unit - 1) / r.unit
	most := need + r.mm[0]/r.unit
	r.reckon(most)
	total := -1
	for t := need; t <= most; t++ {
		if r.fewest[t] < 0 {
			continue
		}
		if total < 0 || r.fewest[t] < r.fewest[total] {
			total = t
		}
		if rule == LeastSurplus && r.fewest[t]-1 <= parts.MostJoints {
			break
		}
	}
	return r.pieces(total)
}

// pieces are the fewest pieces of that length together, longest first.
func (r *reel) pieces(t int) Cover {
	c := Cover{LengthM: float64(t*r.unit) / 1000}
	for i := 0; t > 0; {
		if rest := t - r.mm[i]/r.unit; rest >= 0 && r.fewest[rest] == r.fewest[t]-1 {
			c.Pieces = append(c.Pieces, r.parts[i])
			t = rest
		} else {
			i++
		}
	}
	return c
}
