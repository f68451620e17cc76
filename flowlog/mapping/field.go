package mapping

import (
	"fmt"
	"strconv"
	"strings"

	"runproof/flowlog"
	"runproof/input"
)

// field is what is known of a cell of every line.
type field struct {
	on      []string
	wanted  bool // the flow log has a meaning for it: what cannot be read is lost
	isPlace bool // latitude or longitude: N, S, E or W may stand in the cell
	side    int  // the cell of N, S, E or W that belongs to it, or none
}

// place finds which field goes where.
func (r *TextReader) place() error {
	if len(r.names)-1 > flowlog.MaxColumns {
		return input.Fault{
			Place: input.Place{File: r.file, Line: r.line}, What: fmt.Sprintf("%d columns are more than the %d that a log may have", len(r.names), flowlog.MaxColumns),
			Remedy: "check the delimiter",
		}
	}
	tellApart(r.names)
	at := indexed(r.names)
	wanted := r.m.Time.Columns
	if len(wanted) == 0 {
		wanted = Names{flowlog.TimeName}
	}
	for _, name := range wanted {
		i := at.find(name)
		if i == none {
			return r.noColumn(name, "time should be", "say under time which column it is")
		}
		r.timeAt = append(r.timeAt, i)
	}
	r.schema.Clock = r.m.Time.Form.clock()
	if err := r.splitLines(at); err != nil {
		return err
	}
	if err := r.fieldsOf(at); err != nil {
		return err
	}
	r.lineColumns(at)
	if r.m.Time.Form == Auto {
		return r.peekClock()
	}
	return nil
}

// fieldsOf gives every field that is no time its column.
func (r *TextReader) fieldsOf(at index) error {
	r.to, r.fields = make([]int, len(r.names)), make([]field, len(r.names))
	rules := make([]*Column, len(r.names))
	for k := range r.m.Columns {
		if i := at.find(r.m.Columns[k].From); i != none {
			rules[i] = &r.m.Columns[k]
		}
	}
	for i, name := range r.names {
		r.to[i], r.fields[i] = none, field{side: none}
		if isOneOf(r.timeAt, i) {
			continue
		}
		if i == r.each.name || i == r.each.value {
			r.fields[i].wanted = true
			continue
		}
		kind := flowlog.ColumnNamed(name).Kind
		if c := rules[i]; c != nil {
			// Apply knows it by the name that the map gives.
			name, kind = c.From, flowlog.ColumnNamed(c.To).Kind
			r.fields[i].on = c.On
			if c.Side != "" {
				if r.fields[i].side = at.find(c.Side); r.fields[i].side == none {
					return r.noColumn(c.Side, "the side of "+c.From+" should be", "say under side which column it is")
				}
			}
		}
		r.fields[i].wanted = kind != flowlog.Other
		r.fields[i].isPlace = kind == flowlog.Lat || kind == flowlog.Lon
		r.to[i] = len(r.schema.Columns)
		r.schema.Columns = append(r.schema.Columns, flowlog.Column{Name: name})
	}
	return nil
}

func (r *TextReader) noColumn(name, where, remedy string) error {
	return input.Fault{
		Place: input.Place{File: r.file, Line: r.line}, What: fmt.Sprintf("no column is called %.60q, where %s", name, where),
		Remedy: remedy + "; there are " + input.OneOf(few(r.names)),
	}
}

// tellApart puts the number of the field behind names that come twice.
func tellApart(names []string) {
	times := map[string]int{}
	for _, n := range names {
		times[n]++
	}
	for i, n := range names {
		if times[n] > 1 {
			names[i] = fmt.Sprintf("%s #%d", n, i+1)
		}
	}
}

// index finds fields by name.
type index struct {
	byName map[string]int
	n      int
}

func indexed(names []string) index {
	x := index{make(map[string]int, len(names)), len(names)}
	for i, n := range names {
		x.byName[n] = i
	}
	return x
}

// find is the index of the field of that name, or of "#3" for the third.
func (x index) find(name string) int {
	if i, ok := x.byName[name]; ok {
		return i
	}
	if digits, ok := strings.CutPrefix(name, "#"); ok {
		if n, err := strconv.Atoi(digits); err == nil && n >= 1 && n <= x.n {
			return n - 1
		}
	}
	return none
}

func isOneOf(list []int, i int) bool {
	for _, x := range list {
		if x == i {
			return true
		}
	}
	return false
}

// few are the first names, in a form that can be printed.
func few(names []string) []string {
	const most, long = 12, 40
	var out []string
	for i, n := range names {
		if i == most {
			return append(out, fmt.Sprintf("%d more", len(names)-most))
		}
		if q := strconv.Quote(n); q != `"`+n+`"` || len(n) > long {
			n = fmt.Sprintf("%.40q", n)
		}
		out = append(out, n)
	}
	return out
}
