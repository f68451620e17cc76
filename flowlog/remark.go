package flowlog

import "fmt"

// Remark is something that a reader met and went on from: a record cut short, a
// time that came twice. Lost says that something recorded did not come through.
type Remark struct {
	Lost bool
	What string
}

// Remarker is a Reader that has something to say once it has come to its end.
type Remarker interface{ Remarks() []Remark }

// RemarksOf is what r has to say; ask it when Read has returned an error.
func RemarksOf(r Reader) []Remark {
	if m, ok := r.(Remarker); ok {
		return m.Remarks()
	}
	return nil
}

// Order makes times strictly increasing, which recorders' clocks are not: a
// record with the time of the one before is written 1 ms later. Its zero value
// is ready.
type Order struct {
	begun  bool
	raw    int64 // the recorder's time of the record before
	last   int64 // the time that it was given
	shift  int64 // since the clock was set back
	equal  int
	behind int
	stray  int // records of the past between two that are not
	sets   []clockSet

	since       int   // records since the clock was set back, while it may yet be an error of a few
	before      int64 // the recorder's time of the record before that
	shiftBefore int64
}

type clockSet struct{ from, to int64 }

// setBack is the step back, in nanoseconds, from which a clock was set and did
// not merely wobble.
const setBack = 2e9

// Next gives the time of a record that the recorder stamped ns.
func (o *Order) Next(ns int64) int64 {
	const ms, us = 1e6, 1e3
	o.returned(ns)
	switch {
	case !o.begun:
		o.begun, o.last = true, ns
	case ns == o.raw:
		o.equal++
		o.last += ms
	case o.raw-ns >= setBack:
		o.sets = append(o.sets, clockSet{o.raw, ns})
		o.since, o.before, o.shiftBefore = 1, o.raw, o.shift
		o.last += ms
		o.shift = o.last - ns
	case ns+o.shift > o.last:
		o.last = ns + o.shift
	default:
		if ns < o.raw {
			o.behind++
		}
		o.last += us
	}
	o.raw = ns
	return o.last
}

// returned finds that the clock was not set back after all: a few records were
// stamped wrongly, and the next one goes on from the one before them.
func (o *Order) returned(ns int64) {
	const few, on = 3, 60e9
	switch {
	case o.since == 0:
	case o.since > few || ns <= o.raw-setBack:
		o.since = 0
	case ns-o.raw >= setBack && ns > o.before && ns-o.before <= on:
		o.stray += o.since
		o.sets = o.sets[:len(o.sets)-1]
		o.shift, o.since = o.shiftBefore, 0
	default:
		o.since++
	}
}

// Remarks says what Next had to do, with times in the clock's form.
func (o *Order) Remarks(c Clock) []Remark {
	var rs []Remark
	if o.equal > 0 {
		rs = append(rs, Remark{What: fmt.Sprintf("%s with the time of the one before, written 1 ms later", counted(o.equal, "record"))})
	}
	if o.behind > 0 {
		rs = append(rs, Remark{What: fmt.Sprintf("%s stamped up to 2 s before the one before, written right behind it", counted(o.behind, "record"))})
	}
	if o.stray > 0 {
		rs = append(rs, Remark{What: fmt.Sprintf("%s stamped 2 s or more before the one before and the one behind, written right behind the one before", counted(o.stray, "record"))})
	}
	const told = 5
	for i, s := range o.sets {
		if i == told {
			rs = append(rs, Remark{What: fmt.Sprintf("the clock was set back %d times more", len(o.sets)-told)})
			break
		}
		rs = append(rs, Remark{What: fmt.Sprintf("the recorder's clock was set back from %s to %s; from there on times are moved so that they go on", c.Format(s.from), c.Format(s.to))})
	}
	return rs
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
