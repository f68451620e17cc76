package parquet

import (
	"github.com/parquet-go/parquet-go/deprecated"
	"github.com/parquet-go/parquet-go/format"
)

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
