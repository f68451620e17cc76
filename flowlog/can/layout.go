package can

import (
	"math"
	"slices"

	"runproof/flowlog"
)

// reading is how a signal of a frame becomes a value in a column.
type reading struct {
	field
	form Form
	scale
	column   int
	unavail  uint64 // raw values from here on are no values when out of range
	min, max float64
}

// layout is what to read of a frame: readings that are always there, and those
// that a switch brings in. A switch has one group for each stretch of its values,
// whichever switch it hangs on itself.
type layout struct {
	readings []reading
	switches []*switched
}

type switched struct {
	field
	cases []switchCase // ascending, not overlapping
}

type switchCase struct {
	Span
	then layout
}

// outlet says in which column a signal goes, none where nobody wants it.
type outlet func(signal int) (column int)

const none = -1

// layoutOf prepares a message for decoding.
func layoutOf(m *Message, to outlet) layout {
	b := layoutBuilder{m: m, to: to, made: map[string]*switched{}, children: map[string][]int{}}
	var always []int
	for i := range m.Signals {
		s := &m.Signals[i]
		if s.SwitchedBy == nil {
			always = append(always, i)
		} else {
			b.children[s.Switch] = append(b.children[s.Switch], i)
		}
	}
	return b.group(always)
}

type layoutBuilder struct {
	m        *Message
	to       outlet
	made     map[string]*switched
	children map[string][]int // signals by their switch
}

// group reads these signals, and what those of them that are switches bring in.
func (b *layoutBuilder) group(signals []int) (l layout) {
	for _, i := range signals {
		s := &b.m.Signals[i]
		if s.Bits > 64 || s.Start > 8*maxData {
			continue
		}
		if column := b.to(i); column != none {
			l.readings = append(l.readings, readingOf(s, b.m.J1939, column))
		}
		if s.IsSwitch {
			if sw := b.switched(s); len(sw.cases) > 0 {
				l.switches = append(l.switches, sw)
			}
		}
	}
	return l
}

// switched cuts the values of a switch where some signal begins or ends to be
// there.
func (b *layoutBuilder) switched(s *Signal) *switched {
	if sw, ok := b.made[s.Name]; ok {
		return sw
	}
	sw := &switched{field: fieldOf(s)}
	b.made[s.Name] = sw
	var starts []uint64
	for _, i := range b.children[s.Name] {
		for _, span := range b.m.Signals[i].SwitchedBy {
			starts = append(starts, span.From)
			if span.To < math.MaxUint64 {
				starts = append(starts, span.To+1)
			}
		}
	}
	slices.Sort(starts)
	starts = slices.Compact(starts)
	for k, from := range starts {
		to := uint64(math.MaxUint64)
		if k+1 < len(starts) {
			to = starts[k+1] - 1
		}
		var there []int
		for _, i := range b.children[s.Name] {
			if slices.ContainsFunc(b.m.Signals[i].SwitchedBy, func(span Span) bool { return span.From <= from && from <= span.To }) {
				there = append(there, i)
			}
		}
		if then := b.group(there); len(then.readings)+len(then.switches) > 0 {
			sw.cases = append(sw.cases, switchCase{Span{from, to}, then})
		}
	}
	return sw
}

func readingOf(s *Signal, j1939 bool, column int) reading {
	most := math.Ldexp(1, s.Bits)
	if s.Form == Float || s.Form == Double {
		most = math.Inf(1) // never whole numbers
	}
	r := reading{field: fieldOf(s), form: s.Form, scale: scaleOf(s.Factor, s.Offset, most), column: column, unavail: math.MaxUint64, min: math.Inf(-1), max: math.Inf(1)}
	if j1939 && s.Form == Unsigned && s.Min < s.Max && (s.Bits == 8 || s.Bits == 16 || s.Bits == 32) {
		r.unavail, r.min, r.max = 0xfe<<(s.Bits-8), s.Min, s.Max
	}
	return r
}

// decoded counts what a frame gave.
type decoded struct {
	short   int // signals for which frames were too short
	unavail int // values that mean error or not available
}

// decode writes what f holds into row n.
func (l *layout) decode(f *frame, values [][]float64, n int, d *decoded) {
	for i := range l.readings {
		r := &l.readings[i]
		if r.bytes > f.n {
			d.short++
			continue
		}
		raw := r.raw(&f.data)
		v := r.value(raw)
		if raw >= r.unavail && (v < r.min || v > r.max) {
			d.unavail++
			v = flowlog.Missing()
		}
		values[r.column][n] = v
	}
	for _, sw := range l.switches {
		if sw.bytes > f.n {
			continue
		}
		if then := sw.at(sw.raw(&f.data)); then != nil {
			then.decode(f, values, n, d)
		}
	}
}

// fits says whether the frame has every signal that its switches say it has.
func (l *layout) fits(f *frame) bool {
	for i := range l.readings {
		if l.readings[i].bytes > f.n {
			return false
		}
	}
	for _, sw := range l.switches {
		if sw.bytes > f.n {
			return false
		}
		if then := sw.at(sw.raw(&f.data)); then != nil && !then.fits(f) {
			return false
		}
	}
	return true
}

// at is what is there at that value, nil for nothing.
func (sw *switched) at(v uint64) *layout {
	low, high := 0, len(sw.cases)
	for low < high {
		if mid := (low + high) / 2; sw.cases[mid].To < v {
			low = mid + 1
		} else {
			high = mid
		}
	}
	if low == len(sw.cases) || sw.cases[low].From > v {
		return nil
	}
	return &sw.cases[low].then
}

// value is the physical value of a raw one. What no number can tell is missing.
func (r *reading) value(raw uint64) float64 {
	var v float64
	switch r.form {
	case Unsigned:
		v = float64(raw)
	case Signed:
		v = float64(int64(raw<<(64-r.bits)) >> (64 - r.bits))
	case Float:
		v = float64(math.Float32frombits(uint32(raw)))
	case Double:
		v = math.Float64frombits(raw)
	}
	v = r.of(v)
	if v-v != 0 {
		return flowlog.Missing()
	}
	return v
}

// bytesNeeded is the fewest bytes at which a message gives any value, or -1 where
// it never does.
func bytesNeeded(m *Message) int {
	fewest := -1
	for i := range m.Signals {
		s := &m.Signals[i]
		if s.Bits > 64 || s.Start > 8*maxData {
			continue
		}
		if n := fieldOf(s).bytes; n <= maxData && (fewest < 0 || n < fewest) {
			fewest = n
		}
	}
	return fewest
}
