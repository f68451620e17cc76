package views

import (
	"cmp"
	"slices"
	"strings"

	"runproof/drill"
)

// NameOf is the drill's name, or words that say that it has none.
func NameOf(d *drill.Drill) string {
	if strings.TrimSpace(d.Name) == "" {
		return "Drill without a name"
	}
	return d.Name
}

// HeadsLeftToRight returns the heads by their place across the drill; heads at
// one place by rank, front first.
func HeadsLeftToRight(d *drill.Drill) []drill.Head {
	hs := slices.Clone(d.Heads)
	slices.SortStableFunc(hs, func(a, b drill.Head) int {
		return cmp.Or(cmp.Compare(a.At.Right, b.At.Right), cmp.Compare(b.At.Forward, a.At.Forward))
	})
	return hs
}
