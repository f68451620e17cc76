package can

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"runproof/flowlog"
	"runproof/input"
)

// strangers counts what became no record.
type strangers struct {
	strangeLines int
	firstStrange int // its line
	untimed      int
	drops        int    // lines that tell of lost frames
	dropTold     string // the last of them
	other        [3]int // frames by kind
	unknown      []int  // frames of each place that the DBC does not know
	lateKnown    int    // frames of messages that came up too late for a column
	lateUnknown  int
	cut          bool // the last line broke off
}

func (c *strangers) strange(line []byte, l *lines) {
	if l.open {
		c.cut = true
		return
	}
	if c.strangeLines == 0 {
		c.firstStrange = l.number
	}
	c.strangeLines++
}

func (c *strangers) dropped(line []byte) {
	c.drops++
	const longest = 200
	c.dropTold = strings.ToValidUTF8(string(line[:min(len(line), longest)]), "?")
}

// late counts a frame of a place that the survey did not see.
func (r *Reader) late(f *frame) {
	if r.db.message(f.id) >= 0 {
		r.lateKnown++
	} else {
		r.lateUnknown++
	}
}

// nothingKnown is the fault of a recording that the DBC does not fit.
func (r *Reader) nothingKnown(s *survey) error {
	r.unknown = make([]int, len(s.places))
	for i, seen := range s.seen {
		if r.onlyBus == none || s.places[i].bus() == r.onlyBus {
			r.unknown[i] = seen.frames[0] + seen.frames[1]
		}
	}
	_, _, list := r.busiestUnknown()
	what := "none of its frames is in the DBC"
	if list != "" {
		what += "; it has " + list
	}
	return input.Fault{Place: input.Place{File: r.file}, What: what, Remedy: "name the DBC that belongs to this bus"}
}

// busiestUnknown counts frames and ids that the DBC does not have, and lists
// those that came most often.
func (r *Reader) busiestUnknown() (frames, ids int, list string) {
	count := map[ident]int{}
	for i, n := range r.unknown {
		if n > 0 {
			count[r.places[i].id()] += n
			frames += n
		}
	}
	order := make([]ident, 0, len(count))
	for id := range count {
		order = append(order, id)
	}
	slices.SortFunc(order, func(a, b ident) int { return cmp.Or(cmp.Compare(count[b], count[a]), cmp.Compare(a, b)) })
	const told = 6
	var parts []string
	for i, id := range order {
		if i == told {
			parts = append(parts, "and others")
			break
		}
		parts = append(parts, fmt.Sprintf("%s (%d)", id, count[id]))
	}
	return frames, len(count), strings.Join(parts, ", ")
}

// finish says what there is to say at the end of the stream.
func (r *Reader) finish() {
	r.err = io.EOF
	broken := r.lines.broken()
	switch {
	case broken != nil && r.samples == 0:
		r.err = flowlog.Damaged(input.Place{File: r.file, Line: r.lines.number}, broken.Error(), 0, 0, 0)
		return
	case r.samples == 0:
		r.err = flowlog.NoSamples(r.file)
		return
	case broken != nil:
		r.lost("the recording breaks off behind line %d: %s; the %d records before, to %s, are kept", r.lines.number, broken, r.samples, r.schema.Clock.Format(r.lastNS))
	}
	r.lostLines()
	r.oddFrames()
	r.strangeFrames()
	r.otherBuses()
	r.remarks = append(r.remarks, r.order.Remarks(r.schema.Clock)...)
	switch r.stamps {
	case dateTimes:
		r.note("times are dates of the recorder's own zone, which is not told; they are written as if it were UTC")
	case sinceStart:
		r.note("times count from the start of the recording; no date is known")
	case sinceLast:
		r.note("each time counts from the frame before; they are added up, and no date is known")
	case unixTimes:
	}
}

// lostLines tells of lines that hold no frame.
func (r *Reader) lostLines() {
	if r.cut {
		r.lost("the last line, %d, breaks off and is left out", r.lines.number)
	}
	if r.strangeLines > 0 {
		r.lost("%s left out: no CAN frames; the first is line %d", counted(r.strangeLines, "line"), r.firstStrange)
	}
	if r.untimed > 0 {
		r.lost("%s left out: without a time", counted(r.untimed, "frame"))
	}
	if r.drops > 0 {
		r.lost("the recorder lost frames, and said so %d times; the last: %s", r.drops, r.dropTold)
	}
	if r.lateKnown > 0 {
		r.lost("%s left out: of messages that do not occur in the first %d MiB, which was all that could be looked through; save the recording as a file first", counted(r.lateKnown, "frame"), scanned>>20)
	}
}

// oddFrames tells of frames and signals of the DBC that gave no value.
func (r *Reader) oddFrames() {
	unavail, short := 0, 0
	for _, s := range r.sources {
		name := s.message.Name + s.suffix
		unavail += s.unavail
		short += s.short
		if s.shorter > 0 {
			r.lost("%s of %s left out: too short for the message", counted(s.shorter, "frame"), name)
		}
		if s.odd > 0 {
			odd, others := "FD frame", "classic ones"
			if s.fd {
				odd, others = "classic frame", "FD frames"
			}
			r.note("%s of %s left out: most others are %s", counted(s.odd, odd), name, others)
		}
		switch {
		case s.empty:
			r.note("%s holds no signal that can be read", name)
		case len(s.beyond) > 0:
			r.note("%s of %s reach beyond its frames of %d bytes, or are no numbers of up to 64 bits: %s", counted(len(s.beyond), "signal"), name, s.longest(), listed(s.beyond))
		}
	}
	if short > 0 {
		r.lost("%s not there: their frames are too short for them", counted(short, "value"))
	}
	if unavail > 0 {
		r.note("%s left empty: J1939 calls them error or not available, and the DBC's range leaves them out", counted(unavail, "value"))
	}
}

// strangeFrames tells of frames that the DBC says nothing of.
func (r *Reader) strangeFrames() {
	if frames, ids, list := r.busiestUnknown(); frames > 0 {
		r.note("%s left out: not in the DBC, with %s: %s", counted(frames, "frame"), counted(ids, "id"), list)
	}
	if r.lateUnknown > 0 {
		r.note("%s more left out: not in the DBC", counted(r.lateUnknown, "frame"))
	}
	if n := r.other[remoteFrame]; n > 0 {
		r.note("%s left out", counted(n, "remote request"))
	}
	if n := r.other[errorFrame]; n > 0 {
		r.note("%s reported on the bus", counted(n, "error"))
	}
}

// otherBuses tells which columns come from another interface than their like.
func (r *Reader) otherBuses() {
	var columns []string
	var example string
	for i, s := range r.sources {
		if i > 0 && r.sources[i-1].message == s.message && r.sources[i-1].address == s.address {
			name := r.buses.names[s.bus]
			columns = append(columns, fmt.Sprintf("%s over %s (%s)", s.message.Name, name, counted(s.frames(), "frame")))
			example = name
		}
	}
	if len(columns) > 0 {
		r.note("the same messages came over several interfaces; those of all but the busiest have @ and its name behind their columns' names: %s; put # and an interface's name, such as #%s, behind the file's name to read one alone", listed(columns), example)
	}
}

// note and lost add a remark.
func (r *Reader) note(format string, args ...any) {
	r.remarks = append(r.remarks, flowlog.Remark{What: fmt.Sprintf(format, args...)})
}

func (r *Reader) lost(format string, args ...any) {
	r.remarks = append(r.remarks, flowlog.Remark{Lost: true, What: fmt.Sprintf(format, args...)})
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// listed names the first few.
func listed(names []string) string {
	const told = 6
	if len(names) > told {
		return strings.Join(names[:told], ", ") + " and others"
	}
	return strings.Join(names, ", ")
}
