package parquet

import (
	"errors"
	"fmt"
	"io"

	"runproof/flowlog"
	"runproof/input"
)

// Reader reads a log from a Parquet file, batch by batch. It implements
// flowlog.Reader.
type Reader struct {
	src     io.ReaderAt
	size    int64
	file    string
	footer  *footer
	schema  flowlog.Schema
	time    *column[int64]
	columns []*column[float64]

	group   int   // row groups opened so far
	rows    int64 // left in the row group at hand
	samples int   // given so far
	lastNS  int64 // time of the last of them
	err     error // what ended the reading
}

// NewReader reads the head; a log without samples is a fault. file is the log's
// name, for messages. keep chooses the columns; nil keeps all. The pages of
// other columns are not read.
func NewReader(src io.ReaderAt, size int64, file string, keep func(flowlog.Column) bool) (r *Reader, err error) {
	defer func() {
		if p := recover(); p != nil {
			r, err = nil, panicFault(p, input.Place{File: file})
		}
	}()
	f, err := readFooter(src, size, file)
	if err != nil {
		return nil, err
	}
	leaves, err := f.leaves()
	if err != nil {
		return nil, flowlog.Damaged(input.Place{File: file}, "the Parquet file's footer is damaged: "+err.Error(), 0, 0, 0)
	}
	t, ls, schema, err := choose(leaves, file, keep)
	if err != nil {
		return nil, err
	}
	r = &Reader{src: src, size: size, file: file, footer: f, schema: schema}
	sh := new(shop)
	form, _ := t.timeForm()
	r.time = newTimeColumn(t, form, sh)
	for i, l := range ls {
		r.columns = append(r.columns, newColumn(l, schema.Columns[i].Kind.FirstBad, sh))
	}
	for _, g := range f.RowGroups {
		if g.NumRows > 0 {
			return r, nil
		}
	}
	return nil, flowlog.NoSamples(file)
}

// panicFault turns a panic of the libraries below, which a damaged file can
// cause, into the fault that it is.
func panicFault(panicked any, at input.Place) error {
	return flowlog.Damaged(at, fmt.Sprintf("the Parquet data are damaged: %v", panicked), 0, 0, 0)
}

// Schema is the head of the log.
func (r *Reader) Schema() flowlog.Schema { return r.schema }

// Read fills b with the next samples.
func (r *Reader) Read(b *flowlog.Batch) error { return r.next(b, false) }

// ReadNarrow implements flowlog.NarrowReader: a column of a port whose
// dictionary holds nothing but small whole numbers comes a byte a sample.
func (r *Reader) ReadNarrow(b *flowlog.Batch) error { return r.next(b, true) }

func (r *Reader) next(b *flowlog.Batch, narrow bool) (err error) {
	defer func() {
		if p := recover(); p != nil {
			b.Reset(len(r.columns))
			r.err = panicFault(p, input.Place{File: r.file})
			err = r.err
		}
	}()
	if r.err == nil {
		r.err = r.read(b, narrow)
	} else {
		b.Reset(len(r.columns))
	}
	if b.Len() > 0 {
		return nil
	}
	return r.err
}

// read fills b with what is good before an error.
func (r *Reader) read(b *flowlog.Batch, narrow bool) error {
	b.Reset(len(r.columns))
	for r.rows == 0 {
		if r.group == len(r.footer.RowGroups) {
			return io.EOF
		}
		if err := r.nextGroup(); err != nil {
			return err
		}
	}
	n := int(min(r.rows, int64(r.batchSize(narrow))))
	if narrow {
		b.GrowNarrow(r.schema.Columns, n)
	} else {
		b.Grow(len(r.columns), n)
	}
	good, culprit, err := r.fill(b)
	b.Truncate(good)
	if good > 0 {
		r.lastNS = b.TimeNS[good-1]
		r.samples += good
		r.rows -= int64(good)
	}
	if err != nil {
		err = r.explain(culprit, err)
	}
	return err
}

// isTime is the culprit when time is to blame.
const isTime = -1

// fill reads every column, and says how many samples are good before the first
// error, and whose that is.
func (r *Reader) fill(b *flowlog.Batch) (good, culprit int, err error) {
	good, err = r.time.fill(b.TimeNS)
	culprit = isTime
	if at := r.inOrder(b.TimeNS[:good]); at < good {
		before := r.lastNS
		if at > 0 {
			before = b.TimeNS[at-1]
		}
		good, err = at, flowlog.OutOfOrder(r.schema.Clock, before, b.TimeNS[at])
	}
	for i, c := range r.columns {
		if g, e := fillColumn(c, b, i); e != nil && g < good {
			good, culprit, err = g, i, e
		}
	}
	return good, culprit, err
}

// fillColumn reads a column into the batch: narrow if there is room for that and
// as long as it can be.
func fillColumn(c *column[float64], b *flowlog.Batch, i int) (good int, err error) {
	n := b.NarrowColumn(i)
	if n == nil {
		return c.fill(b.Values[i])
	}
	good, whole, err := c.fillNarrow(n)
	if whole || err != nil {
		return good, err
	}
	b.WidenColumn(i, b.Len())
	more, err := c.fill(b.Values[i][good:])
	return good + more, err
}

// batchSize keeps a batch near 128 Ki values, or a Mi of narrow ones: a mebibyte
// stays in the cache.
func (r *Reader) batchSize(narrow bool) int {
	values := 128 << 10
	if narrow {
		values = 1 << 20
	}
	return min(max(values/(len(r.columns)+1), 16), 8192)
}

func (r *Reader) nextGroup() error {
	g := &r.footer.RowGroups[r.group]
	r.group++
	if g.NumRows == 0 {
		return nil
	}
	if err := r.time.open(r.src, r.size, g); err != nil {
		return r.damaged(flowlog.TimeName, err)
	}
	for _, c := range r.columns {
		if err := c.open(r.src, r.size, g); err != nil {
			return r.damaged(c.name, err)
		}
	}
	r.rows = g.NumRows
	return nil
}

// inOrder returns the index of the first time that does not come after the one
// before, or the number of times.
func (r *Reader) inOrder(ns []int64) int {
	last := r.lastNS
	for i, t := range ns {
		if t <= last && (i > 0 || r.samples > 0) {
			return i
		}
		last = t
	}
	return len(ns)
}

// explain gives the error of the sample behind the last good one its place.
func (r *Reader) explain(culprit int, err error) error {
	name, kind := flowlog.TimeName, flowlog.Other
	if culprit != isTime {
		name, kind = r.columns[culprit].name, r.schema.Columns[culprit].Kind
	}
	var bad badValue
	switch {
	case errors.As(err, &bad) && culprit == isTime:
		err = input.Fault{What: "the time is no number, or lies outside the years 1678 to 2261", Remedy: "each sample needs its time"}
	case errors.As(err, &bad):
		err = kind.Check(float64(bad))
	case errors.Is(err, errNull):
		err = input.Fault{What: "the time is missing", Remedy: "each sample needs its time"}
	}
	var f input.Fault
	if !errors.As(err, &f) {
		return r.damaged(name, err)
	}
	f.Place.File = r.file
	f.What = fmt.Sprintf("sample %d, column %.40s: %s", r.samples+1, name, f.What)
	return f
}

// damaged is the fault of pages that do not hold what they should.
func (r *Reader) damaged(column string, err error) error {
	where := fmt.Sprintf("the pages of column %.40s in row group %d cannot be read: ", column, r.group)
	return flowlog.Damaged(input.Place{File: r.file}, where+err.Error(), r.schema.Clock, r.samples, r.lastNS)
}
