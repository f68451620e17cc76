package yard

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"runproof/dossier"
	"runproof/drill"
	"runproof/fit"
	"runproof/input"
	"runproof/parts"
	"runproof/views"
)

// jobMax is how long a job text may be: more makes a code that is too dense
// for a label.
const jobMax = 24

// job is a fit with what the sheets ask of it again and again.
type job struct {
	in    Input
	f     *fit.Fit
	d     *drill.Drill
	units units
	name  string // what the job is called
	hash  string // of the fit, short
	runs  map[drill.RunID]drill.Run
	nodes []node // in the order of serials, as a person walks
}

// node is a sensing node with all that is done to it.
type node struct {
	fit.Node
	Name  string     // "01 A"
	At    drill.Head // where it is mounted
	Links []fit.Link // by port
	Free  []int      // ports that listen to no run
}

func newJob(in Input) (*job, error) {
	j := &job{in: in, f: in.Fit, d: &in.Fit.Drill, units: unitsOf(in.Fit.Drill.Display), runs: map[drill.RunID]drill.Run{}}
	if len(in.Parts.Parts) == 0 {
		j.in.Parts = parts.BuiltIn()
	}
	j.hash = in.Fit.Hash()[:8]
	if j.name = strings.Join(strings.Fields(in.Job), " "); j.name == "" {
		j.name = shortName(j.d.Name)
	}
	if n := len([]rune(j.name)); n > jobMax {
		return nil, input.Fault{What: fmt.Sprintf("the job text %q has %d characters", j.name, n), Remedy: fmt.Sprintf("use at most %d, so that the codes of the labels can be read", jobMax)}
	}
	for _, r := range j.d.Runs() {
		j.runs[r.ID] = r
	}
	j.findNodes()
	return j, nil
}

// shortName is the drill's name up to its first comma, cut at a word where it
// is too long for a job text.
func shortName(name string) string {
	name, _, _ = strings.Cut(name, ",")
	short := ""
	for _, word := range strings.Fields(name) {
		if len([]rune(short+" "+word)) > jobMax {
			break
		}
		short = strings.TrimSpace(short + " " + word)
	}
	if short == "" {
		return "job"
	}
	return short
}

func (j *job) findNodes() {
	names := dossier.NodeNames(j.f)
	for _, n := range j.f.Nodes {
		one := node{Node: n, Name: names[n.Serial]}
		one.At, _ = j.d.Head(n.Head)
		for _, l := range j.f.Map {
			if l.Node == n.Serial {
				one.Links = append(one.Links, l)
			}
		}
		slices.SortStableFunc(one.Links, func(a, b fit.Link) int { return cmp.Compare(a.Port, b.Port) })
		for p := 1; p <= n.Ports; p++ {
			if !slices.ContainsFunc(one.Links, func(l fit.Link) bool { return l.Port == p }) {
				one.Free = append(one.Free, p)
			}
		}
		j.nodes = append(j.nodes, one)
	}
}

// node returns the node with that serial, and whether there is one.
func (j *job) node(serial string) (node, bool) {
	i := slices.IndexFunc(j.nodes, func(n node) bool { return n.Serial == serial })
	if i < 0 {
		return node{}, false
	}
	return j.nodes[i], true
}

// part is the part with that id, from the fit or from the catalogue.
func (j *job) part(id string) (parts.Part, bool) {
	for _, p := range j.f.Parts {
		if p.ID == id {
			return p, true
		}
	}
	return j.in.Parts.Part(id)
}

// partName is what the part is called, its id where nobody knows more.
func (j *job) partName(id string) string {
	if p, ok := j.part(id); ok {
		return p.String()
	}
	return id
}

// first is the first part of a kind that the kit or the fit names.
func (j *job) first(k parts.Kind) (parts.Part, bool) {
	for _, l := range j.f.Kit.Lines {
		if l.Kind == k {
			return j.part(l.Part)
		}
	}
	for _, p := range j.f.Parts {
		if p.Kind == k {
			return p, true
		}
	}
	return parts.Part{}, false
}

// drillName is the drill's name in full.
func (j *job) drillName() string { return views.NameOf(j.d) }

// headsOf are the heads that a node listens to, in the order of its ports.
func (j *job) headsOf(n node) []drill.HeadID {
	var ids []drill.HeadID
	for _, l := range n.Links {
		if id := j.runs[l.Run].Head; !slices.Contains(ids, id) {
			ids = append(ids, id)
		}
	}
	return ids
}

// highest is the greatest height of a head that has a node, m.
func (j *job) highest() float64 {
	up := 0.0
	for _, n := range j.nodes {
		up = max(up, n.At.At.Up)
	}
	return up
}

// servedHeads are the heads with a sensed run, in the order of a person's walk.
func (j *job) servedHeads() []drill.Head {
	var hs []drill.Head
	for _, id := range drill.HeadOrder(j.d) {
		if slices.ContainsFunc(j.f.Map, func(l fit.Link) bool { return j.runs[l.Run].Head == id }) {
			h, _ := j.d.Head(id)
			hs = append(hs, h)
		}
	}
	return hs
}
