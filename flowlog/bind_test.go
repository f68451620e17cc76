package flowlog_test

import (
	"slices"
	"testing"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
)

func schemaOf(names ...string) flowlog.Schema {
	var s flowlog.Schema
	for _, n := range names {
		s.Columns = append(s.Columns, flowlog.ColumnNamed(n))
	}
	return s
}

// smallFit has two heads of two outlets on one node of six ports; D-1 is in
// the map and not on the drill.
func smallFit() *fit.Fit {
	return &fit.Fit{
		Drill: drill.Drill{
			Products: []drill.Product{{ID: "seed"}},
			Heads:    []drill.Head{{ID: "A", Product: "seed", Rows: drill.RowList{1, 2}}, {ID: "B", Product: "seed", Rows: drill.RowList{3, 4}}},
			Sections: []drill.Section{{ID: "S1", Heads: []drill.HeadID{"A"}}, {ID: "S2", Heads: []drill.HeadID{"B"}}},
			Sensing:  drill.Sensing{Products: []drill.ProductID{"seed"}},
		},
		Nodes: []fit.Node{{Serial: "4103", Ports: 6, Head: "A"}},
		Map: []fit.Link{
			{Run: "A-1", Node: "4103", Port: 1},
			{Run: "A-2", Node: "4103", Port: 2},
			{Run: "B-1", Node: "4103", Port: 3},
			{Run: "B-2", Node: "4103", Port: 4},
			{Run: "D-1", Node: "4103", Port: 5},
		},
	}
}

func TestBind(t *testing.T) {
	s := schemaOf("lon", "4103:3", "4103:1", "4103:6", "4103:7", "9999:1", "sec:S2", "sec:S9", "note", "4103:5", "work")
	b := flowlog.Bind(s, smallFit())
	columns := map[drill.RunID]int{}
	for _, r := range b.Runs {
		columns[r.ID] = r.Column
	}
	want := map[drill.RunID]int{"A-1": 2, "A-2": flowlog.None, "B-1": 1, "B-2": flowlog.None}
	if len(columns) != len(want) {
		t.Errorf("runs %v, want %v", columns, want)
	}
	for id, c := range want {
		if columns[id] != c {
			t.Errorf("run %s in column %d, want %d", id, columns[id], c)
		}
	}
	if m := b.Missing(); len(m) != 2 || m[0].ID != "A-2" || m[1].ID != "B-2" || m[1].Head != "B" || m[1].Port != (fit.PortRef{Node: "4103", Port: 4}) {
		t.Errorf("missing %v", m)
	}
	// Ports 5 (its run is not on the drill) and 6 are spare; 7 is beyond the
	// node's six.
	if !slices.Equal(b.Spare, []int{3, 9}) || !slices.Equal(b.Unknown, []int{4, 5, 7}) {
		t.Errorf("spare %v, unknown %v", b.Spare, b.Unknown)
	}
	if b.Lat != flowlog.None || b.Lon != 0 || b.Speed != flowlog.None || b.Work != 10 {
		t.Errorf("lat %d, lon %d, speed %d, work %d", b.Lat, b.Lon, b.Speed, b.Work)
	}
	if b.Sections[0].Column != flowlog.None || b.Sections[1].Column != 6 {
		t.Errorf("sections %v", b.Sections)
	}
}

func TestNeeds(t *testing.T) {
	need := flowlog.Needs(smallFit())
	for name, want := range map[string]bool{"4103:1": true, "4103:60": true, "9:1": false, "note": false, "lat": true, "sec:X": true} {
		if need(flowlog.ColumnNamed(name)) != want {
			t.Errorf("%s: %v", name, !want)
		}
	}
}

func TestInterval(t *testing.T) {
	for _, c := range []struct {
		name  string
		times []int64
		want  int64
	}{
		{"none", nil, 0},
		{"one sample", []int64{5}, 0},
		{"two", []int64{5, 9}, 4},
		{"a gap does not matter", []int64{0, 2, 4, 100, 102}, 2},
		{"even number: lower middle", []int64{0, 1, 4}, 1},
	} {
		if got := flowlog.IntervalNS(c.times); got != c.want {
			t.Errorf("%s: %d, want %d", c.name, got, c.want)
		}
	}
}
