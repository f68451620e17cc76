package drill

import (
	"cmp"
	"slices"
)

// HeadRankM is how far behind the front head of a rank another head may lie
// and still belong to it, metres (the contract's allocation rule).
const HeadRankM = 0.75

// headRankSlackM lets places written as decimals and exactly HeadRankM apart
// count as one rank, whatever their binary difference is.
const headRankSlackM = 1e-9

// HeadRanks groups the heads into ranks, front rank first, each from left to
// right. Heads are taken from the front backward; one starts a new rank when
// it lies more than HeadRankM behind the frontmost head of the current rank.
// Heads at the same place keep the order described.
func (d *Drill) HeadRanks() [][]HeadID {
	heads := slices.Clone(d.Heads)
	slices.SortStableFunc(heads, func(a, b Head) int { return cmp.Compare(b.At.Forward, a.At.Forward) })
	var ranks [][]HeadID
	for len(heads) > 0 {
		n := 1
		for n < len(heads) && heads[0].At.Forward-heads[n].At.Forward <= HeadRankM+headRankSlackM {
			n++
		}
		ranks = append(ranks, d.leftToRight(heads[:n]))
		heads = heads[n:]
	}
	return ranks
}

// leftToRight is the ids of a rank's heads by place across the drill; equal
// places keep the order of the description, which the sort by forward
// coordinate has disturbed.
func (d *Drill) leftToRight(rank []Head) []HeadID {
	described := make(map[HeadID]int, len(d.Heads))
	for i, h := range d.Heads {
		described[h.ID] = i
	}
	sorted := slices.SortedFunc(slices.Values(rank), func(a, b Head) int {
		return cmp.Or(cmp.Compare(a.At.Right, b.At.Right), cmp.Compare(described[a.ID], described[b.ID]))
	})
	ids := make([]HeadID, len(sorted))
	for i, h := range sorted {
		ids[i] = h.ID
	}
	return ids
}

// HeadOrder is the heads in the order in which a person walks and serial
// numbers are dealt: front rank to back, left to right within a rank.
func HeadOrder(d *Drill) []HeadID { return slices.Concat(d.HeadRanks()...) }
