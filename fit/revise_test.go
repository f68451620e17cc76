package fit

import (
	"math"
	"slices"
	"strings"
	"testing"

	"runproof/drill"
	"runproof/parts"
)

func TestWithMap(t *testing.T) {
	f := plain(threeHeads(t))
	f.Allocation.Optimal = true
	before := f.Hash()

	same, err := f.WithMap(f.Map, Provenance{By: "runproof prove"})
	if err != nil {
		t.Fatal(err)
	}
	if same.Revision != 2 || same.Made.Parent != before || same.Made.By != "runproof prove" || !same.Allocation.Optimal {
		t.Errorf("revision %d, made %+v, %+v", same.Revision, same.Made, same.Allocation)
	}

	// A-1 was found at a port of the node at head C, 6 m away, and B-1 not at all.
	links := slices.DeleteFunc(slices.Clone(f.Map), func(l Link) bool { return l.Run == "B-1" || l.Run == "C-12" })
	links[0].Node, links[0].Port = "4103", 12
	next, err := f.WithMap(links, Provenance{})
	if err != nil {
		t.Fatal(err)
	}
	if f.Hash() != before {
		t.Error("the fit itself was changed")
	}
	last := next.Map[len(next.Map)-1]
	if last.Run != "A-1" || math.Abs(last.TubeM-6.4) > 1e-12 {
		t.Errorf("last link %+v; want A-1 with 6 m between the heads and 0.4 m to the sensor", last)
	}
	if a := next.Allocation; a.Nodes != 3 || a.Pairs != 4 || a.Optimal || math.Abs(a.TubeM-(33*0.4+6.4)) > 1e-9 {
		t.Errorf("allocation %+v", a)
	}

	links[0].Port = 11
	if _, err := f.WithMap(links, Provenance{}); err == nil || !strings.Contains(err.Error(), "port 4103:11 listens to run") {
		t.Errorf("two runs at one port: %v", err)
	}
}

func TestNeed(t *testing.T) {
	d := threeHeads(t)
	d.Heads[2].HoseMM = 32
	n := plain(d).Need()
	if !slices.Equal(n.Nodes, []parts.Some{{Part: "node-12", Pieces: 3}}) || n.FreePorts != 0 || len(n.TubesM) != 36 {
		t.Errorf("%+v", n)
	}
	if want := []parts.HoseNeed{{MM: 25, Sensors: 24}, {MM: 32, Sensors: 12}}; !slices.Equal(n.Hoses, want) {
		t.Errorf("hoses %v, want %v", n.Hoses, want)
	}
}

func TestTubeOfUnknown(t *testing.T) {
	f := plain(threeHeads(t))
	for _, c := range []struct {
		run  drill.RunID
		node string
	}{{"Z-1", "4101"}, {"A-1", "9"}} {
		if _, ok := f.TubeM(c.run, c.node); ok {
			t.Errorf("%v has a tube", c)
		}
	}
}

func TestWriteMap(t *testing.T) {
	var b strings.Builder
	if err := plain(threeHeads(t)).WriteMap(&b); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(b.String(), "\n")
	// The contract's columns; one line per sensed run, the closed one too.
	if len(lines) != 38 || lines[0] != "run,product,head,outlet,row,node,port" || lines[3] != "A-3,seed,A,3,3,4101,3" || lines[36] != "C-12,seed,C,12,36,4103,12" {
		t.Errorf("got %q", lines)
	}
}
