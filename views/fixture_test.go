package views

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"testing"

	"runproof/drill"
	"runproof/fit"
)

var update = flag.Bool("update", false, "write the golden files anew")

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	file := "testdata/" + name
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s changed; look at the picture, then renew with -update", file)
	}
}

// fixture is a plain fit for a drill: each head has nodes of 12 ports for its
// own sensed runs. It stands in for the planner, which has tests of its own.
func fixture(d *drill.Drill) *fit.Fit {
	f := &fit.Fit{Runproof: fit.Version, Revision: 1, Drill: *d}
	serial := 4101
	for _, id := range drill.HeadOrder(d) {
		port := 12
		for _, r := range d.Runs() {
			if r.Head != id || !r.Sensed {
				continue
			}
			if port == 12 {
				f.Nodes = append(f.Nodes, fit.Node{Serial: fmt.Sprint(serial), Part: "node-12", Ports: 12, Head: id})
				serial, port = serial+1, 0
			}
			port++
			f.Map = append(f.Map, fit.Link{Run: r.ID, Node: f.Nodes[len(f.Nodes)-1].Serial, Port: port, TubeM: d.Sensing.SensorFromHeadM})
		}
	}
	return f
}
