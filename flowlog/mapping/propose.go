package mapping

import (
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"sort"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/stat"

	"runproof/fit"
	"runproof/flowlog"
)

// Proposal is a map that a look at a sample suggests. A person checks it: Notes
// says where to look first.
type Proposal struct {
	Map
	Notes []string // what the sample does not show, or shows in two ways
}

// sampleRows is how many samples of a recording are looked at.
const sampleRows = 20000

// ProposeText looks at a text file's beginning. file is its name, for messages.
func ProposeText(sample io.ReadSeeker, file string) (*Proposal, error) {
	s, err := sniff(sample)
	if err != nil {
		return nil, err
	}
	p := &Proposal{Map: Map{Runproof: Version, Text: s.text, Time: s.time}, Notes: s.notes}
	names := p.oneALine(s)
	if _, err := sample.Seek(0, io.SeekStart); err != nil {
		return nil, err
	}
	looked := p.Map
	looked.Columns = names
	r, err := NewText(sample, file, &looked)
	if err != nil {
		return nil, err
	}
	if err := p.columns(r); err != nil {
		return nil, err
	}
	p.keep(names)
	p.fromText(s)
	if r.backward() {
		p.Notes = append(p.Notes, "lines run back in time: sort them, the oldest first, before they are read")
	}
	return p, nil
}

// Propose looks at the beginning of a recording in some format that names its
// own columns.
func Propose(r flowlog.Reader) (*Proposal, error) {
	p := &Proposal{Map: Map{Runproof: Version}}
	return p, p.columns(r)
}

// columns guesses what the columns mean.
func (p *Proposal) columns(r flowlog.Reader) error {
	l, err := head(r)
	if err != nil {
		return err
	}
	taken := map[string]bool{}
	for _, c := range l.Columns {
		taken[flowlog.ColumnNamed(c.Name).Name] = flowlog.ColumnNamed(c.Name).Kind != flowlog.Other
	}
	rest, perS := []int{}, 0
	for i, c := range l.Columns {
		if flowlog.ColumnNamed(c.Name).Kind != flowlog.Other {
			continue
		}
		if ddi := dataDictionary.FindStringSubmatch(c.Name); ddi != nil {
			// Count per time, in 0.001/s, is the only one that tells of particles.
			if ddi[1] == "002F" {
				perS++
				p.Columns = append(p.Columns, Column{From: c.Name, To: fit.PortRef{Node: "N1", Port: perS}.String(), Counts: PerSecond, Scale: 0.001})
			}
			continue
		}
		if col, ok := known(c.Name, l.Values[i]); ok && !taken[col.To] {
			taken[col.To] = true
			p.Columns = append(p.Columns, col)
			continue
		}
		rest = append(rest, i)
	}
	if perS > 0 {
		p.Notes = append(p.Notes, "N1 stands for whatever counts the particles of the elements: name it, and its ports")
	}
	p.ports(l, rest, perS > 0 || namesPort(l.Schema))
	return nil
}

// namesPort says that some column has the name of a port already.
func namesPort(s flowlog.Schema) bool {
	return slices.ContainsFunc(s.Columns, func(c flowlog.Column) bool { return flowlog.ColumnNamed(c.Name).Kind == flowlog.Port })
}

// dataDictionary is a column of task data: its identifier, and the element.
var dataDictionary = regexp.MustCompile(`^([0-9A-F]{4}):DET`)

// head reads the first samples.
func head(r flowlog.Reader) (*flowlog.Log, error) {
	l := &flowlog.Log{Schema: r.Schema()}
	l.Reset(len(l.Columns))
	var b flowlog.Batch
	for l.Len() < sampleRows {
		err := r.Read(&b)
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil && l.Len() == 0 {
			return nil, err
		}
		if err != nil {
			break
		}
		l.TimeNS = append(l.TimeNS, b.TimeNS...)
		for c := range l.Values {
			l.Values[c] = append(l.Values[c], b.Values[c]...)
		}
	}
	return l, nil
}

func span(values []float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, v := range values {
		if v == v {
			lo, hi = min(lo, v), max(hi, v)
		}
	}
	return lo, hi
}

// numbered is a name that ends in a number: a run, a row, a channel.
var numbered = regexp.MustCompile(`^(.*?)0*([1-9][0-9]*)(@[0-9A-F]{2})?$`)

// serial is what looks like a serial number in the name of a family.
var serial = regexp.MustCompile(`[0-9]{3,}`)

// family is columns with one name and a number each.
type family struct {
	name    string
	members []int // columns
	numbers []int
	missing []float64 // what says that nothing was reported
}

// ports takes the families of numbered columns that hold counts for ports: each
// family is a node.
func (p *Proposal) ports(l *flowlog.Log, columns []int, some bool) {
	var fs []*family
	byName := map[string]*family{}
	for _, i := range columns {
		m := numbered.FindStringSubmatch(l.Columns[i].Name)
		if m == nil {
			continue
		}
		none := missingValues(l.Values[i])
		if !counts(l.Values[i]) {
			continue
		}
		key := m[1] + m[3]
		f := byName[key]
		if f == nil {
			f = &family{name: key}
			byName[key] = f
			fs = append(fs, f)
		}
		n, _ := strconv.Atoi(m[2])
		f.members, f.numbers, f.missing = append(f.members, i), append(f.numbers, n), union(f.missing, none)
	}
	node, told := 0, 0.0
	var every []float64
	used := map[string]bool{}
	alike := map[string]int{}
	for _, f := range fs {
		alike[f.signal()]++
	}
	for _, f := range fs {
		// One numbered count alone may be anything; one of each of several nodes not.
		if len(f.members) < 2 && (alike[f.signal()] < 2 || f.signal() == f.name) {
			continue
		}
		node++
		name := fmt.Sprintf("N%d", node)
		if s := serial.FindString(f.name); s != "" && !used[s] {
			name = s
		}
		used[name] = true
		run, wraps := f.running(l)
		for k, i := range f.members {
			told += reported(l.Values[i])
			c := Column{From: l.Columns[i].Name, To: fit.PortRef{Node: name, Port: f.numbers[k]}.String(), Missing: f.missing}
			if run {
				c.Counts, c.WrapsAt = Running, wraps
			}
			p.Columns = append(p.Columns, c)
			every = append(every, apart(l, i))
		}
		p.Notes = append(p.Notes, f.note(name, run, wraps))
	}
	if node == 0 && !some {
		p.Notes = append(p.Notes, "no columns of counts were found: name the ports under columns, as node:port")
	}
	p.rows(told/max(1, float64(len(every))), every)
}

// signal is the family's name without that of the message.
func (f *family) signal() string { return f.name[strings.LastIndexByte(f.name, '.')+1:] }

func (f *family) note(node string, run bool, wraps float64) string {
	s := fmt.Sprintf("%s stands for the node of %q: write its serial number; port numbers are those of the names", node, strings.TrimSpace(f.name))
	if node[0] != 'N' {
		s = fmt.Sprintf("%s is taken for the serial number of the node of %q", node, strings.TrimSpace(f.name))
	}
	switch {
	case run && wraps > 0:
		s += fmt.Sprintf("; its counts run on and seem to wrap at %.0f", wraps)
	case run:
		s += "; its counts run on: if they wrap, write wraps_at, such as 65536"
	default:
		s += "; each of its counts is taken for that since the line before: if they are particles a second, write counts: per_second"
	}
	for _, v := range f.missing {
		s += fmt.Sprintf("; %.0f is taken for not reported", v)
	}
	return s
}

// union is both lists, without what is twice.
func union(a, b []float64) []float64 {
	for _, v := range b {
		if !slices.Contains(a, v) {
			a = append(a, v)
		}
	}
	return a
}

// missingValues finds numbers that say "not reported" among counts, and takes
// them out: the only negative one, and the greatest number of so many bits or
// nines where it comes again and all others are far from it.
func missingValues(values []float64) (none []float64) {
	const again, far = 2, 4
	low, high, second := math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, v := range values {
		if v < low {
			low = v
		}
		switch {
		case v > high:
			high, second = v, high
		case v < high && v > second:
			second = v
		}
	}
	lows, highs, negative := 0, 0, 0
	for _, v := range values {
		if v < 0 {
			negative++
		}
		if v == low {
			lows++
		}
		if v == high {
			highs++
		}
	}
	if low < 0 && negative == lows {
		none = append(none, low)
	}
	if highs >= again && allOnes(high) && second*far < high {
		none = append(none, high)
	}
	for i, v := range values {
		if slices.Contains(none, v) {
			values[i] = math.NaN()
		}
	}
	return none
}

// allOnes are the numbers that recorders write for what they do not know.
func allOnes(v float64) bool {
	switch v {
	case 255, 32767, 65535, 1<<31 - 1, 1<<32 - 1, 999, 9999, 99999, 999999:
		return true
	}
	return false
}

// counts says whether values are whole numbers that are not negative.
func counts(values []float64) bool {
	n := 0
	for _, v := range values {
		if v != v {
			continue
		}
		if v < 0 || v != math.Trunc(v) {
			return false
		}
		n++
	}
	return n > 0
}

// running says whether the counts of a family run on, and where they wrap. They
// do when hardly any falls and together they rise; then they wrap at the next
// power of two, if they fall at all. Narrow counts that wrap every few reports
// show it otherwise: their values are all over the range, and the steps from one
// to the next, taken around its end, are not.
func (f *family) running(l *flowlog.Log) (run bool, wraps float64) {
	rises, falls, top := 0, 0, 0.0
	for _, i := range f.members {
		last := math.NaN()
		for _, v := range l.Values[i] {
			if v != v {
				continue
			}
			if v > last {
				rises++
			}
			if v < last {
				falls++
			}
			last, top = v, max(top, v)
		}
	}
	wraps = math.Exp2(math.Ceil(math.Log2(top + 1)))
	const few = 20 // rises for one fall
	switch {
	case rises > 0 && falls == 0:
		return true, 0
	case rises > 0 && falls*few <= rises:
		return true, wraps
	case rises > 0 && f.around(l, wraps):
		return true, wraps
	}
	return false, 0
}

// around says whether the counts go around a range: values spread over it, steps
// alike.
func (f *family) around(l *flowlog.Log, wraps float64) bool {
	var values, steps []float64
	for _, i := range f.members {
		last := math.NaN()
		for _, v := range l.Values[i] {
			if v != v {
				continue
			}
			values = append(values, v)
			if last == last {
				steps = append(steps, math.Mod(v-last+wraps, wraps))
			}
			last = v
		}
	}
	// Even values over a range have a deviation of 0.29 of it.
	const enough, spread, alike = 30, 0.2, 0.1
	if wraps < 16 || len(steps) < enough {
		return false
	}
	return stat.StdDev(values, nil) > spread*wraps && stat.StdDev(steps, nil) < alike*wraps
}

// apart is the median time between two reports of a column, in seconds.
func apart(l *flowlog.Log, column int) float64 {
	var d []float64
	last, begun := int64(0), false
	for i, v := range l.Values[column] {
		if v != v {
			continue
		}
		if begun {
			d = append(d, float64(l.TimeNS[i]-last)/1e9)
		}
		last, begun = l.TimeNS[i], true
	}
	if len(d) == 0 {
		return math.NaN()
	}
	sort.Float64s(d)
	return d[len(d)/2]
}

// reported is the share of values that are there.
func reported(values []float64) float64 {
	n := 0
	for _, v := range values {
		if v == v {
			n++
		}
	}
	return float64(n) / float64(max(1, len(values)))
}

// rows proposes to gather where ports report in fewer records than not.
func (p *Proposal) rows(told float64, every []float64) {
	if len(every) == 0 || told > 0.5 {
		return
	}
	sort.Float64s(every)
	if mid := every[len(every)/2]; mid > 0.005 && mid <= 60 {
		p.RowsS = math.Round(mid*100) / 100
		p.Notes = append(p.Notes, fmt.Sprintf("ports report every %.3g s, in records of their own: they are gathered into rows (rows_s)", mid))
	}
}
