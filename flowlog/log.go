package flowlog

import (
	"errors"
	"io"
	"math"

	"runproof/fit"
)

// Missing is the value of "not reported".
func Missing() float64 { return math.NaN() }

// IsMissing says whether the value was not reported.
func IsMissing(v float64) bool { return v != v }

// Schema is the head of a log: the form of its time and its columns in file
// order (time itself is not among them).
type Schema struct {
	Clock   Clock
	Columns []Column
}

// Find returns the index of the first column of that kind, or -1.
func (s Schema) Find(k Kind) int {
	for i, c := range s.Columns {
		if c.Kind == k {
			return i
		}
	}
	return -1
}

// PortIndex returns the index of the port's column, or -1.
func (s Schema) PortIndex(p fit.PortRef) int {
	for i, c := range s.Columns {
		if c.Kind == Port && c.Port == p {
			return i
		}
	}
	return -1
}

// Batch is a stretch of a log, column by column: Values[c][i] belongs to
// Schema.Columns[c] and TimeNS[i]. NaN is "not reported". A Reader overwrites
// the batch it is given; copy what must outlive the next Read.
type Batch struct {
	TimeNS []int64
	Values [][]float64
	Narrow []Narrow // by column; only a NarrowReader gives these
}

// Len is the number of samples in the batch.
func (b *Batch) Len() int { return len(b.TimeNS) }

// Reset empties the batch and gives it the number of columns, keeping memory.
func (b *Batch) Reset(columns int) {
	b.TimeNS = b.TimeNS[:0]
	for len(b.Values) < columns {
		b.Values = append(b.Values, nil)
	}
	b.Values = b.Values[:columns]
	for c := range b.Values {
		b.Values[c] = b.Values[c][:0]
	}
	for c := range b.Narrow {
		b.Narrow[c].Counts, b.Narrow[c].Absent = b.Narrow[c].Counts[:0], b.Narrow[c].Absent[:0]
	}
}

// Grow empties the batch and gives it room for so many samples in each column:
// TimeNS and every column have that length, with values left over from before.
// A reader that fills columns by index uses it, and Truncate when it has fewer.
func (b *Batch) Grow(columns, samples int) {
	b.Reset(columns)
	if cap(b.TimeNS) < samples {
		b.TimeNS = make([]int64, samples)
	}
	b.TimeNS = b.TimeNS[:samples]
	// A stride of an odd number of cache lines keeps the columns out of each
	// other's way in the cache.
	const line = 8
	stride := (samples/line + 1) | 1
	var slab []float64
	for c := range b.Values {
		if cap(b.Values[c]) < samples {
			if slab == nil {
				slab = make([]float64, (columns-c)*stride*line)
			}
			b.Values[c], slab = slab[:samples:samples], slab[stride*line:]
		}
		b.Values[c] = b.Values[c][:samples]
	}
}

// Truncate keeps the first samples only.
func (b *Batch) Truncate(samples int) {
	b.TimeNS = b.TimeNS[:samples]
	for c := range b.Values {
		if n := b.NarrowColumn(c); n != nil {
			n.Absent = n.Absent[:len(n.Absent)-n.AbsentIn(samples, len(n.Counts))]
			n.Counts = n.Counts[:samples]
		} else {
			b.Values[c] = b.Values[c][:samples]
		}
	}
}

// Reader gives a log batch by batch.
type Reader interface {
	// Schema is known before the first Read.
	Schema() Schema
	// Read fills b with the next samples, at least one, and returns nil; or
	// leaves it empty and returns io.EOF at the end. Any other error is an
	// input.Fault that names the place; samples before it have been given.
	Read(b *Batch) error
}

// Writer takes a log batch by batch. Close writes what is still held back; it
// does not close what lies underneath.
type Writer interface {
	Write(b *Batch) error
	Close() error
}

// Log is a whole recording in memory.
type Log struct {
	Schema
	Batch
}

// ReadAll reads the rest of r into memory.
func ReadAll(r Reader) (*Log, error) {
	l := &Log{Schema: r.Schema()}
	l.Reset(len(l.Columns))
	var b Batch
	for {
		err := r.Read(&b)
		if errors.Is(err, io.EOF) {
			return l, nil
		}
		if err != nil {
			return nil, err
		}
		l.TimeNS = append(l.TimeNS, b.TimeNS...)
		for c := range l.Values {
			l.Values[c] = append(l.Values[c], b.Values[c]...)
		}
	}
}

// NewReader gives the log batch by batch, at most size samples each.
func (l *Log) NewReader(size int) Reader { return &logReader{log: l, size: size} }

type logReader struct {
	log  *Log
	size int
	at   int
}

func (r *logReader) Schema() Schema { return r.log.Schema }

func (r *logReader) Read(b *Batch) error {
	b.Reset(len(r.log.Columns))
	end := min(r.at+r.size, r.log.Len())
	if r.at == end {
		return io.EOF
	}
	b.TimeNS = append(b.TimeNS, r.log.TimeNS[r.at:end]...)
	for c, v := range r.log.Values {
		b.Values[c] = append(b.Values[c], v[r.at:end]...)
	}
	r.at = end
	return nil
}

// Column returns the values of the first column of that kind, or nil.
func (l *Log) Column(k Kind) []float64 {
	if i := l.Find(k); i >= 0 {
		return l.Values[i]
	}
	return nil
}

// Port returns the counts of the port, or nil when the log lacks it.
func (l *Log) Port(p fit.PortRef) []float64 {
	if i := l.PortIndex(p); i >= 0 {
		return l.Values[i]
	}
	return nil
}
