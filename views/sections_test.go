package views

import (
	"testing"

	"runproof/drill"
)

func TestSectionsThatShareRowsGetLanesOfTheirOwn(t *testing.T) {
	d := drill.Cases()[3].Drill // seed A to D, fert E to H over the same rows
	d.Sections = []drill.Section{{ID: "S1", Heads: []drill.HeadID{"A", "E"}}, {ID: "S2", Heads: []drill.HeadID{"B"}}, {ID: "F2", Heads: []drill.HeadID{"F"}}}
	lanes := sectionLanes(d)
	if len(lanes) != 2 || len(lanes[0]) != 2 || lanes[1][0].id != "F2" {
		t.Errorf("lanes %+v", lanes)
	}
}
