package dossier

import (
	"math"
	"slices"
	"testing"

	"runproof/drill"
)

// A list sorted as text must run from left to right.
func TestNodeNamesSortFromLeftToRight(t *testing.T) {
	for _, c := range drill.Cases() {
		f := fixture(c.Drill)
		var names []string
		last := math.Inf(-1)
		for _, n := range nameNodes(f) {
			names = append(names, n.Name)
			h, _ := f.Drill.Head(n.Head)
			if h.At.Right < last {
				t.Errorf("%s: node %s at %v m comes after one at %v m", c.Name, n.Name, h.At.Right, last)
			}
			last = h.At.Right
		}
		if !slices.IsSorted(names) || len(slices.Compact(slices.Clone(names))) != len(names) {
			t.Errorf("%s: names do not sort, or are not unique: %q", c.Name, names)
		}
	}
}

func TestStretches(t *testing.T) {
	for _, c := range []struct {
		in   []int
		want [][2]int
	}{
		{nil, nil},
		{[]int{4}, [][2]int{{4, 4}}},
		{[]int{1, 2, 3, 7, 9, 10}, [][2]int{{1, 3}, {7, 7}, {9, 10}}},
	} {
		if got := drill.RowList(c.in).Stretches(); !slices.Equal(got, c.want) {
			t.Errorf("%v: %v, want %v", c.in, got, c.want)
		}
	}
}
