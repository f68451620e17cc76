package simulate

import (
	"slices"

	"runproof/fit"
)

// node restarts now and then; its ports report nothing meanwhile.
type node struct {
	serial  string
	downToS float64
	spells  [][2]float64 // from, to
}

func newNodes(f *fit.Fit) []node {
	var out []node
	for _, l := range f.Map {
		if nodeOf(out, l.Node) < 0 {
			out = append(out, node{serial: l.Node, downToS: -1})
		}
	}
	return out
}

func nodeOf(nodes []node, serial string) int {
	return slices.IndexFunc(nodes, func(n node) bool { return n.serial == serial })
}

// restart lets nodes go down in the sample that ends at t.
func (r *Recording) restart(t, dt float64) {
	perH := r.s.Recorder.RestartsPerH
	if perH == 0 {
		return
	}
	for k := range r.nodes {
		n := &r.nodes[k]
		if t > n.downToS && r.rng.Float64() < perH*dt/3600 {
			n.downToS = t + r.s.Recorder.RestartS*(0.5+r.rng.Float64())
			n.spells = append(n.spells, [2]float64{t - dt, n.downToS})
		}
	}
}

// restarts are all spells down, node by node.
func (r *Recording) restarts() []RestartTruth {
	var out []RestartTruth
	for _, n := range r.nodes {
		for _, sp := range n.spells {
			out = append(out, RestartTruth{Node: n.serial, Start: r.start.at(sp[0]), End: r.start.at(sp[1])})
		}
	}
	return out
}
