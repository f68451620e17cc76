package parts

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// How tubes are laid and cut: common practice, no source.
const (
	layFactor = 1.15 // a tube is this much longer than the straight distance
	cutStepM  = 0.05 // tubes are cut to whole steps
)

// cutLengths are the lengths to cut for tubes of straight lengths, m.
func cutLengths(straightM []float64) (piecesM []float64, totalM float64) {
	piecesM = make([]float64, len(straightM))
	for i, m := range straightM {
		piecesM[i] = cutStepM * math.Ceil(m*layFactor/cutStepM-1e-9)
		totalM += piecesM[i]
	}
	return piecesM, totalM
}

// tubes cuts the tubes from rolls, longest first (first fit decreasing), and
// swaps each roll for the shortest stock that holds what was cut from it.
func (b *kitBuilder) tubes(straightM []float64, planned []Some) {
	if len(straightM) == 0 {
		return
	}
	if planned != nil {
		b.plannedRolls(straightM, planned)
		return
	}
	longest := 0.0
	for _, p := range b.cat.Of(Tube) {
		longest = max(longest, p.LengthM)
	}
	pieces, total := cutLengths(straightM)
	rolls, over := packRolls(pieces, longest)
	counts := make(map[string]int)
	bought := 0.0
	for _, used := range rolls {
		if p, ok := b.cat.Stock(Tube, used); ok {
			counts[p.ID]++
			bought += p.LengthM
		}
	}
	b.rolls(counts, b.spareRoll(total, bought), tubesWhy(len(pieces), total))
	b.tubeNotes(over)
}

// plannedRolls adds the rolls that a plan from the shelf has chosen.
func (b *kitBuilder) plannedRolls(straightM []float64, planned []Some) {
	pieces, total := cutLengths(straightM)
	for _, r := range planned {
		b.named(r.Part, r.Pieces, tubesWhy(len(pieces), total))
	}
	b.tubeNotes(0)
}

func tubesWhy(pieces int, totalM float64) string {
	return fmt.Sprintf("%d tubes, %.1f m as cut", pieces, totalM)
}

func (b *kitBuilder) tubeNotes(over int) {
	if over > 0 {
		b.note("no roll in the catalogue is long enough for %d of the tubes", over)
	}
	b.note("tubes are counted %d %% longer than the straight distance, since they never lie straight, cut to whole %.0f cm", int(math.Round(100*(layFactor-1))), 100*cutStepM)
}

// rolls adds a line for each kind of roll, and one more of the spare one.
func (b *kitBuilder) rolls(counts map[string]int, spare, why string) {
	for _, p := range b.cat.Of(Tube) {
		more := 0
		if p.ID == spare {
			more = 1
		}
		b.lineSpared(p, counts[p.ID], more, why)
	}
}

// spareRoll is the roll to add where what is left over after cutting is less
// than the spare length, or "".
func (b *kitBuilder) spareRoll(totalM, boughtM float64) string {
	lacking := spareTubeShare*totalM - (boughtM - totalM)
	if lacking <= 1e-9 {
		return ""
	}
	p, _ := b.cat.Stock(Tube, lacking)
	return p.ID
}

// packRolls cuts pieces from rolls of one length and returns how much of each
// roll is used, and how many pieces are longer than a roll.
func packRolls(pieces []float64, rollM float64) (used []float64, over int) {
	for _, m := range longestFirst(pieces) {
		if m > rollM {
			over++
			continue
		}
		i := slices.IndexFunc(used, func(u float64) bool { return u+m <= rollM+1e-9 })
		if i < 0 {
			used, i = append(used, 0), len(used)
		}
		used[i] += m
	}
	return used, over
}

func longestFirst(lengthsM []float64) []float64 {
	return slices.SortedFunc(slices.Values(lengthsM), func(a, b float64) int { return cmp.Compare(b, a) })
}

// Stock is the shortest part of a kind that is at least so long, the first of
// equals.
func (c Catalogue) Stock(k Kind, lengthM float64) (Part, bool) {
	var best Part
	for _, p := range c.Of(k) {
		if p.LengthM+1e-9 >= lengthM && (best.ID == "" || p.LengthM < best.LengthM) {
			best = p
		}
	}
	return best, best.ID != ""
}
