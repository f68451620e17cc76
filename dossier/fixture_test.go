package dossier

import (
	"fmt"

	"runproof/drill"
	"runproof/fit"
)

// fixture is a plain fit for a drill: each head has nodes of 12 ports for its
// own sensed runs. It stands in for the planner, which has tests of its own.
func fixture(d *drill.Drill) *fit.Fit {
	f := &fit.Fit{Runproof: fit.Version, Revision: 1, Drill: *d, Made: fit.Provenance{By: "runproof plan", From: []fit.Source{{Name: "drill.yaml", SHA256: "0f343b0931126a20f133d67c2b018a3b1a3f5a3e2a5b6c7d8e9f00112233445566"[:64]}}}}
	serial := 4101
	for _, id := range drill.HeadOrder(d) {
		h, _ := d.Head(id)
		var node *fit.Node
		port := 0
		for _, r := range d.Runs() {
			if r.Head != h.ID || !r.Sensed {
				continue
			}
			if node == nil || port == node.Ports {
				f.Nodes = append(f.Nodes, fit.Node{Serial: fmt.Sprint(serial), Part: "node-12", Ports: 12, Head: h.ID})
				node, port = &f.Nodes[len(f.Nodes)-1], 0
				serial++
			}
			port++
			f.Map = append(f.Map, fit.Link{Run: r.ID, Node: node.Serial, Port: port, TubeM: d.Sensing.SensorFromHeadM})
		}
	}
	f.Allocation = fit.Allocation{Nodes: len(f.Nodes), Pairs: len(f.Nodes), Optimal: true}
	return f
}
