package parquet

import (
	"errors"
	"fmt"

	"github.com/parquet-go/parquet-go/deprecated"
	"github.com/parquet-go/parquet-go/format"

	"runproof/flowlog"
	"runproof/input"
)

// leaf is one column as the file's schema has it.
type leaf struct {
	name     string
	chunk    int // its place among the columns of a row group
	optional bool
	plain    bool // stands at the top and is not repeated: one value a row
	el       element
}

var errSchema = errors.New("its schema does not add up")

// leaves lists the columns at the top of the schema. A group or a repeated
// column is one of them, so that it can be named, but is not plain.
func (f *footer) leaves() ([]leaf, error) {
	if len(f.Schema) == 0 {
		return nil, errSchema
	}
	var ls []leaf
	chunk := 0
	for i := 1; i < len(f.Schema); {
		el := f.Schema[i]
		n, columns, err := f.subtree(i)
		if err != nil {
			return nil, err
		}
		ls = append(ls, leaf{
			name:     el.Name,
			chunk:    chunk,
			optional: el.Repetition == format.Optional,
			plain:    n == 1 && columns == 1 && el.Repetition != format.Repeated,
			el:       el,
		})
		i, chunk = i+n, chunk+columns
	}
	for _, g := range f.RowGroups {
		if len(g.Columns) != chunk || g.NumRows < 0 {
			return nil, errSchema
		}
	}
	return ls, nil
}

// subtree counts the schema elements below and at i, and the columns in them.
func (f *footer) subtree(i int) (elements, columns int, err error) {
	for open := 1; open > 0; open-- {
		if i >= len(f.Schema) {
			return 0, 0, errSchema
		}
		el := f.Schema[i]
		if el.NumChildren < 0 || int(el.NumChildren) > len(f.Schema) {
			return 0, 0, errSchema
		}
		if el.Type.Valid {
			columns++
		}
		open += int(el.NumChildren)
		elements++
		i++
	}
	return elements, columns, nil
}

// kind is what the values of a column are, once physical and logical type are
// taken together.
type kind int

const (
	notNumbers kind = iota
	booleans
	int32s
	uint32s
	int64s
	uint64s
	floats
	doubles
	halves // FLOAT16
	int96s // the old nanosecond time stamp
)

// width is the number of bytes of a value in PLAIN encoding (booleans are
// widened to a byte as they are read).
var width = [...]int{booleans: 1, int32s: 4, uint32s: 4, int64s: 8, uint64s: 8, floats: 4, doubles: 8, halves: 2, int96s: 12}

func (l leaf) kind() kind {
	if !l.plain || !l.el.Type.Valid {
		return notNumbers
	}
	switch l.el.Type.V {
	case format.Boolean:
		return booleans
	case format.Int32:
		if l.unsigned() {
			return uint32s
		}
		return int32s
	case format.Int64:
		if l.unsigned() {
			return uint64s
		}
		return int64s
	case format.Float:
		return floats
	case format.Double:
		return doubles
	case format.Int96:
		return int96s
	case format.FixedLenByteArray:
		if _, half := l.el.Logical.Value.(*format.Float16Type); half && l.el.TypeLength == 2 {
			return halves
		}
	}
	return notNumbers
}

func (l leaf) unsigned() bool {
	if t, ok := l.el.Logical.Value.(*format.IntType); ok {
		return !t.IsSigned
	}
	c := l.el.Converted
	return c.Valid && c.V >= deprecated.Uint8 && c.V <= deprecated.Uint64
}

// scale is the number of decimal places of a DECIMAL, else 0.
func (l leaf) scale() int32 {
	if t, ok := l.el.Logical.Value.(*format.DecimalType); ok {
		return t.Scale
	}
	if l.el.Converted.Valid && l.el.Converted.V == deprecated.Decimal {
		return l.el.Scale
	}
	return 0
}

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

// choose picks the time column and the columns that keep wants. leaves of
// columns stand in the order of s.Columns.
func choose(ls []leaf, file string, keep func(flowlog.Column) bool) (time leaf, columns []leaf, s flowlog.Schema, err error) {
	place := input.Place{File: file}
	names := make([]string, len(ls))
	for i, l := range ls {
		names[i] = l.name
	}
	timeAt, all, err := flowlog.ReadHead(names, func(int) input.Place { return place })
	if err != nil {
		return time, nil, s, err
	}
	time = ls[timeAt]
	form, ok := time.timeForm()
	if !ok {
		return time, nil, s, input.Fault{Place: place, What: fmt.Sprintf("column time is %s", time.typeName()), Remedy: "write it as a timestamp, or as seconds in DOUBLE"}
	}
	s.Clock = form.clock
	var faults input.Faults
	for i, c := range all {
		l := ls[i]
		if i >= timeAt {
			l = ls[i+1]
		}
		if keep != nil && !keep(c) {
			continue
		}
		if k := l.kind(); k == notNumbers || k == int96s {
			faults.Add(place, "write it as numbers, or leave it out", "column %.40s is %s: it holds no numbers, one to a row", l.name, l.typeName())
			continue
		}
		s.Columns = append(s.Columns, c)
		columns = append(columns, l)
	}
	return time, columns, s, faults.Err()
}

// typeName is what Parquet calls the column's type.
func (l leaf) typeName() string {
	switch {
	case l.el.Repetition == format.Repeated:
		return "a list"
	case !l.el.Type.Valid:
		return "a group"
	case l.el.Logical.Value != nil:
		return l.el.Logical.Value.String()
	}
	return l.el.Type.V.String()
}
