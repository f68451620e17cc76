package csv

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"runproof/flowlog"
	"runproof/input"
)

// Reader reads a log from text, batch by batch. It implements flowlog.Reader.
type Reader struct {
	lines   *lines
	file    string
	names   []string // as in the head
	fields  []field  // one a name
	schema  flowlog.Schema
	dst     [][]float64 // the columns of the batch being read
	samples int         // read so far
	lastNS  int64       // time of the last of them
	err     error       // what ended the reading
}

// field is where the cells under one name go.
type field struct {
	to   int // index of the column, or skipped, or isTime
	kind flowlog.Kind
}

// NewReader reads the head; a log without samples is a fault. file is the log's name, for messages. keep chooses
// the columns; nil keeps all. The cells of other columns are not looked at.
func NewReader(src io.Reader, file string, keep func(flowlog.Column) bool) (*Reader, error) {
	r := &Reader{lines: newLines(src, file), file: file}
	if err := r.readHead(keep); err != nil {
		return nil, err
	}
	return r, r.peekClock()
}

// peekClock learns the form of time, which the schema must tell, from the first
// sample. What is wrong with that one comes up when it is read.
func (r *Reader) peekClock() error {
	line, err := r.lines.next()
	if err != nil {
		return r.ending(err)
	}
	cells, _, _ := split(line, len(r.fields)+1)
	for f := range min(len(cells), len(r.fields)) {
		if r.fields[f].to == isTime {
			_, r.schema.Clock, _ = flowlog.ParseTime(bytes.Trim(cells[f], " \t"))
		}
	}
	r.lines.giveBack(line)
	return nil
}

// Schema is the head of the log.
func (r *Reader) Schema() flowlog.Schema { return r.schema }

// Read fills b with the next samples.
func (r *Reader) Read(b *flowlog.Batch) error {
	if r.err != nil {
		b.Reset(len(r.schema.Columns))
		return r.err
	}
	b.Grow(len(r.schema.Columns), r.batchSize())
	r.dst = b.Values
	n := 0
	for ; n < len(b.TimeNS); n++ {
		line, err := r.lines.next()
		if err != nil {
			r.err = r.ending(err)
			break
		}
		if b.TimeNS[n], r.err = r.sample(line, n); r.err != nil {
			break
		}
		r.samples++
		r.lastNS = b.TimeNS[n]
	}
	b.Truncate(n)
	if n == 0 {
		return r.err
	}
	return nil
}

// batchSize keeps a batch near 64 Ki values: half a mebibyte stays in the cache.
func (r *Reader) batchSize() int {
	return min(max((64<<10)/(len(r.schema.Columns)+1), 16), 4096)
}

func (r *Reader) ending(err error) error {
	if !errors.Is(err, io.EOF) {
		return r.sourceFault(err)
	}
	if r.samples == 0 {
		return flowlog.NoSamples(r.file)
	}
	return io.EOF
}

// sourceFault tells what was read before the source failed.
func (r *Reader) sourceFault(err error) error {
	var f input.Fault
	if errors.As(err, &f) {
		return err
	}
	return flowlog.Damaged(input.Place{File: r.file, Line: r.lines.line}, err.Error(), r.schema.Clock, r.samples, r.lastNS)
}

// sample reads one line into row n of dst and returns its time.
func (r *Reader) sample(line []byte, n int) (ns int64, err error) {
	i := 0
	for f := range r.fields {
		if i > len(line) {
			return 0, r.ragged(f)
		}
		to := r.fields[f].to
		if to >= 0 {
			// Digits up to a comma: nearly every cell of nearly every log.
			start, v := i, uint64(0)
			for i < len(line) && line[i]-'0' <= 9 {
				v = v*10 + uint64(line[i]-'0')
				i++
			}
			if (i == len(line) || line[i] == ',') && i-start <= 15 && r.fields[f].kind <= flowlog.Port {
				r.dst[to][n] = float64(v)
				if i == start {
					r.dst[to][n] = flowlog.Missing()
				}
				i++
				continue
			}
			i = start
		}
		end := len(line)
		if c := bytes.IndexByte(line[i:], ','); c >= 0 {
			end = i + c
		}
		cell := line[i:end]
		if bytes.IndexByte(cell, '"') >= 0 {
			return r.quoted(line, n)
		}
		if err := r.cell(f, cell, n, &ns); err != nil {
			return 0, r.cellFault(f, i, err)
		}
		i = end + 1
	}
	if i <= len(line) {
		return 0, r.tooMany(i)
	}
	return ns, nil
}

// quoted is sample for lines that have quotes in them.
func (r *Reader) quoted(line []byte, n int) (ns int64, err error) {
	cells, at, err := split(line, len(r.fields)+1)
	if err != nil {
		return 0, r.cellFault(min(len(at), len(r.fields))-1, at[len(at)-1], err)
	}
	for f := range r.fields {
		if f >= len(cells) {
			return 0, r.ragged(f)
		}
		if err := r.cell(f, cells[f], n, &ns); err != nil {
			return 0, r.cellFault(f, at[f], err)
		}
	}
	if len(cells) > len(r.fields) {
		return 0, r.tooMany(at[len(r.fields)])
	}
	return ns, nil
}

// cell reads the cell of field f.
func (r *Reader) cell(f int, cell []byte, n int, ns *int64) (err error) {
	switch to := r.fields[f].to; to {
	case skipped:
	case isTime:
		*ns, err = r.time(cell)
	default:
		r.dst[to][n], err = value(cell, r.fields[f].kind)
	}
	return err
}

func (r *Reader) time(cell []byte) (int64, error) {
	cell = bytes.Trim(cell, " \t")
	ns, clock, err := flowlog.ParseTime(cell)
	switch {
	case len(cell) == 0:
		return 0, input.Fault{What: "the time is missing", Remedy: "each line needs its time"}
	case err != nil:
		return 0, err
	case clock != r.schema.Clock:
		return 0, input.Fault{
			What:   fmt.Sprintf("%q is %s, but the log began with %s", cell, clock, r.schema.Clock),
			Remedy: "write all times in one form",
		}
	case r.samples > 0 && ns <= r.lastNS:
		return 0, flowlog.OutOfOrder(clock, r.lastNS, ns)
	}
	return ns, nil
}
