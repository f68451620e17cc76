package harness

import (
	"encoding/json"
	"fmt"
	"os"
	"testing"

	"runproof/drill"
	"runproof/fit"
	"runproof/parts"
)

// load reads a file of testdata.
func load[T any](t testing.TB, name string) T {
	t.Helper()
	b, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	var v T
	if err := json.Unmarshal(b, &v); err != nil {
		t.Fatal(err)
	}
	return v
}

// stockOf is a catalogue of 1 mm2 legs of those lengths, metres.
func stockOf(lengthsM ...float64) parts.Catalogue {
	var cat parts.Catalogue
	for _, m := range lengthsM {
		cat.Parts = append(cat.Parts, parts.Part{ID: fmt.Sprintf("leg-%g", m), Kind: parts.Leg, LengthM: m, AreaMM2: 1})
	}
	return cat
}

// oneNodeAHead is a fit with a node at each head: N1, N2, ... in the order of
// the heads.
func oneNodeAHead(d *drill.Drill) *fit.Fit {
	f := &fit.Fit{Drill: *d}
	for i, h := range d.Heads {
		f.Nodes = append(f.Nodes, fit.Node{Serial: fmt.Sprintf("N%d", i+1), Part: "node-12", Ports: 12, Head: h.ID})
	}
	return f
}

// ahead is a place for the gateway on the way from the hitch.
func ahead(d *drill.Drill) drill.Point {
	return drill.Point{Forward: d.Places().Hitch.Forward - 1, Right: 0.2, Up: 1.4}
}

// framed is a drill with a told frame and a head at each place.
func framed(f drill.Frame, heads []drill.Point) *drill.Drill {
	d := drill.Cases()[0].Drill
	supply := drill.Point{Forward: f.Points[0].At.Forward, Right: f.Points[0].At.Right, Up: f.Points[0].At.Up}
	d.Frame, d.Supply.At, d.Heads = f, &supply, nil
	for i, at := range heads {
		d.Heads = append(d.Heads, drill.Head{ID: drill.HeadID(fmt.Sprintf("H%d", i+1)), Product: "seed", At: at, Rows: drill.RowList{1}})
	}
	return d
}
