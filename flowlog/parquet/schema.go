package parquet

import (
	"errors"

	"github.com/parquet-go/parquet-go/format"
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
