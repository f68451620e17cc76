package nmea

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"

	"runproof/flowlog"
)

// Reader gives a log of sentences as one record a moment. It implements
// flowlog.Reader and flowlog.Remarker.
type Reader struct {
	src    *bufio.Reader
	file   string
	schema flowlog.Schema
	column [quantities]int // where a quantity goes, or -1
	line   int

	sentence sentence
	epoch    epoch
	calendar calendar
	order    flowlog.Order
	ready    []fix // moments that are over
	waiting  []fix // read already, to learn whether there are dates
	ahead    []moment
	ended    bool // no moments stand behind those ahead
	begun    bool
	lastNS   int64 // time of the moment before
	lonely   int   // moments whose time cannot be

	spoiled, unsummed, strange, untimed int
	firstSpoiled, firstStrange          int    // lines
	cut                                 string // what ended the reading too early
	remarks                             []flowlog.Remark
	err                                 error
}

// sightMoments is how many moments are read in search of a date.
const sightMoments = 4096

// longest is the longest line, in bytes, that is read in one piece.
const longest = 64 << 10

// NewReader reads the beginning, to learn whether the log has dates. file is the
// log's name, for messages. keep chooses the columns; nil keeps all.
func NewReader(src io.Reader, file string, keep func(flowlog.Column) bool) (*Reader, error) {
	r := &Reader{src: bufio.NewReaderSize(src, longest), file: file}
	for q, name := range names {
		c := flowlog.ColumnNamed(name)
		r.column[q] = -1
		if keep == nil || keep(c) {
			r.column[q] = len(r.schema.Columns)
			r.schema.Columns = append(r.schema.Columns, c)
		}
	}
	first := -1
	for first < 0 && len(r.waiting) < sightMoments {
		f, err := r.scan()
		if err != nil {
			r.err = err
			break
		}
		if r.waiting = append(r.waiting, f); f.dated {
			first = len(r.waiting) - 1
		}
	}
	if len(r.waiting) == 0 {
		return nil, r.nothing()
	}
	r.dateBack(first)
	return r, nil
}

// dateBack gives the moments before the first date, at index first, their days.
func (r *Reader) dateBack(first int) {
	if first < 0 {
		r.schema.Clock = flowlog.Seconds
		return
	}
	for i := first; i > 0; i-- {
		r.waiting[i-1].day, r.waiting[i-1].dated = r.waiting[i].day, true
		if r.waiting[i-1].tod-r.waiting[i].tod > dayNS/2 {
			r.waiting[i-1].day--
		}
	}
}

// nothing is the fault of a log without a single moment.
func (r *Reader) nothing() error {
	f := flowlog.NoSamples(r.file)
	switch {
	case r.cut != "":
		f.What, f.Remedy = r.cut+"; nothing could be read before", "copy the file again from the recorder"
	case r.spoiled+r.strange > 0:
		f.Place.Line = max(r.firstSpoiled, r.firstStrange)
		f.What = fmt.Sprintf("none of its %d position sentences is whole", r.spoiled+r.strange)
		f.Remedy = "check the wiring and the speed of the serial line, then record again"
	case r.line > 0:
		f.What = "there is no RMC, GGA or ZDA sentence with a time in it"
		f.Remedy = "have the receiver send RMC and GGA"
	}
	return f
}

// Schema is the columns that were kept.
func (r *Reader) Schema() flowlog.Schema { return r.schema }

// Remarks is what was met; it is complete once Read has returned io.EOF.
func (r *Reader) Remarks() []flowlog.Remark { return r.remarks }

// batchMoments is how many records one Read gives at most.
const batchMoments = 2048

// Read fills b with the next records.
func (r *Reader) Read(b *flowlog.Batch) error {
	b.Grow(len(r.schema.Columns), batchMoments)
	n := 0
	for ; n < batchMoments; n++ {
		f, ok := r.moment()
		if !ok {
			break
		}
		b.TimeNS[n] = r.order.Next(f.ns)
		for q, c := range r.column {
			if c >= 0 {
				b.Values[c][n] = f.values[q]
			}
		}
	}
	b.Truncate(n)
	if n == 0 {
		r.finish()
		return io.EOF
	}
	return nil
}

func (r *Reader) next() (fix, error) {
	if len(r.waiting) > 0 {
		f := r.waiting[0]
		r.waiting = r.waiting[1:]
		return f, nil
	}
	if r.err != nil {
		return fix{}, r.err
	}
	f, err := r.scan()
	r.err = err
	return f, err
}

// scan reads on to the end of a moment. A line may end several: it may hold
// several sentences.
func (r *Reader) scan() (fix, error) {
	ended := false
	for len(r.ready) == 0 {
		if ended {
			return fix{}, io.EOF
		}
		line, whole, err := r.readLine()
		r.sentences(line, whole)
		if ended = err != nil; ended {
			r.over(r.epoch.close())
		}
	}
	f := r.ready[0]
	r.ready = append(r.ready[:0], r.ready[1:]...)
	return f, nil
}

func (r *Reader) over(f fix, is bool) {
	if is {
		r.ready = append(r.ready, f)
	}
}

// readLine gives the next line, or a piece of one that is too long.
func (r *Reader) readLine() (line []byte, ended bool, err error) {
	line, err = r.src.ReadSlice('\n')
	switch {
	case err == nil:
		r.line++
		return line[:len(line)-1], true, nil
	case errors.Is(err, bufio.ErrBufferFull):
		return line, false, nil
	case !errors.Is(err, io.EOF):
		r.cut = fmt.Sprintf("%s cannot be read on behind line %d: %v", r.file, r.line, err)
	}
	if len(line) > 0 {
		r.line++
	}
	return line, false, io.EOF
}

// sentences takes in all of a line.
func (r *Reader) sentences(line []byte, ended bool) {
	at := bytes.IndexByte(line, '$')
	for at >= 0 {
		text := line[at+1:]
		next := bytes.IndexByte(text, '$')
		last := next < 0
		if !last {
			text = text[:next]
		}
		if f, ok := r.one(text, ended && last); ok {
			r.over(r.epoch.add(f))
		}
		if last {
			return
		}
		at += 1 + next
	}
}

// one reads one sentence, and counts what is wrong with it.
func (r *Reader) one(text []byte, ended bool) (f fix, ok bool) {
	switch r.sentence.take(text, ended) {
	case foreign:
		return f, false
	case spoiled:
		if r.spoiled++; r.spoiled == 1 {
			r.firstSpoiled = r.line
		}
		return f, false
	case unsummed:
		r.unsummed++
	}
	if f, ok = r.sentence.read(); !ok {
		if r.strange++; r.strange == 1 {
			r.firstStrange = r.line
		}
		return f, false
	}
	if !f.timed && r.sentence.kind() != "VTG" {
		r.untimed++
	}
	return f, true
}

// finish gathers what there is to say.
func (r *Reader) finish() {
	if r.remarks != nil {
		return
	}
	r.remarks = []flowlog.Remark{}
	say := func(lost bool, n, line int, one, what string) {
		if n == 0 {
			return
		}
		at := ""
		if line > 0 {
			at = ", the first in line " + fmt.Sprint(line)
		}
		r.remarks = append(r.remarks, flowlog.Remark{Lost: lost, What: counted(n, one) + " " + what + at})
	}
	if r.cut != "" {
		r.remarks = append(r.remarks, flowlog.Remark{Lost: true, What: r.cut + "; what stands before was read"})
	}
	say(true, r.spoiled, r.firstSpoiled, "sentence", "damaged (checksum wrong or cut short) and left out")
	say(true, r.strange, r.firstStrange, "sentence", "left out for values that cannot be")
	say(false, r.lonely, 0, "moment", "with a time far from those before and behind, put between these")
	say(false, r.unsummed, 0, "sentence", "without a checksum, taken as written")
	say(false, r.untimed, 0, "sentence", "without a time, from before the receiver knew it")
	r.remarks = append(r.remarks, r.epoch.remarks()...)
	r.remarks = append(r.remarks, r.order.Remarks(r.schema.Clock)...)
	if r.schema.Clock == flowlog.Seconds {
		r.remarks = append(r.remarks, flowlog.Remark{What: fmt.Sprintf("no date in the first %s: times are seconds since the log's first midnight, UTC; RMC or ZDA sentences would give the date", counted(sightMoments, "record"))})
	}
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// Owns says whether a file that begins with head is a log of sentences.
func Owns(head []byte) bool {
	for {
		at := bytes.IndexByte(head, '$')
		if at < 0 {
			return false
		}
		head = head[at+1:]
		if len(head) < 6 || head[5] != ',' || !letters(head[:5]) {
			continue
		}
		switch string(head[2:5]) {
		case "RMC", "GGA", "VTG", "ZDA", "GLL", "GSA", "GSV", "GNS", "GST", "GBS", "TXT", "HDT", "DTM":
			return true
		}
	}
}

func letters(b []byte) bool {
	for _, c := range b {
		if c < 'A' || c > 'Z' {
			return false
		}
	}
	return true
}
