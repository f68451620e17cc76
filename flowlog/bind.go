package flowlog

import (
	"slices"

	"runproof/drill"
	"runproof/fit"
)

// None stands for a column that the log does not have.
const None = -1

// Binding joins the columns of a log to a fit: which column tells of which
// run. Columns are indices into Schema.Columns, or None.
type Binding struct {
	Runs     []BoundRun     // one a link of the fit's map, in its order
	Sections []BoundSection // one a section of the drill, in its order
	Lat      int
	Lon      int
	Speed    int
	Course   int
	Work     int
	Spare    []int // columns of ports that a node of the fit has and no run uses
	Unknown  []int // columns of ports and sections that the fit does not know
}

// BoundRun is a sensed run and the column of its port.
type BoundRun struct {
	drill.Run
	Port   fit.PortRef
	Column int // None where the log lacks the port
}

// BoundSection is a section of the drill and the column of its state.
type BoundSection struct {
	drill.Section
	Column int // None where the log lacks it
}

// Bind joins a log to a fit. A link whose run the fit's drill does not have
// counts as if it were not there: its port is spare.
func Bind(s Schema, f *fit.Fit) *Binding {
	b := &Binding{Lat: s.Find(Lat), Lon: s.Find(Lon), Speed: s.Find(Speed), Course: s.Find(Course), Work: s.Find(Work)}
	index := make(map[string]int, len(s.Columns))
	for i, c := range s.Columns {
		index[c.Name] = i
	}
	used := make([]bool, len(s.Columns))
	use := func(name string) int {
		i, ok := index[name]
		if !ok {
			return None
		}
		used[i] = true
		return i
	}
	runs := make(map[drill.RunID]drill.Run)
	for _, r := range f.Drill.Runs() {
		runs[r.ID] = r
	}
	for _, l := range f.Map {
		if r, ok := runs[l.Run]; ok {
			b.Runs = append(b.Runs, BoundRun{Run: r, Port: l.Ref(), Column: use(l.Ref().String())})
		}
	}
	for _, sec := range f.Drill.Sections {
		b.Sections = append(b.Sections, BoundSection{Section: sec, Column: use(SectionColumn(sec.ID).Name)})
	}
	for i, c := range s.Columns {
		if !used[i] && (c.Kind == Port || c.Kind == Section) {
			b.strange(i, c, f.Nodes)
		}
	}
	return b
}

// strange files a column that tells of no run and no section.
func (b *Binding) strange(i int, c Column, nodes []fit.Node) {
	ofNode := func(n fit.Node) bool { return c.Kind == Port && n.Serial == c.Port.Node && c.Port.Port <= n.Ports }
	if slices.ContainsFunc(nodes, ofNode) {
		b.Spare = append(b.Spare, i)
	} else {
		b.Unknown = append(b.Unknown, i)
	}
}

// Missing returns the runs whose port the log lacks, in the map's order.
func (b *Binding) Missing() []BoundRun {
	var missing []BoundRun
	for _, r := range b.Runs {
		if r.Column == None {
			missing = append(missing, r)
		}
	}
	return missing
}

// Needs says which columns a fit can use, for formats.Only: its nodes' ports,
// position, speed, course, work and section states.
func Needs(f *fit.Fit) func(Column) bool {
	nodes := make(map[string]bool, len(f.Nodes))
	for _, n := range f.Nodes {
		nodes[n.Serial] = true
	}
	return func(c Column) bool { return c.Kind != Other && (c.Kind != Port || nodes[c.Port.Node]) }
}
