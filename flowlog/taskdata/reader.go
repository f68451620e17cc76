package taskdata

import (
	"errors"
	"fmt"
	"io"
	"math"

	"runproof/flowlog"
	"runproof/input"
)

// Reader gives the time logs of a set as one log, in time order. It implements
// flowlog.Reader and flowlog.Remarker.
type Reader struct {
	set     *Set
	schema  flowlog.Schema
	waiting []*stream // by their first records
	active  []*stream // opened, each with a record at hand
	order   flowlog.Order
	remarks []flowlog.Remark
	err     error
}

// Log reads the time log that part names, or all of them when it is "". keep
// chooses columns; nil keeps all.
func (s *Set) Log(part string, keep func(flowlog.Column) bool) (*Reader, error) {
	files, err := s.chosen(part)
	if err != nil {
		return nil, err
	}
	r := &Reader{set: s, remarks: append([]flowlog.Remark(nil), s.remarks...)}
	for _, f := range files {
		if st := r.first(f); st != nil {
			r.waiting = append(r.waiting, st)
		}
	}
	if len(r.waiting) == 0 {
		f := flowlog.NoSamples(s.file)
		if len(r.remarks) > 0 {
			f.What += ": " + r.remarks[len(r.remarks)-1].What
		}
		return nil, f
	}
	byStart(r.waiting)
	c := columns{keep: keep, taken: map[string]int{}}
	for _, st := range r.waiting {
		s.plan(st, &c)
	}
	if len(c.list) > flowlog.MaxColumns {
		return nil, input.Fault{
			Place: input.Place{File: s.file}, What: fmt.Sprintf("the logs hold %d columns, more than the %d that a log may have", len(c.list), flowlog.MaxColumns),
			Remedy: "read one of them: put #" + s.Logs()[0] + " behind the name",
		}
	}
	r.schema = flowlog.Schema{Clock: flowlog.UTC, Columns: c.list}
	return r, nil
}

// first opens a log as far as its first record, to know when it starts; nil
// where it has none.
func (r *Reader) first(f logFile) *stream {
	lost := func(what string) *stream {
		r.remarks = append(r.remarks, flowlog.Remark{Lost: true, What: what})
		return nil
	}
	x, err := r.set.fsys.Open(f.head)
	if err != nil {
		return lost(fmt.Sprintf("time log %s: its head cannot be read: %v", f.title(), err))
	}
	h, broken, err := readHead(x)
	x.Close()
	if err != nil {
		return lost(fmt.Sprintf("time log %s: %v", f.title(), err))
	}
	if broken != nil {
		lost(fmt.Sprintf("%s breaks off: %v; values behind are left out", f.head, broken))
	}
	st := &stream{file: f, head: h}
	if err := st.open(r.set.fsys); err != nil {
		return lost(fmt.Sprintf("%s cannot be read: %v", f.body, err))
	}
	defer st.close()
	if st.next() != nil {
		r.remarks = append(r.remarks, st.remarks()...)
		return nil
	}
	return st
}

// Schema is the columns of all logs together.
func (r *Reader) Schema() flowlog.Schema { return r.schema }

// Remarks is what was met; it is complete once Read has returned io.EOF.
func (r *Reader) Remarks() []flowlog.Remark { return r.remarks }

// Read fills b with the next records.
func (r *Reader) Read(b *flowlog.Batch) error {
	b.Reset(len(r.schema.Columns))
	if r.err != nil {
		return r.err
	}
	b.Grow(len(r.schema.Columns), min(max((64<<10)/(len(r.schema.Columns)+1), 16), 4096))
	n := 0
	for ; n < len(b.TimeNS); n++ {
		s := r.earliest()
		if s == nil {
			r.finish()
			break
		}
		b.TimeNS[n] = r.order.Next(s.ns)
		for c := range b.Values {
			b.Values[c][n] = nan
		}
		s.give(b, n)
		r.step(s)
	}
	b.Truncate(n)
	if n == 0 {
		return r.err
	}
	return nil
}

// earliest is the log whose record comes next, opening those whose time has
// come; nil at the end.
func (r *Reader) earliest() *stream {
	var best *stream
	for _, s := range r.active {
		if best == nil || s.ns < best.ns {
			best = s
		}
	}
	for len(r.waiting) > 0 && (best == nil || r.waiting[0].ns < best.ns) {
		s := r.waiting[0]
		r.waiting = r.waiting[1:]
		err := s.open(r.set.fsys)
		if err == nil {
			err = s.next()
		}
		if err != nil {
			r.remarks = append(r.remarks, flowlog.Remark{Lost: true, What: fmt.Sprintf("%s cannot be read again: %v", s.file.body, err)})
			s.close()
			continue
		}
		r.active = append(r.active, s)
		best = s
	}
	return best
}

// step goes on to the next record of s.
func (r *Reader) step(s *stream) {
	if !errors.Is(s.next(), errEnd) {
		return
	}
	s.close()
	r.remarks = append(r.remarks, s.remarks()...)
	for i, a := range r.active {
		if a == s {
			r.active = append(r.active[:i], r.active[i+1:]...)
			return
		}
	}
}

func (r *Reader) finish() {
	r.err = io.EOF
	r.remarks = append(r.remarks, r.order.Remarks(flowlog.UTC)...)
	r.remarks = append(r.remarks, flowlog.Remark{What: "times are the terminal's own clock, which has no zone; they are written as if it ran on UTC"})
}

// give writes the record into row n.
func (s *stream) give(b *flowlog.Batch, n int) {
	put := func(column int, v float64) {
		if column != none {
			b.Values[column][n] = v
		}
	}
	s.givePosition(put)
	for i, v := range s.head.values {
		if v.isFixed {
			s.value(i, v.fixed, put)
		}
	}
	for k, place := range s.places {
		s.value(int(place), s.raw[k], put)
	}
	put(s.to.speedAt, s.to.speedNow)
	put(s.to.workAt, s.to.atWork(s.head))
	for slot, at := range s.to.secAt {
		put(at, s.to.secNow[slot])
	}
}

// value takes in one value.
func (s *stream) value(place int, raw int32, put func(int, float64)) {
	to := &s.to
	put(to.column[place], float64(raw))
	if place == to.speed {
		to.speedNow = float64(raw) / 1000
		if flowlog.Speed.Check(to.speedNow) != nil {
			to.speedNow = nan
		}
	}
	for i, p := range to.work {
		if p == place {
			to.workNow[i], to.seen[i] = uint32(raw), true
		}
	}
	for _, c := range to.sections[place] {
		bits := uint32(raw)
		if s.head.values[place].ddi != WorkState {
			bits = bits >> c.shift & 3
		}
		to.secNow[c.slot] = nan
		if v, known := state(bits); known {
			to.secNow[c.slot] = v
		}
	}
}

// atWork is 1 when anything works, 0 when all that is known is off.
func (to *routes) atWork(h *head) float64 {
	work := nan
	for i, place := range to.work {
		if !to.seen[i] {
			continue
		}
		raw, n, width := to.workNow[i], 1, uint32(math.MaxUint32)
		if h.values[place].ddi != WorkState {
			n, width = 16, 3
		}
		for range n {
			if v, known := state(raw & width); known && !(work > v) {
				work = v
			}
			raw >>= 2
		}
	}
	return work
}

// givePosition writes where the record was taken. No fix is written as 0, 0 or
// out of range; the status is not asked, because terminals exist that call every
// good position unavailable.
func (s *stream) givePosition(put func(int, float64)) {
	var v [posFields]float64
	copy(v[:], s.head.fixed[:])
	for _, f := range s.head.position {
		v[f] = float64(s.pos[f]) / posLayout[f].unit
		if s.pos[f] == posLayout[f].none {
			v[f] = nan
		}
	}
	if v[north] == 0 && v[east] == 0 || !(math.Abs(v[north]) <= 90) || !(math.Abs(v[east]) <= 180) {
		v[north], v[east] = nan, nan
	}
	v[gnssTime] = (v[gnssDate]*86400 + epoch1980S) + v[gnssTime]/1000
	for f, column := range s.to.position {
		if column != none {
			put(column, v[f])
		}
	}
}
