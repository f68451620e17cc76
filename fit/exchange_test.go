package fit

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// An exchanged node has the old one's runs; there and back changes nothing but
// revision and provenance; the fit before stays as it was.
func TestExchange(t *testing.T) {
	f := plain(threeHeads(t))
	before := f.Hash()
	rapid.Check(t, func(t *rapid.T) {
		old := rapid.SampledFrom(f.Nodes).Draw(t, "node").Serial
		next, err := f.Exchange(old, "9001", Provenance{By: "test"})
		if err != nil {
			t.Fatal(err)
		}
		for i, l := range f.Map {
			want := l
			if l.Node == old {
				want.Node = "9001"
			}
			if next.Map[i] != want {
				t.Fatalf("%v became %v", l, next.Map[i])
			}
		}
		if next.Revision != f.Revision+1 || next.Made.Parent != before {
			t.Fatalf("revision %d after %s", next.Revision, next.Made.Parent)
		}
		back, err := next.Exchange("9001", old, Provenance{})
		if err != nil {
			t.Fatal(err)
		}
		back.Revision, back.Made = f.Revision, f.Made
		if back.Hash() != before || f.Hash() != before {
			t.Fatal("there and back is another fit")
		}
	})
	for what, c := range map[string][2]string{"no node": {"410", "9001"}, "already": {"4101", "4102"}, "space": {"4101", "90 01"}, "place of the harness": {"4101", "supply"}} {
		if _, err := f.Exchange(c[0], c[1], Provenance{}); err == nil || !strings.Contains(err.Error(), what) {
			t.Errorf("%v: %v", c, err)
		}
	}
}
