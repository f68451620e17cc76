package fit

import (
	"fmt"
	"maps"
	"slices"

	"runproof/drill"
	"runproof/input"
)

// check looks for what no fit may have: names that do not agree, and ports
// that cannot be.
func (f *Fit) check() flaws {
	var fs flaws
	if f.Revision < 1 {
		fs.add("revision", "revisions count from 1", "revision is %d", f.Revision)
	}
	for _, fault := range checkDrill(&f.Drill) {
		fs.add("drill", fault.Remedy, "the drill inside: %s", fault.What)
	}
	f.checkNodes(&fs)
	f.checkMap(&fs)
	return fs
}

func (f *Fit) checkNodes(fs *flaws) {
	first := make(map[string]int)
	for i, n := range f.Nodes {
		at := func(key string) string { return fmt.Sprintf("nodes.%d.%s", i, key) }
		if why := serialFault(n.Serial); why != "" {
			fs.add(at("serial"), "write the serial as it stands on the box", "serial %q %s", n.Serial, why)
		}
		if k, twice := first[n.Serial]; twice {
			fs.add(at("serial"), "each node has its own", "nodes %d and %d both have the serial %s", k+1, i+1, n.Serial)
		} else {
			first[n.Serial] = i
		}
		if n.Ports < 1 {
			fs.add(at("ports"), "write how many ports it has", "node %s has %d ports", n.Serial, n.Ports)
		}
		if _, ok := f.Drill.Head(n.Head); !ok {
			fs.add(at("head"), input.DidYouMean(string(n.Head), headIDs(&f.Drill)), "node %s is mounted at head %q, which the drill does not have", n.Serial, n.Head)
		}
	}
}

func headIDs(d *drill.Drill) []string {
	ids := make([]string, len(d.Heads))
	for i, h := range d.Heads {
		ids[i] = string(h.ID)
	}
	return ids
}

func (f *Fit) checkMap(fs *flaws) {
	nodes := make(map[string]Node)
	for _, n := range f.Nodes {
		nodes[n.Serial] = n
	}
	runs := make(map[string]drill.Run)
	for _, r := range f.Drill.Runs() {
		runs[string(r.ID)] = r
	}
	port, run := make(map[PortRef]drill.RunID), make(map[drill.RunID]PortRef)
	told := make(map[string]bool) // of a node that is not there, once is enough
	for i, l := range f.Map {
		at := func(key string) string { return fmt.Sprintf("map.%d.%s", i, key) }
		if n, ok := nodes[l.Node]; !ok {
			if told[l.Node] {
				continue
			}
			told[l.Node] = true
			fs.add(at("node"), near(l.Node, nodes), "run %s goes to node %q, which the fit does not have", l.Run, l.Node)
		} else if l.Port < 1 || l.Port > n.Ports {
			fs.add(at("port"), fmt.Sprintf("use 1 to %d", n.Ports), "run %s goes to port %d of node %s, which has %d ports", l.Run, l.Port, l.Node, n.Ports)
		}
		if _, ok := runs[string(l.Run)]; !ok {
			fs.add(at("run"), near(string(l.Run), runs), "port %s listens to run %q, which the drill does not have", l.Ref(), l.Run)
		}
		if other, twice := port[l.Ref()]; twice {
			fs.add(at("port"), "a port listens to one sensor", "port %s listens to run %s and to run %s", l.Ref(), other, l.Run)
		} else if other, twice := run[l.Run]; twice {
			fs.add(at("run"), "a run has one sensor", "run %s goes to port %s and to port %s", l.Run, other, l.Ref())
		}
		port[l.Ref()], run[l.Run] = l.Run, l.Ref()
		if l.TubeM < 0 {
			fs.add(at("tube_m"), "write a length in metres", "the tube of run %s is %g m long", l.Run, l.TubeM)
		}
	}
}

// near is the remedy for a name that is not among the known ones. A long list
// would help nobody.
func near[V any](name string, known map[string]V) string {
	names := slices.Sorted(maps.Keys(known))
	if w, ok := input.Nearest(name, names); ok {
		return fmt.Sprintf("did you mean %s?", w)
	}
	return "check the name"
}
