package fit

import (
	"bytes"
	"fmt"
	"testing"

	"runproof/drill"
	"runproof/parts"
)

// plain gives each head its own nodes of 12 ports, numbered from 4101.
func plain(d *drill.Drill) *Fit {
	node, _ := parts.BuiltIn().Node("node-12")
	f := &Fit{Runproof: Version, Revision: 1, Drill: *d, Parts: []parts.Part{node}, Made: Provenance{By: "runproof plan", From: []Source{{"drill.yaml", "00ff"}}}}
	var last drill.HeadID
	for _, r := range d.Runs() {
		if !r.Sensed {
			continue
		}
		if n := len(f.Nodes); n == 0 || r.Head != last || f.Map[len(f.Map)-1].Port == node.Ports {
			f.Nodes = append(f.Nodes, Node{Serial: fmt.Sprint(4101 + n), Part: node.ID, Ports: node.Ports, Head: r.Head})
		}
		last = r.Head
		port := 1
		serial := f.Nodes[len(f.Nodes)-1].Serial
		if k := len(f.Map); k > 0 && f.Map[k-1].Node == serial {
			port = f.Map[k-1].Port + 1
		}
		f.Map = append(f.Map, Link{Run: r.ID, Node: serial, Port: port, TubeM: d.Sensing.SensorFromHeadM})
	}
	f.Allocation = f.measured()
	f.Kit = parts.BuiltIn().Kit(f.Need())
	return f
}

// threeHeads is a drill of 36 rows on three heads A, B, C.
func threeHeads(t testing.TB) *drill.Drill {
	t.Helper()
	text := `runproof: drill/1
name: Three heads
rows: {count: 36, spacing_m: 0.25, ranks_m: [0, -0.6]}
products: [{id: seed, material: wheat, rate_kg_ha: 110, tkw_g: 38}]
heads:
  - {id: A, product: seed, at_m: {forward: -0.4, right: -3, up: 1.5}, rows: 1-12, hose_mm: 25}
  - {id: B, product: seed, at_m: {forward: -0.4, right: 0, up: 1.5}, rows: 13-24, hose_mm: 25}
  - {id: C, product: seed, at_m: {forward: -0.4, right: 3, up: 1.5}, rows: 25-36, hose_mm: 25}
sections: [{id: S1, heads: [A]}, {id: S2, runs: [B-1, B-2]}]
closed: [A-3]
frame: {points: [{id: P, at_m: {forward: 0, right: -4}}, {id: Q, at_m: {forward: 0, right: 4}}], links: [{from: P, to: Q, slack_m: 0.2}]}
`
	d, err := drill.Read(bytes.NewReader([]byte(text)), "drill.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func written(t testing.TB, f *Fit) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func clone(t testing.TB, f *Fit) *Fit {
	t.Helper()
	g, err := Read(bytes.NewReader(written(t, f)), "fit.json")
	if err != nil {
		t.Fatal(err)
	}
	return g
}
