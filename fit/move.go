package fit

import (
	"fmt"
	"slices"

	"runproof/drill"
	"runproof/input"
)

// Move returns the next revision with one run listening at another port: where a
// port has failed, its tube goes to a spare one, and the run keeps its name and
// with it its history (common practice, no source). f is not changed. The error
// is an input.Fault: a run that has no port, a port that there is not, or one
// that listens to a run, be it this one. How far a node reaches is for the rules
// to judge (practice.Renewed): a run may be found where no plan would put it.
func (f *Fit) Move(run drill.RunID, to PortRef, made Provenance) (*Fit, error) {
	i := slices.IndexFunc(f.Map, func(l Link) bool { return l.Run == run })
	if i < 0 {
		return nil, input.Fault{What: fmt.Sprintf("run %q listens at no port of this fit", run), Remedy: near(string(run), runsOf(f))}
	}
	n := slices.IndexFunc(f.Nodes, func(n Node) bool { return n.Serial == to.Node })
	if n < 0 {
		serials := make([]string, len(f.Nodes))
		for k, node := range f.Nodes {
			serials[k] = node.Serial
		}
		return nil, input.Fault{What: fmt.Sprintf("the fit has no node %q", to.Node), Remedy: input.DidYouMean(to.Node, serials)}
	}
	if ports := f.Nodes[n].Ports; to.Port < 1 || to.Port > ports {
		return nil, input.Fault{What: fmt.Sprintf("node %s has no port %d", to.Node, to.Port), Remedy: fmt.Sprintf("use 1 to %d", ports)}
	}
	if k := slices.IndexFunc(f.Map, func(l Link) bool { return l.Ref() == to }); k >= 0 && k != i {
		return nil, input.Fault{What: fmt.Sprintf("port %s listens to run %s", to, f.Map[k].Run), Remedy: f.freePorts(to.Node)}
	}
	if f.Map[i].Ref() == to {
		return nil, input.Fault{What: fmt.Sprintf("run %s listens to port %s already", run, to), Remedy: "name the port that it shall listen to; " + f.freePorts(to.Node)}
	}
	links := slices.Clone(f.Map)
	links[i].Node, links[i].Port = to.Node, to.Port
	return f.WithMap(links, made)
}

func runsOf(f *Fit) map[string]bool {
	runs := make(map[string]bool)
	for _, l := range f.Map {
		runs[string(l.Run)] = true
	}
	return runs
}

// freePorts says which ports of a node are free.
func (f *Fit) freePorts(serial string) string {
	for _, n := range f.Nodes {
		if n.Serial != serial {
			continue
		}
		var free drill.RowList
		for port := 1; port <= n.Ports; port++ {
			if !slices.ContainsFunc(f.Map, func(l Link) bool { return l.Ref() == PortRef{serial, port} }) {
				free = append(free, port)
			}
		}
		if len(free) > 0 {
			return fmt.Sprintf("node %s has free ports: %s", serial, free)
		}
	}
	return fmt.Sprintf("node %s has no free port; use another node within reach", serial)
}
