package fit

import (
	"strings"
	"testing"

	"runproof/drill"
)

// A run moved to a spare port keeps its name; all others stay; the revision
// before is named.
func TestMove(t *testing.T) {
	f := plain(threeHeads(t))
	f.Nodes[0].Ports = 14
	run := f.Map[6].Run
	next, err := f.Move(run, PortRef{f.Nodes[0].Serial, 13}, Provenance{By: "test", Why: "port failed"})
	if err != nil {
		t.Fatal(err)
	}
	if ref, ok := next.PortOf(run); !ok || ref.Port != 13 || next.Revision != f.Revision+1 || next.Made.Parent != f.Hash() || next.Made.Why != "port failed" {
		t.Errorf("%+v, %+v", ref, next.Made)
	}
	for _, l := range f.Map {
		if ref, _ := next.PortOf(l.Run); l.Run != run && ref != l.Ref() {
			t.Errorf("%s went from %s to %s", l.Run, l.Ref(), ref)
		}
	}
	if c := Diff(f, next); len(c) != 1 || c[0].Kind != RunChanged {
		t.Errorf("%+v", c)
	}
	if ref, _ := f.PortOf(run); ref.Port == 13 {
		t.Error("the fit before was changed")
	}
}

func TestMoveRefuses(t *testing.T) {
	f := plain(threeHeads(t))
	f.Nodes[0].Ports = 14
	serial, taken := f.Nodes[0].Serial, f.Map[1]
	for _, c := range []struct {
		run  string
		to   PortRef
		want string
	}{
		{"Q-1", PortRef{serial, 13}, `run "Q-1" listens at no port`},
		{string(f.Map[0].Run), PortRef{"no", 1}, `the fit has no node "no"`},
		{string(f.Map[0].Run), PortRef{serial, 15}, "use 1 to 14"},
		{string(f.Map[0].Run), taken.Ref(), "has free ports: 13-14"},
		{string(taken.Run), taken.Ref(), "listens to port " + taken.Ref().String() + " already"},
	} {
		_, err := f.Move(drill.RunID(c.run), c.to, Provenance{})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s to %s: %v, want %q", c.run, c.to, err, c.want)
		}
	}
}

// What is laid counts as a difference: a leg of other pieces, another fuse.
func TestDiffHarness(t *testing.T) {
	a := plain(threeHeads(t))
	a.Harness.Legs = []Leg{{ID: "L1", From: "supply", To: "J1", Pieces: []string{"leg-1.0-5"}}, {ID: "L2", From: "J1", To: "4101", Pieces: []string{"leg-1.0-2"}}}
	a.Protection.RatingA = 3
	b := *a
	b.Harness.Legs = []Leg{{ID: "L1", From: "supply", To: "J1", Pieces: []string{"leg-2.5-5"}}}
	b.Protection.RatingA = 5
	var said []string
	for _, c := range Diff(a, &b) {
		if c.Kind != HarnessChanged {
			t.Errorf("%+v", c)
		}
		said = append(said, c.Words)
	}
	want := []string{"leg supply to J1 leg-1.0-5 to leg-2.5-5", "leg J1 to 4101 is gone", "fuse at the supply 3 to 5 A"}
	if strings.Join(said, "\n") != strings.Join(want, "\n") {
		t.Errorf("%q, want %q", said, want)
	}
	if c := Diff(a, a); len(c) > 0 {
		t.Errorf("a fit against itself: %+v", c)
	}
}
