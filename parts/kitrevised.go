package parts

import "slices"

// Revised is the kit after what is needed has changed: each line has as many
// pieces more or fewer as the catalogue's kit has for one need and for the
// other, so that choices made from a shelf stand. What is needed more is
// ordered. k is not changed.
func (k Kit) Revised(before, now Need, cat Catalogue) Kit {
	old, next := cat.Kit(before), cat.Kit(now)
	b := kitBuilder{cat: cat, kit: Kit{Lines: slices.Clone(k.Lines), Shelf: k.Shelf}}
	for _, l := range next.Lines {
		if b.find(l.Part) < 0 && old.line(l.Part).Pieces() < l.Pieces() {
			b.kit.Lines = append(b.kit.Lines, Line{Part: l.Part, Kind: l.Kind, Name: l.Name, Why: l.Why, Price: l.Price, WeightKg: l.WeightKg})
		}
	}
	for i := range b.kit.Lines {
		id := b.kit.Lines[i].Part
		b.kit.revise(i, old.line(id), next.line(id))
	}
	b.kit.Lines = slices.DeleteFunc(b.kit.Lines, func(l Line) bool { return l.Pieces() == 0 })
	slices.SortStableFunc(b.kit.Lines, byKind)
	b.kit.Notes = append(without(k.Notes, old.Notes), next.Notes...)
	return b.kit
}

// revise changes a line by the difference of two others, and what must be
// ordered with it.
func (k *Kit) revise(i int, old, next Line) {
	l := &k.Lines[i]
	l.Count = max(0, l.Count+next.Count-old.Count)
	l.Spare = max(0, l.Spare+next.Spare-old.Spare)
	if l.Why == old.Why && next.Why != "" {
		l.Why = next.Why
	}
	if k.Shelf.Least == "" {
		return
	}
	ordered := l.Order
	l.Shelf = min(l.Shelf, l.Pieces())
	l.Order = l.Pieces() - l.Shelf
	k.Shelf.Order += l.Order - ordered
	if k.Shelf.OrderCost > 0 {
		k.Shelf.OrderCost += float64(l.Order-ordered) * l.Price
	}
}

// find is the index of the line of a part, -1 where there is none.
func (b *kitBuilder) find(part string) int {
	return slices.IndexFunc(b.kit.Lines, func(l Line) bool { return l.Part == part })
}

// line is that of a part, or the zero one.
func (k Kit) line(part string) Line {
	for _, l := range k.Lines {
		if l.Part == part {
			return l
		}
	}
	return Line{}
}

// without are the words that are not among others.
func without(words, others []string) []string {
	return slices.DeleteFunc(slices.Clone(words), func(w string) bool { return slices.Contains(others, w) })
}
