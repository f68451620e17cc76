package mapping

import (
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
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
	if _, err := sample.Seek(0, io.SeekStart); err != nil {
		return nil, err
	}
	r, err := NewText(sample, file, &p.Map)
	if err != nil {
		return nil, err
	}
	if err := p.columns(r); err != nil {
		return nil, err
	}
	p.fromText(s)
	return p, nil
}

// onWords are words for a drill in work, in some languages. common practice, no
// source.
var onWords = []string{"on", "yes", "true", "in", "down", "lowered", "work", "working", "active", "ein", "an", "ja", "aktiv", "oui", "si", "sí"}

// fromText adds what only the text shows: units below the names, words for
// states.
func (p *Proposal) fromText(s *sniffed) {
	for k := range p.Columns {
		c := &p.Columns[k]
		at := fieldNamed(s.names, c.From)
		if at < 0 {
			continue
		}
		if c.To == "speed" && c.Unit == Own && s.units != nil {
			c.Unit = unitNamed(s.units[at])
		}
		if c.To != "work" {
			continue
		}
		for _, row := range s.rows {
			if i, err := oneWord(strings.ToLower(row[at]), onWords); err == nil {
				c.On = []string{onWords[i]}
				break
			}
		}
	}
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
	p.ports(l, rest, perS > 0)
	return nil
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

// meanings are names that people and programs give to what a flow log has a
// column for, in some languages. common practice, no source.
var meanings = []struct {
	name *regexp.Regexp
	to   string
}{
	{regexp.MustCompile(`(?i)^(gps|gnss|pos)?[ ._-]*(lat|latitude|breite|breitengrad|latitud)\b`), "lat"},
	{regexp.MustCompile(`(?i)^(gps|gnss|pos)?[ ._-]*(lon|lng|long|longitude|länge|längengrad|longitud)\b`), "lon"},
	{regexp.MustCompile(`(?i)(^|[ ._-])(ground *)?(speed|velocity|geschw\.?|geschwindigkeit|vitesse|velocidad|hastighet)\b`), "speed"},
	{regexp.MustCompile(`(?i)(^|[ ._-])(course|heading|cog|bearing|kurs|cap|rumbo)\b`), "course"},
	{regexp.MustCompile(`(?i)^(work|working|workstate|work *state|arbeit|arbeitsstellung|in *work|implement)\b`), "work"},
}

// section is the name of a section's state.
var section = regexp.MustCompile(`(?i)(?:^|[ ._-])(?:section|sektion|teilbreite|tronçon)[ ._-]*([\pL\pN_]+)$`)

var unitInName = []struct {
	text string
	unit Unit
}{{"km/h", KilometresPerH}, {"kmh", KilometresPerH}, {"kph", KilometresPerH}, {"mph", MilesPerH}, {"knot", Knots}, {"kn)", Knots}, {"mm/s", MillimetresPerS}, {"m/s", Own}}

// unitNamed is the unit of speed that a text names.
func unitNamed(text string) Unit {
	for _, u := range unitInName {
		if strings.Contains(strings.ToLower(text), u.text) {
			return u.unit
		}
	}
	return Own
}

// known says what a column means by its name and its values.
func known(name string, values []float64) (Column, bool) {
	if m := section.FindStringSubmatch(name); m != nil {
		return Column{From: name, To: "sec:" + m[1]}, true
	}
	own := name[strings.LastIndexByte(name, '.')+1:] // signal of a message
	for _, m := range meanings {
		if !m.name.MatchString(name) && !m.name.MatchString(own) {
			continue
		}
		c := Column{From: name, To: m.to}
		lo, hi := span(values)
		switch m.to {
		case "speed":
			c.Unit = unitNamed(name)
		case "lat", "lon":
			switch {
			case hi > 18000 || lo < -18000:
				c.Unit = TenMillionths
			case hi > 180 || lo < -180:
				c.Unit = DegreesMinutes
			}
		case "work":
			// 2 and 3 are error and not known on a bus: they are no states as they are.
			if lo < 0 || hi > 3 {
				c.On = []string{"1"}
			}
		}
		return c, true
	}
	return Column{}, false
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
}

// ports takes the families of numbered columns that hold counts for ports: each
// family is a node.
func (p *Proposal) ports(l *flowlog.Log, columns []int, some bool) {
	var fs []*family
	byName := map[string]*family{}
	for _, i := range columns {
		m := numbered.FindStringSubmatch(l.Columns[i].Name)
		if m == nil || !counts(l.Values[i]) {
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
		f.members, f.numbers = append(f.members, i), append(f.numbers, n)
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
			c := Column{From: l.Columns[i].Name, To: fit.PortRef{Node: name, Port: f.numbers[k]}.String()}
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
	}
	return s
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
