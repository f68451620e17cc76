package mapping

import (
	"fmt"
	"math"

	"runproof/flowlog"
	"runproof/input"
)

// target is where one column of a recording goes.
type target struct {
	from   int // column of the recording
	column flowlog.Column
	rule   Column // zero where the map does not name it
	values int
	cannot int // values that the flow log's kind of column cannot have
	running
}

// read is what a written value says, NaN where it is missing or cannot be.
func (t *target) read(v float64) float64 {
	t.values++
	says, cannot := t.rule.value(v, t.column.Kind)
	if cannot {
		t.cannot++
	}
	return says
}

// mapped is a reader seen through a map.
type mapped struct {
	src     flowlog.Reader
	schema  flowlog.Schema
	targets []target
	in      flowlog.Batch
	lastNS  int64
	begun   bool
	absent  []string // columns that the map names and the recording lacks
	holes   int      // differences over records that did not report
	anew    map[began]bool
}

// began is a node that began anew at a record of the batch.
type began struct {
	node   string
	record int
}

// allAnew: where one count of a node began anew, all did. Those near the end of
// their range look as if they had wrapped.
func (a *mapped) allAnew(b *flowlog.Batch) {
	for c := range a.targets {
		t := &a.targets[c]
		if t.column.Kind != flowlog.Port || t.rule.Counts != Running {
			continue
		}
		for i := range b.Values[c] {
			if a.anew[began{t.column.Port.Node, i}] {
				b.Values[c][i] = flowlog.Missing()
			}
		}
	}
}

// Apply sees r through the map. keep chooses columns by their new names; nil
// keeps all. A map none of whose columns r has is a fault.
func Apply(r flowlog.Reader, m *Map, file string, keep func(flowlog.Column) bool) (flowlog.Reader, error) {
	a := &mapped{src: r, schema: flowlog.Schema{Clock: r.Schema().Clock}, anew: map[began]bool{}}
	_, isText := r.(*TextReader)
	rules := map[string]Column{}
	for _, c := range m.Columns {
		if isText {
			c.On = nil // it has read the words
		}
		rules[c.From] = c
	}
	used := map[string]string{}
	for i, col := range r.Schema().Columns {
		rule, named := rules[col.Name]
		delete(rules, col.Name)
		to := col
		if named && rule.To == leftOut {
			continue
		}
		if named {
			to = flowlog.ColumnNamed(rule.To)
		} else if isText {
			to = flowlog.ColumnNamed(col.Name)
		}
		if other, twice := used[to.Name]; twice {
			return nil, input.Fault{
				Place: input.Place{File: file}, What: fmt.Sprintf("columns %q and %q are both to be called %q", other, col.Name, to.Name),
				Remedy: "name the other one in the map, too, if only with - to leave it out",
			}
		}
		used[to.Name] = col.Name
		if keep == nil || keep(to) {
			a.targets = append(a.targets, target{from: i, column: to, rule: rule, running: running{wrapsAt: rule.WrapsAt}})
			a.schema.Columns = append(a.schema.Columns, to)
		}
	}
	for _, c := range m.Columns {
		if _, left := rules[c.From]; left && c.To != leftOut {
			a.absent = append(a.absent, c.From)
		}
	}
	if len(m.Columns) > 0 && len(a.absent) == len(m.Columns) {
		return nil, input.Fault{
			Place: input.Place{File: file}, What: fmt.Sprintf("it has none of the %d columns that the map names, such as %q", len(m.Columns), a.absent[0]),
			Remedy: "there are " + input.OneOf(few(namesOf(r.Schema()))) + "; runproof log map proposes a map for this recording",
		}
	}
	if m.RowsS > 0 {
		return newGather(a, m.RowsS), nil
	}
	return a, nil
}

func namesOf(s flowlog.Schema) []string {
	var names []string
	for _, c := range s.Columns {
		names = append(names, c.Name)
	}
	return names
}

// Schema is the columns by their new names.
func (a *mapped) Schema() flowlog.Schema { return a.schema }

// Read fills b with the next samples.
func (a *mapped) Read(b *flowlog.Batch) error {
	if err := a.src.Read(&a.in); err != nil {
		b.Reset(len(a.targets))
		return err
	}
	n := a.in.Len()
	b.Grow(len(a.targets), n)
	copy(b.TimeNS, a.in.TimeNS)
	clear(a.anew)
	for c := range a.targets {
		a.column(&a.targets[c], b.Values[c], a.in.Values[a.targets[c].from])
	}
	if len(a.anew) > 0 {
		a.allAnew(b)
	}
	a.lastNS, a.begun = a.in.TimeNS[n-1], true
	return nil
}

// column reckons one column of a batch.
func (a *mapped) column(t *target, out, in []float64) {
	kind := t.column.Kind
	for i, v := range in {
		if v == v {
			v = t.read(v)
		}
		switch {
		case kind != flowlog.Port || t.rule.Counts == Interval:
		case t.rule.Counts == PerSecond:
			v *= a.sinceBefore(i)
		case v == v:
			var over int
			before := t.restarts
			if v, over = t.since(v); over > 0 && v == v {
				a.holes++
			}
			if t.restarts > before {
				a.anew[began{t.column.Port.Node, i}] = true
			}
		default:
			t.missed++
		}
		out[i] = v
	}
}

// sinceBefore is the time from the record before to record i of the batch, in
// seconds; NaN before the first.
func (a *mapped) sinceBefore(i int) float64 {
	switch {
	case i > 0:
		return float64(a.in.TimeNS[i]-a.in.TimeNS[i-1]) / 1e9
	case a.begun:
		return float64(a.in.TimeNS[0]-a.lastNS) / 1e9
	}
	return math.NaN()
}

// Remarks are those of the recording and of the map.
func (a *mapped) Remarks() []flowlog.Remark {
	rs := append([]flowlog.Remark(nil), flowlog.RemarksOf(a.src)...)
	if len(a.absent) > 0 {
		rs = append(rs, flowlog.Remark{Lost: true, What: fmt.Sprintf("%d columns that the map names are not there: %s", len(a.absent), input.OneOf(few(a.absent)))})
	}
	if a.holes > 0 {
		rs = append(rs, flowlog.Remark{What: fmt.Sprintf("%d counts are of more than one record, because those before did not report; rows_s in the map gathers records into rows", a.holes)})
	}
	rs = append(rs, a.cannotBe()...)
	restarts := 0
	for i := range a.targets {
		restarts += a.targets[i].restarts
	}
	return append(rs, restartRemarks(restarts)...)
}

// cannotBe tells of values that are none. Where most of a column are, its unit
// will be another.
func (a *mapped) cannotBe() (rs []flowlog.Remark) {
	for _, t := range a.targets {
		if t.cannot > 0 {
			rs = append(rs, flowlog.Remark{
				Lost: 2*t.cannot > t.values,
				What: fmt.Sprintf("%d of %d values cannot be %s and are left out: check the unit of %q in the map", t.cannot, t.values, t.column.Name, t.name()),
			})
		}
	}
	return rs
}

// name is the column's name in the recording.
func (t *target) name() string {
	if t.rule.From != "" {
		return t.rule.From
	}
	return t.column.Name
}

func restartRemarks(n int) []flowlog.Remark {
	if n == 0 {
		return nil
	}
	return []flowlog.Remark{{What: fmt.Sprintf("%d running counts began anew (a node switched off and on); what they counted across it is not reported", n)}}
}

// running takes the differences of a count that runs on.
type running struct {
	wrapsAt  float64
	known    bool
	last     float64
	begun    bool    // there has been a difference
	most     float64 // greatest difference so far that was no wrap
	missed   int     // records without a report since the last
	restarts int
}

// since is how far the count went on since the last report, NaN where that
// cannot be known, and how many records did not report in between.
//
// A count below the last one has wrapped or begun anew. It has wrapped when the
// way over the end is no longer than twice what this count has gone before, and a
// little (a sixty-fourth of its range, at least 16): a count that begins anew hides among the wraps only by chance, and the
// other ports of its node give it away (see gather). The very first difference has
// nothing before it to compare with: half the range is a wrap, for hardly a node is
// switched off and on between the first two records.
func (r *running) since(v float64) (d float64, missed int) {
	missed, r.missed = r.missed, 0
	if !r.known {
		r.known, r.last = true, v
		return flowlog.Missing(), 0
	}
	d, r.last = v-r.last, v
	first := !r.begun
	r.begun = true
	if d >= 0 {
		if missed == 0 {
			r.most = max(r.most, d)
		}
		return d, missed
	}
	little := max(16, r.wrapsAt/64)
	if first {
		little = r.wrapsAt / 2
	}
	if d += r.wrapsAt; r.wrapsAt > 0 && d >= 0 && d <= float64(1+missed)*(2*r.most+little) {
		return d, missed
	}
	r.restarts++
	return flowlog.Missing(), missed
}

// forget makes the next report the first.
func (r *running) forget() { r.known, r.missed = false, 0 }
