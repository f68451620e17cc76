package practice

import (
	"math/bits"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"runproof/drill"
	"runproof/fit"
)

// By hand: a front rank A B C from the left, a back rank D E from the left;
// boxes are listed as they are mounted.
func TestSerialsByHand(t *testing.T) {
	d := drill.Drill{Heads: []drill.Head{
		{ID: "E", At: drill.Point{Forward: -2, Right: 2}},
		{ID: "B", At: drill.Point{Right: 0}},
		{ID: "A", At: drill.Point{Forward: -0.5, Right: -3}},
		{ID: "C", At: drill.Point{Forward: -0.1, Right: 3}},
		{ID: "D", At: drill.Point{Forward: -2, Right: -2}},
	}}
	for _, c := range []struct {
		mounted string
		out     int
		named   string // where there is one way only to leave the fewest out
	}{
		{"A:1 B:2 C:3 D:4 E:5", 0, ""},
		{"E:5 D:4 C:3 B:2 A:1", 0, ""}, // the order in the document does not count
		{"A:980 B:4102 C:4103", 0, ""}, // serials go by number
		{"A:1 A:2 B:3 B:4 E:9", 0, ""}, // two at a head
		{"A:2 A:1 B:4 B:3", 0, ""},     // side by side there is no left
		{"A:2 B:1", 1, ""},             // two changed places: one of them is out
		{"A:5 B:1 C:2 D:3 E:4", 1, "5"},
		{"D:1 E:2 A:3 B:4 C:5", 2, "1 2"}, // the back rank first
		{"A:3 B:2 C:1", 2, ""},            // from the right
		{"A:1 B:2 C:3 D:5 E:4", 1, ""},    // the back rank from the right
	} {
		f := fit.Fit{Revision: 1, Drill: d}
		for _, m := range strings.Fields(c.mounted) {
			head, serial, _ := strings.Cut(m, ":")
			f.Nodes = append(f.Nodes, fit.Node{Serial: serial, Head: drill.HeadID(head)})
		}
		j := judge{f: &f, heads: make(map[drill.HeadID]drill.Head)}
		for _, h := range d.Heads {
			j.heads[h.ID] = h
		}
		if got := outOfOrder(j.walk()); len(got) != c.out || c.named != "" && strings.Join(got, " ") != c.named {
			t.Errorf("%s: out of order %v, want %d, %s", c.mounted, got, c.out, c.named)
		}
		if r := j.serials()[0]; r.Value != float64(c.out) || (r.Margin() < 0) != (c.out > 0) {
			t.Errorf("%s: %s", c.mounted, r)
		}
	}
}

// Against all subsets: what is left without the ones out of order ascends, and
// no larger subset does.
func TestOutOfOrderIsTheFewest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		digits := rapid.SliceOfNDistinct(rapid.IntRange(1, 200), 0, 9, rapid.ID).Draw(t, "serials")
		serials := make([]string, len(digits))
		for i, d := range digits {
			serials[i] = fit.NumberedSerials(d)[d-1]
		}
		ascends := func(set uint) bool {
			last := 0
			for i, d := range digits {
				if set>>i&1 == 1 {
					if d < last {
						return false
					}
					last = d
				}
			}
			return true
		}
		most := 0
		for set := range uint(1) << len(digits) {
			if ascends(set) {
				most = max(most, bits.OnesCount(set))
			}
		}
		out := outOfOrder(serials)
		var left uint
		for i, s := range serials {
			if !slices.Contains(out, s) {
				left |= 1 << i
			}
		}
		if !ascends(left) || bits.OnesCount(left) != most || len(out) != len(serials)-most {
			t.Fatalf("%v: out %v, but %d can stay", serials, out, most)
		}
	})
}
