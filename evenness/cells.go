package evenness

import (
	"cmp"
	"math"
	"slices"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
)

// cellS is the least of steady work that is used, s: common practice, no source.
const cellS = 10.0

// What makes a cell steady: common practice, no source.
const (
	dipPart   = 0.4 // of the cell's median second: less is a start, a stop or a hole
	surgePart = 2.5
	idlePart  = 0.2 // of the usual cell: less is standstill
	holeS     = 3.0 // without a sample: the recorder paused
)

// cell is some seconds of steady work: what each run counted, NaN where part of
// it was not reported.
type cell struct {
	startNS, endNS int64
	seconds        float64
	counts         []float64
	total          float64
}

// steady collects the cells of one product from a log as it is read. Cells
// begin anew wherever the drill is lifted, a section of the product is shut, the
// recorder pauses or the product stops.
type steady struct {
	runs     []drill.Run // watched: open, sensed, in the log
	columns  []int
	sections []int // columns of the sections that hold its runs
	work     int
	absent   []drill.RunID // open and sensed, and not in the log

	cells   []cell
	most    int // cells stored; 0 = mostCells, which is even, as this must be
	doubled int // how often they were joined two by two
	joined  int // cells in the last stored one, while it is in the making

	row    []float64    // totals of a batch's samples
	few    flowlog.Rows // those of its narrow columns
	now    cell
	second []float64 // totals of the seconds of the cell in the making
	inS    float64   // seconds already in the last of second
	lastNS int64
	begun  bool
}

func newSteady(f *fit.Fit, s flowlog.Schema, p drill.ProductID) *steady {
	b := flowlog.Bind(s, f)
	st := &steady{work: b.Work}
	for _, r := range b.Runs {
		switch {
		case r.Product != p || r.Closed:
		case r.Column == flowlog.None:
			st.absent = append(st.absent, r.ID)
		default:
			st.runs, st.columns = append(st.runs, r.Run), append(st.columns, r.Column)
		}
	}
	st.inOrder(&f.Drill)
	for _, sec := range b.Sections {
		shuts := f.Drill.SectionRuns(sec.Section)
		mine := slices.ContainsFunc(st.runs, func(r drill.Run) bool { return slices.Contains(shuts, r.ID) })
		if mine && sec.Column != flowlog.None {
			st.sections = append(st.sections, sec.Column)
		}
	}
	return st
}

// inOrder puts the runs in the order of the drill.
func (st *steady) inOrder(d *drill.Drill) {
	column := map[drill.RunID]int{}
	for i, r := range st.runs {
		column[r.ID] = st.columns[i]
	}
	st.runs, st.columns = nil, nil
	for _, r := range d.Runs() {
		if c, ok := column[r.ID]; ok {
			st.runs, st.columns = append(st.runs, r), append(st.columns, c)
		}
	}
}

// add takes the next samples. Columns are summed whole stretches at a time: where
// cells begin and end follows from the totals alone.
func (st *steady) add(b *flowlog.Batch) {
	st.sumRows(b)
	from := 0 // of the samples not yet summed into the cell in the making
	for i, t := range b.TimeNS {
		dt := float64(t-st.lastNS) / 1e9
		switch {
		case !st.begun || dt > holeS || !st.working(b, i):
			st.fresh(t)
			from = i + 1
		case st.sample(st.row[i], dt):
			st.sum(b, from, i+1)
			st.finish(t)
			from = i + 1
		}
		st.lastNS, st.begun = t, true
	}
	st.sum(b, from, b.Len())
}

// sumRows sums each sample over the runs, unreported counts left out.
func (st *steady) sumRows(b *flowlog.Batch) {
	st.row = append(st.row[:0], make([]float64, b.Len())...)
	st.few.Reset(b.Len())
	for _, c := range st.columns {
		if n := b.NarrowColumn(c); n != nil {
			st.few.Add(n)
			continue
		}
		for i, v := range b.Values[c] {
			if v == v {
				st.row[i] += v
			}
		}
	}
	for i, v := range st.few.Sums() {
		st.row[i] += float64(v)
	}
}

func (st *steady) working(b *flowlog.Batch, i int) bool {
	if st.work != flowlog.None && b.Values[st.work][i] == 0 {
		return false
	}
	for _, c := range st.sections {
		if b.Values[c][i] == 0 {
			return false
		}
	}
	return true
}

func (st *steady) fresh(t int64) {
	st.now = cell{startNS: t, counts: make([]float64, len(st.runs))}
	st.second, st.inS = st.second[:0], 1
}

// sample takes one sample's total in and tells whether the cell is full.
func (st *steady) sample(total, dt float64) bool {
	if st.inS >= 1-1e-9 {
		st.second, st.inS = append(st.second, 0), 0
	}
	st.second[len(st.second)-1] += total
	st.inS += dt
	st.now.seconds += dt
	st.now.total += total
	return st.now.seconds >= cellS-1e-9 && st.inS >= 1-1e-9
}

// sum takes the counts of samples from..to into the cell in the making; one that
// is not a number stays, for the cell is not whole for that run.
func (st *steady) sum(b *flowlog.Batch, from, to int) {
	if from >= to {
		return
	}
	for k, c := range st.columns {
		sum := 0.0
		if n := b.NarrowColumn(c); n != nil {
			if sum = float64(n.Sum(from, to)); n.AbsentIn(from, to) > 0 {
				sum = math.NaN()
			}
			st.now.counts[k] += sum
			continue
		}
		for _, v := range b.Values[c][from:to] {
			sum += v
		}
		st.now.counts[k] += sum
	}
}

func (st *steady) finish(t int64) {
	st.now.endNS = t
	if st.now.total > 0 && even(st.second) {
		st.store(st.now)
	}
	st.fresh(t)
}

// mostCells bounds the memory: 16 hours of steady work at 10 s.
const mostCells = 5760

// store keeps a cell. Once there are too many, they are joined two by two, and
// those that come are joined to as many.
func (st *steady) store(c cell) {
	if st.joined > 0 {
		st.cells[len(st.cells)-1].join(c)
	} else {
		st.cells = append(st.cells, c)
	}
	if st.joined++; st.joined < st.each() {
		return
	}
	st.joined = 0
	if len(st.cells) < cmp.Or(st.most, mostCells) {
		return
	}
	half := len(st.cells) / 2
	for i := range half {
		st.cells[i] = st.cells[2*i]
		st.cells[i].join(st.cells[2*i+1])
	}
	clear(st.cells[half:])
	st.cells, st.doubled = st.cells[:half], st.doubled+1
}

// each is how many cells of cellS a stored one joins.
func (st *steady) each() int { return 1 << st.doubled }

func (c *cell) join(d cell) {
	c.endNS = d.endNS
	c.seconds += d.seconds
	c.total += d.total
	for k, v := range d.counts {
		c.counts[k] += v
	}
}

// even tells whether no second of a cell stands out.
func even(second []float64) bool {
	sorted := slices.Sorted(slices.Values(second))
	mid := sorted[len(sorted)/2]
	return sorted[0] >= dipPart*mid && sorted[len(sorted)-1] <= surgePart*mid
}

// settle drops cells of standstill, runs that report too seldom, and then cells
// that are not whole. It returns the runs dropped.
func (st *steady) settle() (seldom []drill.RunID) {
	totals := make([]float64, len(st.cells))
	for i, c := range st.cells {
		totals[i] = c.total / c.seconds
	}
	if len(totals) == 0 {
		return nil
	}
	slices.Sort(totals)
	usual := totals[len(totals)/2]
	st.cells = slices.DeleteFunc(st.cells, func(c cell) bool { return c.total/c.seconds < idlePart*usual })
	const often = 0.8
	keep := make([]bool, len(st.runs))
	for k, r := range st.runs {
		n := 0
		for _, c := range st.cells {
			if !math.IsNaN(c.counts[k]) {
				n++
			}
		}
		if keep[k] = float64(n) >= often*float64(len(st.cells)); !keep[k] {
			seldom = append(seldom, r.ID)
		}
	}
	st.keep(keep)
	st.cells = slices.DeleteFunc(st.cells, func(c cell) bool { return slices.ContainsFunc(c.counts, math.IsNaN) })
	return seldom
}

// sound leaves out what a fault was in: first runs that were faulty in a fifth of
// the cells or more, which it returns, then the cells in which one of the others
// was, whose seconds it returns.
func (st *steady) sound(faults []Fault) (faulty []drill.RunID, seconds float64) {
	const often = 0.2
	in := st.faultyCells(faults)
	keep := make([]bool, len(st.runs))
	for k, r := range st.runs {
		n := 0
		for _, bad := range in[k] {
			if bad {
				n++
			}
		}
		if keep[k] = n == 0 || float64(n) < often*float64(len(st.cells)); !keep[k] {
			faulty = append(faulty, r.ID)
		}
	}
	sound := st.cells[:0:0]
	for i, c := range st.cells {
		bad := false
		for k := range st.runs {
			bad = bad || keep[k] && in[k][i]
		}
		if bad {
			seconds += c.seconds
		} else {
			sound = append(sound, c)
		}
	}
	st.cells = sound
	st.keep(keep)
	return faulty, seconds
}

// faultyCells tells of each run, then cell, whether a fault was in it.
func (st *steady) faultyCells(faults []Fault) [][]bool {
	at := map[drill.RunID]int{}
	in := make([][]bool, len(st.runs))
	for k, r := range st.runs {
		at[r.ID], in[k] = k, make([]bool, len(st.cells))
	}
	for _, f := range faults {
		for i, c := range st.cells {
			if f.StartNS > c.endNS || c.startNS > f.EndNS {
				continue
			}
			for _, r := range f.Runs {
				if k, ok := at[r]; ok {
					in[k][i] = true
				}
			}
		}
	}
	return in
}

func (st *steady) keep(keep []bool) {
	pick := func(v []float64) []float64 { return where(v, func(i int) bool { return keep[i] }) }
	var runs []drill.Run
	for i, r := range st.runs {
		if keep[i] {
			runs = append(runs, r)
		}
	}
	st.runs = runs
	for i := range st.cells {
		st.cells[i].counts = pick(st.cells[i].counts)
	}
}

// blocks joins the cells, in order, to so many blocks of about as many cells:
// counts by block, then run.
func (st *steady) blocks(n int) [][]float64 {
	n = min(n, len(st.cells))
	out := make([][]float64, n)
	for i, c := range st.cells {
		b := i * n / len(st.cells)
		if out[b] == nil {
			out[b] = make([]float64, len(st.runs))
		}
		for k, v := range c.counts {
			out[b][k] += v
		}
	}
	return out
}
