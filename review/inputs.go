package review

import (
	"slices"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
)

// run is one watched run: sensed, not closed, with a column in the log.
type run struct {
	drill.Run
	port     fit.PortRef
	head     int   // index in inputs.heads
	product  int   // index in inputs.products
	node     int   // index in inputs.nodes
	sections []int // indices of sections that shut it off
}

// inputs ties the log's columns to the fit's runs.
type inputs struct {
	fit      *fit.Fit
	clock    flowlog.Clock
	runs     []run
	runCols  []int // column of each run
	heads    []headRuns
	products []productHeads
	nodes    []nodeRuns
	secCols  []int // column of each section known to the drill and the log
	secIDs   []drill.SectionID

	lat, lon, speed, course, work int // columns, -1 = none

	unknownPorts []string      // ports of the log that the fit does not know
	missingRuns  []drill.RunID // runs whose port the log lacks
}

type headRuns struct {
	id      drill.HeadID
	product int
	runs    []int
}

type productHeads struct {
	id    drill.ProductID
	heads []int
}

type nodeRuns struct {
	serial string
	runs   []int
}

func bind(f *fit.Fit, s flowlog.Schema) inputs {
	in := inputs{
		fit: f, clock: s.Clock,
		lat: s.Find(flowlog.Lat), lon: s.Find(flowlog.Lon), speed: s.Find(flowlog.Speed),
		course: s.Find(flowlog.Course), work: s.Find(flowlog.Work),
	}
	in.bindSections(s)
	known := map[fit.PortRef]bool{}
	for _, r := range f.Drill.Runs() {
		port, ok := f.PortOf(r.ID)
		if !ok {
			continue
		}
		known[port] = true
		col := s.PortIndex(port)
		if col < 0 {
			in.missingRuns = append(in.missingRuns, r.ID)
		} else if !r.Closed {
			in.watch(r, port, col)
		}
	}
	for _, c := range s.Columns {
		if c.Kind == flowlog.Port && !known[c.Port] {
			in.unknownPorts = append(in.unknownPorts, c.Name)
		}
	}
	return in
}

func (in *inputs) bindSections(s flowlog.Schema) {
	for c, col := range s.Columns {
		if col.Kind != flowlog.Section {
			continue
		}
		known := slices.ContainsFunc(in.fit.Drill.Sections, func(d drill.Section) bool { return d.ID == col.Section })
		if known {
			in.secCols = append(in.secCols, c)
			in.secIDs = append(in.secIDs, col.Section)
		}
	}
}

func (in *inputs) watch(r drill.Run, port fit.PortRef, col int) {
	w := run{Run: r, port: port}
	i := len(in.runs)
	w.product = indexOr(&in.products, func(p productHeads) bool { return p.id == r.Product }, productHeads{id: r.Product})
	w.head = indexOr(&in.heads, func(h headRuns) bool { return h.id == r.Head }, headRuns{id: r.Head, product: w.product})
	w.node = indexOr(&in.nodes, func(n nodeRuns) bool { return n.serial == port.Node }, nodeRuns{serial: port.Node})
	if p := &in.products[w.product]; !slices.Contains(p.heads, w.head) {
		p.heads = append(p.heads, w.head)
	}
	in.heads[w.head].runs = append(in.heads[w.head].runs, i)
	in.nodes[w.node].runs = append(in.nodes[w.node].runs, i)
	for k, id := range in.secIDs {
		for _, sec := range in.fit.Drill.Sections {
			if sec.ID == id && slices.Contains(in.fit.Drill.SectionRuns(sec), r.ID) {
				w.sections = append(w.sections, k)
			}
		}
	}
	in.runs = append(in.runs, w)
	in.runCols = append(in.runCols, col)
}

// indexOr is the index of the first element that fits, which is appended when
// there is none.
func indexOr[T any](s *[]T, fits func(T) bool, fresh T) int {
	if i := slices.IndexFunc(*s, fits); i >= 0 {
		return i
	}
	*s = append(*s, fresh)
	return len(*s) - 1
}

// workAt is the work state at row i and whether the log gives one.
func (in *inputs) workAt(b *flowlog.Batch, i int) (inGround, known bool) {
	v := at(b, in.work, i)
	return v != 0, v == v
}
