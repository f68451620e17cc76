package csv

import (
	"errors"
	"fmt"

	"runproof/input"
)

// cellFault is err with the place of the cell of field f, which begins at byte
// at of the line.
func (r *Reader) cellFault(f, at int, err error) error {
	fault := input.Fault{What: err.Error()}
	errors.As(err, &fault)
	fault.Place = input.Place{File: r.file, Line: r.lines.line, Col: at + 1}
	fault.What = fmt.Sprintf("column %d (%.40s): %s", f+1, r.names[f], fault.What)
	return fault
}

// ragged is the fault of a line that ends before field f.
func (r *Reader) ragged(f int) error {
	return input.Fault{
		Place: input.Place{File: r.file, Line: r.lines.line},
		What: fmt.Sprintf("the line has %d cells, but the head names %d columns: column %d (%.40s) is missing",
			f, len(r.names), f+1, r.names[f]),
		Remedy: "a cell that was not reported still needs its comma; a last line cut short may be taken out",
	}
}

// tooMany is the fault of a line that goes on at byte at, behind the last field.
func (r *Reader) tooMany(at int) error {
	last := len(r.names)
	return input.Fault{
		Place:  input.Place{File: r.file, Line: r.lines.line, Col: at + 1},
		What:   fmt.Sprintf("the line has more cells than the %d columns that the head names: something stands behind column %d (%.40s)", last, last, r.names[last-1]),
		Remedy: "name every column in the head, and write a decimal point, not a comma",
	}
}
