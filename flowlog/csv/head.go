package csv

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"

	"runproof/flowlog"
	"runproof/input"
)

// What a field of the file becomes, where it is not the index of a column.
const (
	skipped = -1 // nobody wants it
	isTime  = -2
)

// readHead reads the first line and says what the fields hold.
func (r *Reader) readHead(keep func(flowlog.Column) bool) error {
	line, err := r.lines.next()
	if errors.Is(err, io.EOF) {
		return input.Fault{Place: input.Place{File: r.file}, What: "the file is empty", Remedy: "a log has a line of column names, and lines of samples"}
	}
	if err != nil {
		return r.sourceFault(err)
	}
	line = bytes.TrimPrefix(line, []byte("\xef\xbb\xbf"))
	if bytes.IndexByte(line, 0) >= 0 || bytes.HasPrefix(line, []byte("\xff\xfe")) || bytes.HasPrefix(line, []byte("\xfe\xff")) {
		return r.headFault(0, "this is no UTF-8 text", "save the log as UTF-8 text, or check that this is a log")
	}
	cells, at, err := split(line, flowlog.MaxColumns+2)
	if err != nil {
		return r.headFault(at[len(at)-1], err.Error(), `write a quote inside a quoted name twice`)
	}
	if len(cells) > flowlog.MaxColumns+1 {
		return r.headFault(at[len(at)-1], fmt.Sprintf("%d columns are more than the %d that a log may have",
			len(cells)+bytes.Count(cells[len(cells)-1], []byte(",")), flowlog.MaxColumns+1), "split the log, or keep only the columns that are needed")
	}
	r.names = make([]string, len(cells))
	for i, c := range cells {
		r.names[i] = string(c)
	}
	if len(r.names) == 1 && strings.ContainsAny(r.names[0], ";\t") {
		return r.headFault(0, "the columns are not separated by commas", "read it through a map, which runproof log map proposes; or save the log as comma-separated text with a decimal point")
	}
	timeAt, columns, err := flowlog.ReadHead(r.names, func(i int) input.Place {
		return input.Place{File: r.file, Line: r.lines.line, Col: at[i] + 1}
	})
	if err != nil {
		return err
	}
	r.place(timeAt, columns, keep)
	return nil
}

// place gives each field its destination.
func (r *Reader) place(timeAt int, columns []flowlog.Column, keep func(flowlog.Column) bool) {
	for i := range r.names {
		f := field{to: skipped}
		switch {
		case i == timeAt:
			f.to = isTime
		default:
			c := columns[0]
			columns = columns[1:]
			if keep == nil || keep(c) {
				f = field{to: len(r.schema.Columns), kind: c.Kind}
				r.schema.Columns = append(r.schema.Columns, c)
			}
		}
		r.fields = append(r.fields, f)
	}
}

func (r *Reader) headFault(at int, what, remedy string) error {
	return input.Fault{Place: input.Place{File: r.file, Line: r.lines.line, Col: at + 1}, What: what, Remedy: remedy}
}
