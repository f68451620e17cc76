package can

import (
	"bytes"
	"io"
	"slices"

	"runproof/flowlog"
	"runproof/input"
)

// Source is a recording to read.
type Source struct {
	Name   string    // for messages
	Stream io.Reader // from the start
	// Scan gives the same bytes once more. It is read to its end first, to find
	// which messages occur. Where there is none, the first 4 MiB of Stream must
	// do, and messages that come up later are lost, and told.
	Scan io.Reader
	Bus  string // reads this interface only; "" reads all
}

// Reader gives the frames of a recording as records. It implements flowlog.Reader
// and flowlog.Remarker.
type Reader struct {
	file    string
	db      *Database
	lines   *lines
	frame   frame
	buses   buses
	onlyBus int
	stamps  stamps
	schema  flowlog.Schema
	sources []*source
	index   placeIndex
	routes  []int // of each place that the survey saw: its source, or none
	places  []place
	strangers
	order   flowlog.Order
	ns      int64 // of the frame before, for times since it
	samples int
	lastNS  int64
	err     error
	remarks []flowlog.Remark
}

// scanned is how much of a stream is looked at that cannot be read twice.
const scanned = 4 << 20

// NewReader looks through the recording for the messages of the DBC. keep chooses
// columns; nil keeps all, and what it refuses leaves the records as they are.
func NewReader(src Source, db *Database, keep func(flowlog.Column) bool) (*Reader, error) {
	var s survey
	if src.Scan != nil {
		s.scan(src.Scan)
	} else {
		head, err := io.ReadAll(io.LimitReader(src.Stream, scanned))
		s.scan(bytes.NewReader(head))
		src.Stream = io.MultiReader(bytes.NewReader(head), failing{err}, src.Stream)
	}
	r := &Reader{file: src.Name, db: db, lines: newLines(src.Stream), buses: s.buses, onlyBus: none, stamps: s.steps.stamps(), index: s.index, places: s.places}
	if err := r.choose(src.Bus, &s); err != nil {
		return nil, err
	}
	r.sources, r.routes = s.sources(db, r.onlyBus)
	if len(r.sources) == 0 {
		return nil, r.nothingKnown(&s)
	}
	columns, err := plan(r.sources, r.file, keep)
	if err != nil {
		return nil, err
	}
	r.unknown = make([]int, len(s.places))
	r.schema = flowlog.Schema{Clock: r.stamps.clock(), Columns: columns}
	return r, nil
}

// failing is an empty stream that ends in an error, if there is one.
type failing struct{ err error }

func (f failing) Read([]byte) (int, error) {
	if f.err != nil {
		return 0, f.err
	}
	return 0, io.EOF
}

// choose finds the interface that is asked for, and refuses what is no recording.
func (r *Reader) choose(bus string, s *survey) error {
	at := input.Place{File: r.file}
	switch {
	case s.frames == 0:
		return input.Fault{Place: at, What: "no line of it is a CAN frame", Remedy: "record with candump -l, or name another file"}
	case s.timed == 0:
		return input.Fault{Place: at, What: "its frames carry no time", Remedy: "record with candump -l, or with candump -t a"}
	case bus == "":
		return nil
	}
	if r.onlyBus = slices.Index(s.names, bus); r.onlyBus < 0 {
		return input.Fault{Place: at, What: "it has no frames of interface " + bus, Remedy: input.DidYouMean(bus, s.names)}
	}
	return nil
}

// Schema is the columns of all messages that occur.
func (r *Reader) Schema() flowlog.Schema { return r.schema }

// Remarks is what was met; it is complete once Read has returned io.EOF.
func (r *Reader) Remarks() []flowlog.Remark { return r.remarks }

// Read fills b with the next records.
func (r *Reader) Read(b *flowlog.Batch) error {
	b.Reset(len(r.schema.Columns))
	if r.err != nil {
		return r.err
	}
	b.Grow(len(r.schema.Columns), min(max((64<<10)/(len(r.schema.Columns)+1), 16), mostRecords))
	for _, v := range b.Values {
		copy(v, missing[:])
	}
	n := 0
	for n < len(b.TimeNS) {
		src, ok := r.next()
		if !ok {
			break
		}
		if src == nil {
			continue
		}
		r.lastNS = r.order.Next(r.ns)
		b.TimeNS[n] = r.lastNS
		src.layout.decode(&r.frame, b.Values, n, &src.decoded)
		n++
		r.samples++
	}
	b.Truncate(n)
	if n == 0 {
		return r.err
	}
	return nil
}

// mostRecords is the most that a batch holds.
const mostRecords = 4096

var missing = func() (v [mostRecords]float64) {
	for i := range v {
		v[i] = flowlog.Missing()
	}
	return v
}()

// next reads a line; src is whose record it is, nil where it makes none.
func (r *Reader) next() (src *source, ok bool) {
	line, err := r.lines.next()
	if err != nil {
		r.finish()
		return nil, false
	}
	f := &r.frame
	switch f.read(line) {
	case blankLine, detailLine:
		return nil, true
	case dropLine:
		r.dropped(line)
		return nil, true
	case strangeLine:
		r.strange(line, r.lines)
		return nil, true
	case frameLine:
	}
	if !f.timed {
		r.untimed++
		return nil, true
	}
	if r.stamps == sinceLast {
		r.ns += f.ns
	} else {
		r.ns = f.ns
	}
	return r.sourceOf(f), true
}

// sourceOf is whose record the frame is, nil where it is nobody's.
func (r *Reader) sourceOf(f *frame) *source {
	bus := r.buses.number(f.bus)
	if r.onlyBus != none && bus != r.onlyBus {
		return nil
	}
	if f.kind != dataFrame {
		r.other[f.kind]++
		return nil
	}
	at, seen := r.index.find(placeOf(bus, f.id))
	if bus < 0 || !seen {
		r.late(f)
		return nil
	}
	if r.routes[at] == none {
		r.unknown[at]++
		return nil
	}
	src := r.sources[r.routes[at]]
	switch {
	case src.empty:
	case f.fd != src.fd:
		src.odd++
	case f.n < src.longest() && f.n < src.message.Size && !src.whole.fits(f):
		if r.lines.open {
			r.cut = true
		} else {
			src.shorter++
		}
	default:
		return src
	}
	return nil
}
