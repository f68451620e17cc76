package harness

import (
	"testing"

	"runproof/allocate"
	"runproof/drill"
	"runproof/fit"
	"runproof/parts"
)

// A node whose serial reads like a junction's name keeps it; the junctions take
// the next.
func TestJunctionsGiveWayToSerials(t *testing.T) {
	d, _, err := drill.New(drill.Facts{Rows: 36, SpacingM: 0.25})
	if err != nil {
		t.Fatal(err)
	}
	cat := parts.BuiltIn()
	f, _, err := allocate.Fit(d, cat, []string{"J1", "J2", "K3"}, fit.Provenance{By: "test"})
	if err != nil {
		t.Fatal(err)
	}
	h, _, err := Plan(f, cat, d.Places().Hitch, Options{})
	if err != nil {
		t.Fatal(err)
	}
	kinds := make(map[string]fit.PlaceKind)
	for _, p := range h.Places {
		if _, twice := kinds[p.ID]; twice {
			t.Errorf("two places are called %s", p.ID)
		}
		kinds[p.ID] = p.Kind
	}
	if kinds["J1"] != fit.NodePlace || kinds["J3"] != fit.JunctionPlace {
		t.Errorf("%v", kinds)
	}
}
