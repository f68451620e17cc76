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
	secCols  []int           // column of each section known to the drill and the log
	secRuns  [][]drill.RunID // the runs that it shuts off

	lat, lon, speed, course, work int // columns, -1 = none

	unknownPorts []string      // ports and sections of the log that the fit does not know
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
	b := flowlog.Bind(s, f)
	in := inputs{fit: f, clock: s.Clock, lat: b.Lat, lon: b.Lon, speed: b.Speed, course: b.Course, work: b.Work}
	for _, sec := range b.Sections {
		if sec.Column != flowlog.None {
			in.secCols = append(in.secCols, sec.Column)
			in.secRuns = append(in.secRuns, f.Drill.SectionRuns(sec.Section))
		}
	}
	for _, r := range b.Runs {
		if r.Column != flowlog.None && !r.Closed {
			in.watch(r)
		}
	}
	for _, r := range b.Missing() {
		in.missingRuns = append(in.missingRuns, r.ID)
	}
	for _, c := range b.Unknown {
		in.unknownPorts = append(in.unknownPorts, s.Columns[c].Name)
	}
	return in
}

func (in *inputs) watch(r flowlog.BoundRun) {
	w := run{Run: r.Run, port: r.Port}
	i := len(in.runs)
	w.product = indexOr(&in.products, func(p productHeads) bool { return p.id == r.Product }, productHeads{id: r.Product})
	w.head = indexOr(&in.heads, func(h headRuns) bool { return h.id == r.Head }, headRuns{id: r.Head, product: w.product})
	w.node = indexOr(&in.nodes, func(n nodeRuns) bool { return n.serial == r.Port.Node }, nodeRuns{serial: r.Port.Node})
	if p := &in.products[w.product]; !slices.Contains(p.heads, w.head) {
		p.heads = append(p.heads, w.head)
	}
	in.heads[w.head].runs = append(in.heads[w.head].runs, i)
	in.nodes[w.node].runs = append(in.nodes[w.node].runs, i)
	for k, shut := range in.secRuns {
		if slices.Contains(shut, r.ID) {
			w.sections = append(w.sections, k)
		}
	}
	in.runs = append(in.runs, w)
	in.runCols = append(in.runCols, r.Column)
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
