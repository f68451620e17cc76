package parquet

import (
	"fmt"

	"github.com/parquet-go/parquet-go/format"

	"runproof/flowlog"
	"runproof/input"
)

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
