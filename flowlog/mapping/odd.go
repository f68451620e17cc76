package mapping

import (
	"fmt"

	"runproof/flowlog"
)

// oddities are what was left out on the way.
type oddities struct {
	short, times, words, lost int
	shortAt, timeAt           int // lines of the first
	wordAt, lostAt            int
	time, firstWord, lostWord string

	strangers, strangerAt int // lines that tell of a column that the map does not name
	strangerName          string
}

// stranger is a line that tells of a column that the map does not name.
func (o *oddities) stranger(name string, line int) {
	if o.strangers++; o.strangers == 1 {
		o.strangerAt, o.strangerName = line, name
	}
}

// word is a cell that holds no number. It is a loss where the flow log has a
// meaning for it.
func (o *oddities) word(wanted bool, line int, s string) {
	n, at, first := &o.words, &o.wordAt, &o.firstWord
	if wanted {
		n, at, first = &o.lost, &o.lostAt, &o.lostWord
	}
	if *n++; *n == 1 {
		*at, *first = line, s
	}
}

// Remarks is what was met; it is complete once Read has returned io.EOF.
func (r *TextReader) Remarks() []flowlog.Remark {
	var rs []flowlog.Remark
	add := func(lost bool, format string, args ...any) {
		rs = append(rs, flowlog.Remark{Lost: lost, What: fmt.Sprintf(format, args...)})
	}
	o := &r.odd
	if o.times > 0 {
		add(true, "%d lines have no time that could be read, first line %d; they are left out", o.times, o.timeAt)
	}
	if o.strangers > 0 {
		add(true, "%d lines tell of what the map does not name, first %.40q in line %d; they are left out (to: \"-\" in the map leaves one out on purpose)", o.strangers, o.strangerName, o.strangerAt)
	}
	if o.short > 0 {
		add(false, "%d lines have fewer cells than the head, first line %d; what they lack is not reported", o.short, o.shortAt)
	}
	if r.cut {
		add(true, "the last line, %d, is cut short; its last cell is not reported", r.line)
	}
	if o.lost > 0 {
		add(true, "%d cells of ports, position, speed or work hold no number, first %.40q in line %d; they are not reported (missing in the map names words that say so)", o.lost, o.lostWord, o.lostAt)
	}
	if o.words > 0 {
		add(false, "%d cells hold no number, first %.40q in line %d; they are not reported", o.words, o.firstWord, o.wordAt)
	}
	rs = append(rs, r.cal.remarks()...)
	return append(rs, r.order.Remarks(r.schema.Clock)...)
}
