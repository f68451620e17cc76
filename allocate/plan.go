package allocate

import (
	"errors"
	"fmt"
	"slices"

	"runproof/drill"
	"runproof/fit"
	"runproof/input"
	"runproof/parts"
)

// Plan is an allocation dealt out to serials and ports.
type Plan struct {
	Nodes      []fit.Node
	Map        []fit.Link
	Allocation fit.Allocation
	LeftOver   []string // serials that no node needed, ascending
}

// New plans the drill's fit with one kind of node. serials are dealt ascending
// (fit.CompareSerials), whatever their order here; nil means N1, N2, ... effort
// limits the search (see Effort). The error is a KeyFault or an input.Fault.
func New(d *drill.Drill, node parts.Part, serials []string, effort int64) (Plan, error) {
	problem, err := NewProblem(d, node)
	if err != nil {
		return Plan{}, err
	}
	s := Solve(problem, effort)
	hands := deal(d, s)
	if serials == nil {
		serials = fit.NumberedSerials(len(hands))
	}
	if short := len(hands) - len(serials); short > 0 {
		return Plan{}, input.Fault{
			What:   fmt.Sprintf("the plan needs %d serials, and there are %d", len(hands), len(serials)),
			Remedy: fmt.Sprintf("add %d, or leave serials out to call the nodes N1, N2, ...", short),
		}
	}
	serials = slices.SortedFunc(slices.Values(serials), fit.CompareSerials)
	plan := Plan{LeftOver: serials[len(hands):], Allocation: fit.Allocation{Nodes: len(s.Nodes), Pairs: s.Pairs, Optimal: s.Proof.Optimal}}
	for i, h := range hands {
		n := fit.Node{Serial: serials[i], Part: node.ID, Ports: node.Ports, Head: h.at}
		plan.Nodes = append(plan.Nodes, n)
		plan.Map = append(plan.Map, links(d, n, h)...)
	}
	for _, l := range plan.Map {
		plan.Allocation.TubeM += l.TubeM
	}
	plan.Allocation.Bound = s.Proof.words(plan.Allocation, float64(len(plan.Map))*d.Sensing.SensorFromHeadM)
	return plan, nil
}

func links(d *drill.Drill, n fit.Node, h hand) []fit.Link {
	at, _ := d.Head(n.Head)
	ls := make([]fit.Link, len(h.runs))
	for i, r := range h.runs {
		head, _ := d.Head(r.Head)
		ls[i] = fit.Link{Run: r.ID, Node: n.Serial, Port: i + 1, TubeM: drill.DistanceM(at.At, head.At) + d.Sensing.SensorFromHeadM}
	}
	return ls
}

// Fit plans the drill and makes the fit document, revision 1. The node part is
// the one that the drill names. made says what made it.
func Fit(d *drill.Drill, cat parts.Catalogue, serials []string, made fit.Provenance) (*fit.Fit, Plan, error) {
	return FitWithin(Effort, d, cat, serials, made)
}

// FitWithin is Fit with another limit on the search.
func FitWithin(effort int64, d *drill.Drill, cat parts.Catalogue, serials []string, made fit.Provenance) (*fit.Fit, Plan, error) {
	node, err := cat.Node(d.Sensing.Node)
	if err != nil {
		var f input.Fault
		if errors.As(err, &f) {
			err = KeyFault{"node", f}
		}
		return nil, Plan{}, err
	}
	plan, err := New(d, node, serials, effort)
	if err != nil {
		return nil, Plan{}, err
	}
	f := &fit.Fit{
		Runproof: fit.Version, Revision: 1, Made: made, Drill: *d,
		Nodes: plan.Nodes, Map: plan.Map, Allocation: plan.Allocation,
		Parts: []parts.Part{node},
	}
	f.Kit = cat.Kit(f.Need())
	return f, plan, nil
}
