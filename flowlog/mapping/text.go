package mapping

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"

	"runproof/flowlog"
	"runproof/input"
)

// maxLine is the longest line of a text, in bytes.
const maxLine = 1 << 20

// TextReader gives the cells of a text file under the names of its head. It
// implements flowlog.Reader and flowlog.Remarker.
type TextReader struct {
	file   string
	m      *Map
	lines  *bufio.Scanner
	line   int
	open   bool // the line has no end: it may be cut short
	names  []string
	timeAt []int
	to     []int // column of each field, or none
	on     [][]string
	schema flowlog.Schema
	form   *pattern
	cal    calendar
	dayNS  int64 // midnights passed, for forms with no day
	lastOf int64 // time of day before
	order  flowlog.Order
	held   []byte // first line of a file that has no head
	cells  []string
	rows   int
	first  int // line of the first row
	odd    oddities
	cut    bool // the line read last ends in the middle
	err    error
}

// oddities are what was left out on the way.
type oddities struct {
	short, words, times     int
	shortAt, wordAt, timeAt int // lines of the first
	word                    string
}

const none = -1

// NewText reads the head of a text file. file is its name, for messages.
func NewText(src io.Reader, file string, m *Map) (*TextReader, error) {
	r := &TextReader{file: file, m: m}
	src, err := decoded(src, m.Text.Encoding)
	if err != nil {
		return nil, err
	}
	r.lines = bufio.NewScanner(src)
	r.lines.Buffer(make([]byte, 64<<10), maxLine)
	r.lines.Split(func(data []byte, atEOF bool) (int, []byte, error) {
		n, token, err := bufio.ScanLines(data, atEOF)
		r.open = n > 0 && data[n-1] != '\n'
		return n, token, err
	})
	zone, err := m.Time.zone()
	if err != nil {
		return nil, input.Fault{Place: input.Place{File: file}, What: err.Error(), Remedy: "name the zone under time"}
	}
	r.cal.zone = zone
	if p, err := m.Time.Form.pattern(); m.Time.Form.local() && m.Time.Form != ExcelDays {
		if err != nil {
			return nil, err
		}
		r.form = p
	}
	return r, r.readHead()
}

// decoded gives a text as UTF-8. A byte order mark goes before what the map
// says.
func decoded(src io.Reader, e Encoding) (io.Reader, error) {
	table, err := e.table()
	if err != nil {
		return nil, err
	}
	return transform.NewReader(src, unicode.BOMOverride(table.NewDecoder())), nil
}

// next is the next line that is not empty and no comment.
func (r *TextReader) next() ([]byte, error) {
	if r.held != nil {
		b := r.held
		r.held = nil
		return b, nil
	}
	for r.lines.Scan() {
		r.line++
		b := bytes.TrimRight(r.lines.Bytes(), "\r")
		if len(bytes.TrimSpace(b)) == 0 || r.m.Text.Comment != "" && bytes.HasPrefix(b, []byte(r.m.Text.Comment)) {
			continue
		}
		return b, nil
	}
	err := r.lines.Err()
	if errors.Is(err, bufio.ErrTooLong) {
		return nil, input.Fault{
			Place: input.Place{File: r.file, Line: r.line + 1}, What: fmt.Sprintf("the line is longer than %d MiB", maxLine>>20),
			Remedy: "this is hardly a recording; if it is, look for missing line ends",
		}
	}
	if err != nil {
		return nil, flowlog.Damaged(input.Place{File: r.file, Line: r.line}, err.Error(), r.schema.Clock, r.rows, 0)
	}
	return nil, io.EOF
}

func (r *TextReader) readHead() error {
	for range r.m.Text.SkipLines {
		if !r.lines.Scan() {
			break
		}
		r.line++
	}
	b, err := r.next()
	if errors.Is(err, io.EOF) {
		return flowlog.NoSamples(r.file)
	}
	if err != nil {
		return err
	}
	r.split(b)
	for i, name := range r.cells {
		if r.m.Text.NoHead || strings.TrimSpace(name) == "" {
			name = fmt.Sprintf("#%d", i+1)
		}
		r.names = append(r.names, strings.TrimSpace(name))
	}
	if r.m.Text.NoHead {
		r.held = bytes.Clone(b)
	}
	for range r.m.Text.SkipAfter {
		if !r.lines.Scan() {
			break
		}
		r.line++
	}
	return r.place()
}

// place finds which field goes where.
func (r *TextReader) place() error {
	wanted := r.m.Time.Columns
	if len(wanted) == 0 {
		wanted = Names{flowlog.TimeName}
	}
	for _, name := range wanted {
		at := fieldNamed(r.names, name)
		if at == none {
			return input.Fault{
				Place: input.Place{File: r.file, Line: r.line}, What: fmt.Sprintf("no column is called %.60q, where time should be", name),
				Remedy: "say under time which column it is; there are " + input.OneOf(few(r.names)),
			}
		}
		r.timeAt = append(r.timeAt, at)
	}
	r.schema.Clock = r.m.Time.Form.clock()
	seen := map[string]bool{}
	r.to, r.on = make([]int, len(r.names)), make([][]string, len(r.names))
	for i, name := range r.names {
		r.to[i] = none
		if isOneOf(r.timeAt, i) {
			continue
		}
		if seen[name] {
			name = fmt.Sprintf("%s #%d", name, i+1)
			r.names[i] = name
		}
		seen[name] = true
		for _, c := range r.m.Columns {
			if fieldNamed(r.names, c.From) == i {
				r.on[i] = c.On
				// Apply knows it by the name that the map gives.
				name = c.From
			}
		}
		r.to[i] = len(r.schema.Columns)
		r.schema.Columns = append(r.schema.Columns, flowlog.Column{Name: name})
	}
	if len(r.schema.Columns) > flowlog.MaxColumns {
		return input.Fault{
			Place: input.Place{File: r.file, Line: r.line}, What: fmt.Sprintf("%d columns are more than the %d that a log may have", len(r.names), flowlog.MaxColumns),
			Remedy: "check the delimiter",
		}
	}
	if r.m.Time.Form == Auto {
		return r.peekClock()
	}
	return nil
}

// peekClock learns from the first row which of the two forms time has.
func (r *TextReader) peekClock() error {
	b, err := r.next()
	if errors.Is(err, io.EOF) {
		return flowlog.NoSamples(r.file)
	}
	if err != nil {
		return err
	}
	r.held = bytes.Clone(b)
	r.split(b)
	if len(r.cells) > r.timeAt[0] {
		_, r.schema.Clock, _ = flowlog.ParseTime(r.timeText())
	}
	return nil
}

// fieldNamed is the index of the field of that name, or of "#3" for the third.
func fieldNamed(names []string, name string) int {
	for i, n := range names {
		if n == name {
			return i
		}
	}
	if digits, ok := strings.CutPrefix(name, "#"); ok {
		if n, err := strconv.Atoi(digits); err == nil && n >= 1 && n <= len(names) {
			return n - 1
		}
	}
	return none
}

func isOneOf(list []int, i int) bool {
	for _, x := range list {
		if x == i {
			return true
		}
	}
	return false
}

func few(names []string) []string {
	const most = 12
	if len(names) <= most {
		return names
	}
	return append(append([]string(nil), names[:most]...), fmt.Sprintf("%d more", len(names)-most))
}

// split cuts a line into cells. Quotes hold a cell together; a quote inside is
// written twice.
func (r *TextReader) split(b []byte) {
	r.cells = r.cells[:0]
	sep, s := r.m.Text.Delimiter.byte(), string(b)
	for {
		if sep == ' ' {
			s = strings.TrimLeft(s, " ")
		}
		var cell string
		if len(s) > 0 && s[0] == '"' {
			cell, s = quoted(s[1:])
		}
		end := strings.IndexByte(s, sep)
		if end < 0 {
			r.cells = append(r.cells, cell+s)
			break
		}
		r.cells = append(r.cells, cell+s[:end])
		s = s[end+1:]
	}
	if n := len(r.cells); sep == ' ' && n > 1 && r.cells[n-1] == "" {
		r.cells = r.cells[:n-1]
	}
}

// quoted reads up to the closing quote and gives what stands behind it.
func quoted(s string) (cell, rest string) {
	var b strings.Builder
	for {
		end := strings.IndexByte(s, '"')
		if end < 0 {
			return b.String() + s, ""
		}
		b.WriteString(s[:end])
		s = s[end+1:]
		if s == "" || s[0] != '"' {
			return b.String(), s
		}
		b.WriteByte('"')
		s = s[1:]
	}
}

// Schema is the head: names as they stand, or as the map calls them.
func (r *TextReader) Schema() flowlog.Schema { return r.schema }

// Read fills b with the next rows.
func (r *TextReader) Read(b *flowlog.Batch) error {
	b.Reset(len(r.schema.Columns))
	if r.err != nil {
		return r.err
	}
	b.Grow(len(r.schema.Columns), min(max((64<<10)/(len(r.schema.Columns)+1), 16), 4096))
	n := 0
	for n < len(b.TimeNS) {
		line, err := r.next()
		if err != nil {
			r.err = r.ending(err)
			break
		}
		if r.row(line, b, n) {
			n++
		}
	}
	b.Truncate(n)
	if n == 0 {
		return r.err
	}
	return nil
}

func (r *TextReader) ending(err error) error {
	if errors.Is(err, io.EOF) && r.rows == 0 {
		f := flowlog.NoSamples(r.file)
		if r.odd.times > 0 {
			f.Place.Line = r.odd.timeAt
			f.What = fmt.Sprintf("no time could be read, first %.40q; the log holds no samples", r.odd.word)
			f.Remedy = "give the form of time in the map"
		}
		return f
	}
	return err
}

// row reads a line into row n. A line without a time that can be read is none.
func (r *TextReader) row(line []byte, b *flowlog.Batch, n int) bool {
	r.split(line)
	if r.cut = false; len(r.cells) < len(r.names) {
		r.cut = r.open
		if !r.cut {
			r.odd.short++
		}
		if r.odd.short == 1 && r.odd.shortAt == 0 {
			r.odd.shortAt = r.line
		}
		for _, at := range r.timeAt {
			if at >= len(r.cells) {
				return false
			}
		}
	}
	text := r.timeText()
	ns, ok := r.time(text)
	if !ok {
		if r.odd.times == 0 {
			r.odd.timeAt = r.line
			r.odd.word = text
		}
		r.odd.times++
		return false
	}
	b.TimeNS[n] = r.order.Next(ns)
	r.rows++
	for i, c := range r.to {
		if c == none {
			continue
		}
		v := flowlog.Missing()
		// The last cell of a line cut short may be half a number.
		if i < len(r.cells) && !(r.cut && i == len(r.cells)-1) {
			v = r.cell(i, strings.TrimSpace(r.cells[i]))
		}
		b.Values[c][n] = v
	}
	return true
}

func (r *TextReader) timeText() string {
	if len(r.timeAt) == 1 {
		return strings.TrimSpace(r.cells[r.timeAt[0]])
	}
	parts := make([]string, len(r.timeAt))
	for i, at := range r.timeAt {
		parts[i] = strings.TrimSpace(r.cells[at])
	}
	return strings.Join(parts, " ")
}

// time reads the time of a row, as the map says it is written.
func (r *TextReader) time(s string) (ns int64, ok bool) {
	switch f := r.m.Time.Form; f {
	case Auto, RFC3339:
		ns, clock, err := flowlog.ParseTime(s)
		return ns, err == nil && clock == r.schema.Clock
	case Seconds, UnixS, UnixMS:
		return f.number(s, r.m.Text.Decimal.sign())
	case ExcelDays:
		if ns, ok = f.number(s, r.m.Text.Decimal.sign()); !ok {
			return 0, false
		}
		return r.cal.choose(ns), true
	}
	w, ok := r.form.read(s)
	if !ok {
		return 0, false
	}
	if r.form.dated {
		return r.cal.utc(w), true
	}
	return r.sinceMidnight(w.utc()), true
}

// sinceMidnight adds a day whenever the time of day falls by half a day.
func (r *TextReader) sinceMidnight(ns int64) int64 {
	const day = 86400e9
	if r.rows > 0 && ns < r.lastOf-day/2 {
		r.dayNS += day
	}
	r.lastOf = ns
	return r.dayNS + ns
}

func (d Decimal) sign() byte {
	if d == 0 {
		return '.'
	}
	return byte(d)
}

// cell reads a value.
func (r *TextReader) cell(i int, s string) float64 {
	if s == "" {
		return flowlog.Missing()
	}
	for _, m := range r.m.Text.Missing {
		if s == m {
			return flowlog.Missing()
		}
	}
	for _, word := range r.on[i] {
		if strings.EqualFold(word, s) {
			return 1
		}
	}
	if len(r.on[i]) > 0 {
		return 0
	}
	if r.m.Text.Decimal == ',' {
		s = strings.Replace(s, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(s, 64)
	if err == nil && !math.IsInf(v, 0) && !strings.ContainsAny(s, "xX_") {
		return v
	}
	if r.odd.words == 0 && s != "" {
		r.odd.wordAt = r.line
		r.odd.word = s
	}
	r.odd.words++
	return flowlog.Missing()
}

// Remarks is what was met; it is complete once Read has returned io.EOF.
func (r *TextReader) Remarks() []flowlog.Remark {
	var rs []flowlog.Remark
	add := func(lost bool, format string, args ...any) {
		rs = append(rs, flowlog.Remark{Lost: lost, What: fmt.Sprintf(format, args...)})
	}
	if r.odd.times > 0 {
		add(true, "%d lines have no time that could be read, first line %d; they are left out", r.odd.times, r.odd.timeAt)
	}
	if r.odd.short > 0 {
		add(false, "%d lines have fewer cells than the head, first line %d; what they lack is not reported", r.odd.short, r.odd.shortAt)
	}
	if r.cut {
		add(true, "the last line, %d, is cut short; its last cell is not reported", r.line)
	}
	if r.odd.words > 0 {
		add(false, "%d cells hold no number, first %.40q in line %d; they are not reported", r.odd.words, r.odd.word, r.odd.wordAt)
	}
	rs = append(rs, r.cal.remarks()...)
	return append(rs, r.order.Remarks(r.schema.Clock)...)
}
