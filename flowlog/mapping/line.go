package mapping

import (
	"bytes"
	"strings"

	"runproof/flowlog"
)

// Line says that each line of a text tells of one column: a port, say. The zero
// Line says that lines tell of all.
type Line struct {
	Name  string `json:"name"`  // the column where its name stands, such as the run; under columns it is named as it is written there
	Value string `json:"value"` // the column where its value stands, such as the count
}

// perLine is what a reader knows of lines that tell of one column each. Lines of
// one time make one row, until a name comes again.
type perLine struct {
	name, value int            // fields
	columns     map[string]int // of the schema, by name
	lastText    string         // time of the row before, as it is written
}

// splitLines finds the fields of a map's Line, and gives each name a column.
func (r *TextReader) splitLines(at index) error {
	l := &r.m.Line
	r.each = perLine{name: none, value: none}
	if l.Name == "" {
		return nil
	}
	r.each = perLine{name: at.find(l.Name), value: at.find(l.Value), columns: map[string]int{}}
	if r.each.name == none {
		return r.noColumn(l.Name, "names should be", "say under line which column it is")
	}
	if r.each.value == none {
		return r.noColumn(l.Value, "values should be", "say under line which column it is")
	}
	return nil
}

// lineColumns adds the columns that the map names and the head does not.
func (r *TextReader) lineColumns(at index) {
	if r.each.name == none {
		return
	}
	for _, c := range r.m.Columns {
		if at.find(c.From) != none {
			continue
		}
		r.each.columns[c.From] = len(r.schema.Columns)
		r.schema.Columns = append(r.schema.Columns, flowlog.Column{Name: c.From})
	}
}

// goesOn says that a line belongs to the row before.
func (r *TextReader) goesOn(line []byte) bool {
	r.split(line)
	return r.wide() && r.timeText() == r.each.lastText
}

// wide says that the line has the cells that a line must have.
func (r *TextReader) wide() bool {
	for _, at := range r.timeAt {
		if at >= len(r.cells) {
			return false
		}
	}
	return len(r.cells) > max(r.each.name, r.each.value)
}

// join puts a line that is split into row n, where it belongs there.
func (r *TextReader) join(b *flowlog.Batch, n int) bool {
	if n < 0 || !r.wide() || r.timeText() != r.each.lastText {
		return false
	}
	if c, known := r.each.columns[strings.TrimSpace(r.cells[r.each.name])]; known && b.Values[c][n] == b.Values[c][n] {
		return false // it comes again: the next row
	}
	r.own(b, n)
	for i, c := range r.to {
		if c != none && i < len(r.cells) && b.Values[c][n] != b.Values[c][n] {
			b.Values[c][n] = r.sided(i, r.cell(i, strings.TrimSpace(r.cells[i])))
		}
	}
	return true
}

// begin begins row n with a line of its time.
func (r *TextReader) begin(b *flowlog.Batch, n int, text string) {
	r.each.lastText = text
	for _, c := range r.each.columns {
		b.Values[c][n] = flowlog.Missing()
	}
	if r.wide() {
		r.own(b, n)
	}
}

// own puts the line's own value into row n.
func (r *TextReader) own(b *flowlog.Batch, n int) {
	name := strings.TrimSpace(r.cells[r.each.name])
	c, known := r.each.columns[name]
	if !known {
		r.odd.stranger(name, r.line)
		return
	}
	b.Values[c][n] = r.cell(r.each.value, strings.TrimSpace(r.cells[r.each.value]))
}

// fill goes on with the last row of a full batch.
func (r *TextReader) fill(b *flowlog.Batch, n int) {
	for r.each.name != none {
		line, err := r.next()
		if err != nil {
			r.err = r.ending(err)
			return
		}
		if !r.goesOn(line) || !r.join(b, n-1) {
			r.held = bytes.Clone(line)
			return
		}
	}
}
