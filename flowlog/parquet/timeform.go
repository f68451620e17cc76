package parquet

import (
	"github.com/parquet-go/parquet-go/deprecated"
	"github.com/parquet-go/parquet-go/format"

	"runproof/flowlog"
)

// timeForm says how a column tells time.
type timeForm struct {
	clock  flowlog.Clock
	unitNS int64 // nanoseconds in one of its whole-number units; 0 for floating point
	shrink int64 // units in a nanosecond, where a unit is less than that
}

// timeForm of a time column; ok is false when it holds no time.
func (l leaf) timeForm() (t timeForm, ok bool) {
	switch k := l.kind(); k {
	case int96s:
		return timeForm{clock: flowlog.UTC, unitNS: 1}, true
	case doubles, floats:
		return timeForm{clock: flowlog.Seconds}, true
	case int64s, int32s, uint32s, uint64s:
		if unit, ok := l.timestampUnit(); ok {
			return timeForm{clock: flowlog.UTC, unitNS: unit}, k == int64s
		}
		if l.otherMeaning() {
			return t, false
		}
		t = timeForm{clock: flowlog.Seconds, unitNS: 1e9, shrink: 1}
		for range l.scale() {
			if t.unitNS > 1 {
				t.unitNS /= 10
			} else if t.shrink *= 10; t.shrink > 1e9 {
				return t, false
			}
		}
		return t, l.scale() >= 0
	}
	return t, false
}

func (l leaf) timestampUnit() (ns int64, ok bool) {
	if t, is := l.el.Logical.Value.(*format.TimestampType); is && t.Unit.Value != nil {
		return t.Unit.Value.Duration().Nanoseconds(), true
	}
	if c := l.el.Converted; c.Valid {
		switch c.V {
		case deprecated.TimestampMillis:
			return 1e6, true
		case deprecated.TimestampMicros:
			return 1e3, true
		}
	}
	return 0, false
}

// otherMeaning says that a whole number is a date or a time of day.
func (l leaf) otherMeaning() bool {
	switch l.el.Logical.Value.(type) {
	case *format.DateType, *format.TimeType:
		return true
	}
	c := l.el.Converted
	return c.Valid && (c.V == deprecated.Date || c.V == deprecated.TimeMillis || c.V == deprecated.TimeMicros)
}
