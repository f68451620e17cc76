package mapping

import (
	"fmt"
	"math"

	"runproof/flowlog"
)

// gather puts records that carry a part each into rows at even times.
//
// Nodes report at the same pace but not at the same moment, and each a little
// early or late. So every column has a phase of its own within the rows, which
// follows its reports slowly: a report lands in the row that is nearest to its
// own moment, and neither a jitter of up to half a row nor a slow drift between
// clocks makes one row hold two reports and the next one none.
type gather struct {
	*mapped
	rowNS  int64
	t0     int64
	open   map[int64]*row // by number
	next   int64          // number of the first row not given yet
	far    int64          // greatest number begun
	free   []*row
	state  []column
	held   []held // last known states
	end    error
	lost   float64 // particles counted over rows that were not reported
	lostIn int
}

type row struct {
	values []float64
	locked []bool // a node began anew: no count of this row is to be had
}

// column is what gather knows of a column.
type column struct {
	reports int
	phase   float64 // of its reports within rows, in rows
	last    int64   // row of the report before
}

type held struct {
	value float64
	row   int64
}

// holdS is for how many seconds a state is taken to go on when it is not
// reported again.
const holdS = 2.0

func newGather(a *mapped, rowsS float64) *gather {
	g := &gather{mapped: a, rowNS: int64(math.Round(rowsS * 1e9)), open: map[int64]*row{}}
	g.state = make([]column, len(a.targets))
	g.held = make([]held, len(a.targets))
	for i := range g.held {
		g.held[i].value = flowlog.Missing()
	}
	return g
}

// Read fills b with the next rows.
func (g *gather) Read(b *flowlog.Batch) error {
	columns := len(g.targets)
	b.Reset(columns)
	for b.Len() == 0 && g.end == nil {
		if g.end = g.src.Read(&g.in); g.end != nil {
			g.give(b, math.MaxInt64)
			break
		}
		for i, ns := range g.in.TimeNS {
			g.record(i, ns)
		}
		// A report is less than two rows away from its row.
		const away = 3
		g.give(b, (g.in.TimeNS[g.in.Len()-1]-g.t0)/g.rowNS-away)
	}
	if b.Len() == 0 {
		return g.end
	}
	return nil
}

// record puts the values of one record into their rows.
func (g *gather) record(i int, ns int64) {
	if !g.begun {
		g.begun, g.t0 = true, ns
	}
	at := float64(ns-g.t0) / float64(g.rowNS)
	for c := range g.targets {
		t := &g.targets[c]
		v := g.in.Values[t.from][i]
		if v != v {
			continue
		}
		if v = t.read(v); v != v {
			continue
		}
		if t.column.Kind == flowlog.Port {
			g.count(c, at, v)
			continue
		}
		k := max(int64(math.Round(at)), g.next)
		g.row(k).values[c] = v
	}
}

// count puts the report of a port into its row.
func (g *gather) count(c int, at, v float64) {
	t, s := &g.targets[c], &g.state[c]
	k, before := s.settle(at)
	k = max(k, g.next)
	r := g.row(k)
	switch t.rule.Counts {
	case PerSecond:
		v *= float64(g.rowNS) / 1e9
		r.values[c] = flowlog.Missing()
	case Running:
		t.missed = int(max(0, k-before-1))
		restarts := t.restarts
		d, missed := t.since(v)
		if t.restarts > restarts {
			g.anew(c, r)
			return
		}
		if v = d; missed > 0 && d == d {
			g.lost += d
			g.lostIn++
			return
		}
	}
	switch {
	case v != v || r.locked[c]:
	case r.values[c] == r.values[c]:
		r.values[c] += v
	default:
		r.values[c] = v
	}
}

// settle finds the row of a report at a time in rows, and moves the phase. A
// report belongs to the row behind that of the one before, unless its moment is
// nearer to another by a good part.
func (s *column) settle(at float64) (k, before int64) {
	const gain, slip, own = 0.05, 1.0, 0.75
	if s.reports++; s.reports == 1 {
		k = int64(math.Round(at))
		s.phase, s.last = at-float64(k), k
		return k, k - 1
	}
	before = s.last
	k = s.last + 1
	if off := at - s.phase - float64(k); math.Abs(off) > own {
		k = max(s.last, k+int64(math.Round(off)))
	}
	// The phase is the mean of the first reports, then follows slowly.
	s.phase += max(gain, 1/float64(s.reports)) * (at - s.phase - float64(k))
	s.last = k
	switch {
	case s.phase > slip: // the next row is nobody's, and nobody's loss
		s.phase--
		s.last++
	case s.phase < -slip: // the next report joins this one
		s.phase++
		s.last--
	}
	return k, before
}

// anew: a node was switched off and on. Its other counts began anew, too: those
// of this row that came before are taken back, those still to come start afresh.
func (g *gather) anew(c int, r *row) {
	node := g.targets[c].column.Port.Node
	for i := range g.targets {
		t := &g.targets[i]
		if t.column.Kind != flowlog.Port || t.column.Port.Node != node || t.rule.Counts != Running {
			continue
		}
		if r.values[i] == r.values[i] || i == c {
			r.values[i] = flowlog.Missing()
		} else {
			t.forget()
		}
		r.locked[i] = true
	}
}

// row is the row of that number, begun where it is new.
func (g *gather) row(k int64) *row {
	if r, ok := g.open[k]; ok {
		return r
	}
	var r *row
	if n := len(g.free); n > 0 {
		r, g.free = g.free[n-1], g.free[:n-1]
	} else {
		r = &row{make([]float64, len(g.targets)), make([]bool, len(g.targets))}
	}
	for c := range r.values {
		r.values[c], r.locked[c] = flowlog.Missing(), false
	}
	g.open[k], g.far = r, max(g.far, k)
	return r
}

// give writes the rows up to number last into b.
func (g *gather) give(b *flowlog.Batch, last int64) {
	for last = min(last, g.far); g.next <= last; g.next++ {
		r, ok := g.open[g.next]
		if !ok {
			g.leap(last)
			continue
		}
		delete(g.open, g.next)
		b.TimeNS = append(b.TimeNS, g.t0+g.next*g.rowNS)
		for c, v := range r.values {
			b.Values[c] = append(b.Values[c], g.goesOn(c, v))
		}
		g.free = append(g.free, r)
	}
}

// leap goes over rows that hold nothing, up to the next that does or to last.
func (g *gather) leap(last int64) {
	to := last
	for k := range g.open {
		to = min(to, k-1)
	}
	g.next = max(g.next, to)
}

// goesOn is the value of a state that was not reported in this row: the last
// one, for a while. Counts and positions do not go on.
func (g *gather) goesOn(c int, v float64) float64 {
	switch g.targets[c].column.Kind {
	case flowlog.Speed, flowlog.Course, flowlog.Work, flowlog.Section:
	default:
		return v
	}
	h := &g.held[c]
	if v == v {
		*h = held{v, g.next}
		return v
	}
	if float64(g.next-h.row)*float64(g.rowNS) <= holdS*1e9 {
		return h.value
	}
	return v
}

// Remarks are those of the recording, of the map and of the rows.
func (g *gather) Remarks() []flowlog.Remark {
	rs := g.mapped.Remarks()
	if g.lostIn > 0 {
		rs = append(rs, flowlog.Remark{What: fmt.Sprintf("%d counts, %.0f particles, are of more than one row, because ports did not report in between; they are left out", g.lostIn, g.lost)})
	}
	return rs
}
