package fit

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"slices"

	"runproof/drill"
	"runproof/parts"
)

// Hash is the SHA-256 of the document as Write writes it, in hexadecimal.
func (f *Fit) Hash() string {
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		panic(err) // numbers that JSON cannot hold: no fit from Read or the planner has them
	}
	sum := sha256.Sum256(b.Bytes())
	return hex.EncodeToString(sum[:])
}

// WithMap returns the next revision: the same fit with another map, in the
// order of nodes, then ports, with tube lengths by the places of heads and
// nodes, and what is picked for them. made says what made it; its Parent is filled in. f is not changed.
// The error is input.Faults when the map cannot be (see Check).
func (f *Fit) WithMap(links []Link, made Provenance) (*Fit, error) {
	next := *f
	next.Revision++
	made.Parent = f.Hash()
	next.Made = made
	next.Map = slices.Clone(links)
	next.sortMap()
	for i, l := range next.Map {
		if m, ok := next.TubeM(l.Run, l.Node); ok {
			next.Map[i].TubeM = m
		}
	}
	if !slices.Equal(next.Map, f.Map) {
		next.Allocation = next.measured()
	}
	if err := next.Check(); err != nil {
		return nil, err
	}
	if len(f.Kit.Lines) > 0 {
		next.Kit = f.Kit.Revised(f.Need(), next.Need(), parts.Catalogue{Parts: f.Parts})
	}
	return &next, nil
}

// sortMap puts the map in the order of nodes, then ports. Links to unknown
// nodes come last.
func (f *Fit) sortMap() {
	place := make(map[string]int, len(f.Nodes))
	for i, n := range f.Nodes {
		place[n.Serial] = i
	}
	rank := func(l Link) int {
		if i, ok := place[l.Node]; ok {
			return i
		}
		return len(place)
	}
	slices.SortStableFunc(f.Map, func(a, b Link) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(a.Port, b.Port))
	})
}

// TubeM is the length of a tube from the node to the sensor in the run, m: the
// straight distance between their heads, and on to the sensor. It is not known
// where the fit lacks the run or the node.
func (f *Fit) TubeM(run drill.RunID, node string) (float64, bool) {
	i := slices.IndexFunc(f.Nodes, func(n Node) bool { return n.Serial == node })
	runs := f.Drill.Runs()
	k := slices.IndexFunc(runs, func(r drill.Run) bool { return r.ID == run })
	if i < 0 || k < 0 {
		return 0, false
	}
	at, okAt := f.Drill.Head(f.Nodes[i].Head)
	from, okFrom := f.Drill.Head(runs[k].Head)
	return drill.DistanceM(at.At, from.At) + f.Drill.Sensing.SensorFromHeadM, okAt && okFrom
}

// measured is the allocation of a map that no planner made.
func (f *Fit) measured() Allocation {
	runs := make(map[drill.RunID]drill.HeadID)
	for _, r := range f.Drill.Runs() {
		runs[r.ID] = r.Head
	}
	type pair struct {
		node string
		head drill.HeadID
	}
	nodes, pairs := make(map[string]bool), make(map[pair]bool)
	a := Allocation{Bound: "as found on the drill, not as planned"}
	for _, l := range f.Map {
		nodes[l.Node] = true
		pairs[pair{l.Node, runs[l.Run]}] = true
		a.TubeM += l.TubeM
	}
	a.Nodes, a.Pairs = len(nodes), len(pairs)
	return a
}

// FreePorts is how many ports of all nodes listen to no run.
func (f *Fit) FreePorts() int {
	free := -len(f.Map)
	for _, n := range f.Nodes {
		free += n.Ports
	}
	return free
}
