package mapping

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
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
	fields []field
	each   perLine
	schema flowlog.Schema
	form   *pattern
	cal    calendar
	dayNS  int64 // midnights passed, for forms with no day
	lastOf int64 // time of day before
	order  flowlog.Order
	held   []byte // first line of a file that has no head
	cells  []string
	rows   int
	first  int   // line of the first row
	lastNS int64 // time of the row before
	rawNS  int64 // as it is written
	back   int   // rows that lie before the one before
	odd    oddities
	cut    bool // the line read last ends in the middle
	err    error
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
		n, token := cutLine(data, atEOF)
		r.open = n > 0 && data[n-1] != '\n' && data[n-1] != '\r'
		return n, token, nil
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
		b := r.lines.Bytes()
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
		return nil, flowlog.Damaged(input.Place{File: r.file, Line: r.line}, err.Error(), r.schema.Clock, r.rows, r.lastNS)
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
	if n == len(b.TimeNS) {
		r.fill(b, n)
	}
	b.Truncate(n)
	if n == 0 {
		return r.err
	}
	return nil
}

// ending is what the end of the text means.
func (r *TextReader) ending(err error) error {
	if errors.Is(err, io.EOF) && r.backward() {
		return input.Fault{
			Place: input.Place{File: r.file, Line: r.first}, What: fmt.Sprintf("times run back: %d of %d lines lie before the line above", r.back, r.rows),
			Remedy: "sort the lines by time, the oldest first",
		}
	}
	if errors.Is(err, io.EOF) && r.rows == 0 {
		f := flowlog.NoSamples(r.file)
		if r.odd.times > 0 {
			f.Place.Line = r.odd.timeAt
			f.What = fmt.Sprintf("no time could be read, first %.40q; the log holds no samples", r.odd.time)
			f.Remedy = "give the form of time in the map"
		}
		return f
	}
	return err
}

// backward says that lines run back in time, as lists with the newest on top do.
func (r *TextReader) backward() bool { return r.rows > 2 && 2*r.back > r.rows }

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
	if r.each.name != none && r.join(b, n-1) {
		return false
	}
	text := r.timeText()
	ns, ok := r.time(text)
	if !ok {
		if r.odd.times == 0 {
			r.odd.timeAt = r.line
			r.odd.time = text
		}
		r.odd.times++
		return false
	}
	if r.rows > 0 && ns < r.rawNS {
		r.back++
	}
	r.rawNS, r.lastNS = ns, r.order.Next(ns)
	b.TimeNS[n] = r.lastNS
	if r.rows++; r.rows == 1 {
		r.first = r.line
	}
	for i, c := range r.to {
		if c == none {
			continue
		}
		v := flowlog.Missing()
		// The last cell of a line cut short may be half a number.
		if i < len(r.cells) && !(r.cut && i == len(r.cells)-1) {
			v = r.sided(i, r.cell(i, strings.TrimSpace(r.cells[i])))
		}
		b.Values[c][n] = v
	}
	if r.each.name != none {
		r.begin(b, n, text)
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
	case Seconds, Milliseconds, UnixS, UnixMS, UnixUS, UnixNS:
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
