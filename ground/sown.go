package ground

import (
	"cmp"
	"slices"

	"runproof/drill"
)

// Spell is a stretch of time in which rows went short of product in the ground.
type Spell struct {
	Event        int   // number of the event that made it; 0 = not called for, or still under way
	Rows         []int // 1 = leftmost
	FromNS, ToNS int64 // at the openers
}

// Product is one product's part of a day: the rows that get it where nothing is
// wrong, and when some did not.
type Product struct {
	Rows   []int
	Spells []Spell
}

// spans are rows side by side that a product is given to. Rows that have no hose
// of it, one or two between two that have, are its too: a band between two rows
// serves both.
func (p Product) spans() [][2]int {
	var out [][2]int
	for _, s := range stretches(p.Rows) {
		if k := len(out) - 1; k >= 0 && s[0]-out[k][1] <= 3 && p.banded() {
			out[k][1] = s[1]
			continue
		}
		out = append(out, s)
	}
	return out
}

// banded says that the product goes to single rows with others between.
func (p Product) banded() bool {
	s := stretches(p.Rows)
	return len(s) > 1 && len(s)*2 > len(p.Rows)
}

// stretches groups rows into stretches of adjacent ones, from the left.
func stretches(rows []int) [][2]int {
	rows = slices.Clone(rows)
	slices.Sort(rows)
	return drill.RowList(slices.Compact(rows)).Stretches()
}

// layer is where one product was sown.
type layer struct {
	f      *Field
	spans  [][2]int
	spells []Spell // by FromNS
	shapes []shape
}

// lay follows the passes and makes a shape of every stretch of rows that got
// the product, from one pose to the next.
func (l *layer) lay() {
	slices.SortStableFunc(l.spells, func(a, b Spell) int { return cmp.Compare(a.FromNS, b.FromNS) })
	next := 0
	var open []Spell // begun and not yet over
	for k, pass := range l.f.passes {
		for i := 0; i+1 < len(pass); i++ {
			a, end := pass[i], pass[i+1]
			for a.NS < end.NS {
				for next < len(l.spells) && l.spells[next].FromNS <= a.NS {
					open = append(open, l.spells[next])
					next++
				}
				open = slices.DeleteFunc(open, func(s Spell) bool { return s.ToNS <= a.NS })
				until := end.NS
				if next < len(l.spells) {
					until = min(until, l.spells[next].FromNS)
				}
				for _, s := range open {
					until = min(until, s.ToNS)
				}
				b := blend(a, end, until)
				for _, span := range l.left(open) {
					l.shapes = l.f.strip(l.shapes, a, b, span, l.f.middleM, k)
				}
				a = b
			}
		}
	}
}

// left are the spans without the rows of the open spells.
func (l *layer) left(open []Spell) [][2]int {
	if len(open) == 0 {
		return l.spans
	}
	short := make([]bool, l.f.rows+2)
	for _, s := range open {
		for _, r := range s.Rows {
			if r > 0 && r <= l.f.rows {
				short[r] = true
			}
		}
	}
	var out [][2]int
	for _, span := range l.spans {
		from := span[0]
		for r := span[0]; r <= span[1]+1; r++ {
			if r <= span[1] && !short[r] {
				continue
			}
			if from < r {
				out = append(out, [2]int{from, r - 1})
			}
			from = r + 1
		}
	}
	return out
}
