package drawing

import "math"

// Cell is one cell of a table. The zero value is empty.
type Cell struct {
	Text  string
	Bold  bool
	Ink   Ink   // NoInk means Dark
	State State // its mark stands before the text; a state without mark shows nothing
}

// Cells makes a row of plain cells.
func Cells(texts ...string) []Cell {
	row := make([]Cell, len(texts))
	for i, t := range texts {
		row[i].Text = t
	}
	return row
}

// StateCell is a cell that shows a state: its mark and its word.
func StateCell(st State) Cell { return Cell{Text: st.Word, State: st} }

// Column is one column of a table.
type Column struct {
	Title   string
	Align   Align   // numbers: Right
	WidthMM float64 // 0 = as wide as its content, less if the table would not fit
	Bold    bool
}

// Table is rows of cells under a header. Rows may be shorter than the header.
type Table struct {
	Columns []Column
	Rows    [][]Cell
	Text    TextStyle // zero means 9 pt
	Stretch bool      // fill the width that there is
	Rules   bool      // a rule under each row; else every other row is tinted
}

const cellPadMM = 1.3

// style returns the style of a cell's text.
func (t Table) style(col int, c Cell) TextStyle {
	st := t.Text.Aligned(t.Columns[col].Align).In(c.Ink)
	if c.Bold || t.Columns[col].Bold {
		st = st.Bold()
	}
	return st
}

func (t Table) markMM(c Cell) float64 {
	if c.State.Mark == NoMark {
		return 0
	}
	return t.Text.CapMM()*1.25 + 1
}

// Widths returns the columns' widths for a table that has w [mm]: natural
// widths if they fit; else the widest columns give way, down to their longest
// word, and their text wraps.
func (t Table) Widths(w float64) []float64 {
	natural, least := make([]float64, len(t.Columns)), make([]float64, len(t.Columns))
	for i, c := range t.Columns {
		if c.WidthMM > 0 {
			natural[i], least[i] = c.WidthMM, c.WidthMM
			continue
		}
		natural[i], least[i] = t.columnNeeds(i)
	}
	return share(natural, least, w, t.Stretch)
}

func (t Table) columnNeeds(i int) (natural, least float64) {
	need := func(c Cell, st TextStyle) {
		mark := t.markMM(c)
		natural = math.Max(natural, st.WidthMM(c.Text)+mark)
		for _, word := range words(c.Text) {
			least = math.Max(least, st.WidthMM(word)+mark)
		}
	}
	need(Cell{Text: t.Columns[i].Title}, t.Text.Bold())
	for _, row := range t.Rows {
		if i < len(row) {
			need(row[i], t.style(i, row[i]))
		}
	}
	return natural + 2*cellPadMM + 0.1, least + 2*cellPadMM + 0.1
}

// share cuts natural widths down to a total of w, the widest first, none below
// its least unless all are at their least; then all shrink alike. With stretch
// it also spreads what is left over.
func share(natural, least []float64, w float64, stretch bool) []float64 {
	sum, floor := 0.0, 0.0
	for i, n := range natural {
		sum += n
		floor += least[i]
	}
	out := make([]float64, len(natural))
	switch {
	case sum <= w:
		for i, n := range natural {
			out[i] = n
			if stretch && sum > 0 {
				out[i] = n * w / sum
			}
		}
	case floor >= w:
		for i, l := range least {
			out[i] = l * w / floor
		}
	default:
		limit := capFor(natural, least, w)
		for i, n := range natural {
			out[i] = math.Max(least[i], math.Min(n, limit))
		}
	}
	return out
}

// capFor returns the common limit to natural widths at which they sum to w, by bisection.
func capFor(natural, least []float64, w float64) float64 {
	lo, hi := 0.0, w
	for range 60 {
		mid, sum := (lo+hi)/2, 0.0
		for i, n := range natural {
			sum += math.Max(least[i], math.Min(n, mid))
		}
		if sum > w {
			hi = mid
		} else {
			lo = mid
		}
	}
	return lo
}

// rowMM returns the height of a row.
func (t Table) rowMM(row []Cell, widths []float64) float64 {
	lines := 1
	for i, c := range row {
		if i < len(widths) {
			lines = max(lines, len(t.style(i, c).Wrap(c.Text, widths[i]-2*cellPadMM-t.markMM(c))))
		}
	}
	return float64(lines)*t.Text.LineMM() + 1.2
}

// drawRow draws one row with its top left corner at a point and returns its height.
func (t Table) drawRow(s *Sheet, at Point, row []Cell, widths []float64, ground Ink) float64 {
	h := t.rowMM(row, widths)
	total := 0.0
	for _, w := range widths {
		total += w
	}
	s.Rect(Rect{at.X, at.Y, total, h}, Pen{}, ground)
	x := at.X
	for i, c := range row {
		if i < len(widths) {
			t.drawCell(s, Rect{x, at.Y, widths[i], h}, i, c)
			x += widths[i]
		}
	}
	if t.Rules {
		s.Line(at.Add(0, h), at.Add(total, h), Grid)
	}
	return h
}

func (t Table) drawCell(s *Sheet, r Rect, col int, c Cell) {
	st, mark := t.style(col, c), t.markMM(c)
	lines := st.Wrap(c.Text, r.W-2*cellPadMM-mark)
	x := r.X + cellPadMM + mark
	switch st.Align {
	case Right:
		x = r.Right() - cellPadMM
	case Centre:
		x = r.X + (r.W+mark)/2
	}
	y := r.Y + 0.6 + (st.LineMM()+st.CapMM())/2
	if mark > 0 {
		left := x
		if st.Align == Right {
			left = x - st.WidthMM(lines[0])
		} else if st.Align == Centre {
			left = x - st.WidthMM(lines[0])/2
		}
		s.Mark(Point{left - mark + st.CapMM()*0.6, y - st.CapMM()/2}, st.CapMM()*1.15, c.State.Mark, c.State.Ink)
	}
	for _, line := range lines {
		s.Text(Point{x, y}, line, st)
		y += st.LineMM()
	}
}

// drawHead draws the header row and a rule under it.
func (t Table) drawHead(s *Sheet, at Point, widths []float64) float64 {
	head := make([]Cell, len(t.Columns))
	for i, c := range t.Columns {
		head[i] = Cell{Text: c.Title, Bold: true}
	}
	h := t.drawRow(s, at, head, widths, Tint)
	total := 0.0
	for _, w := range widths {
		total += w
	}
	s.Line(at.Add(0, h), at.Add(total, h), Thin)
	return h
}

func (t Table) headMM(widths []float64) float64 {
	head := make([]Cell, len(t.Columns))
	for i, c := range t.Columns {
		head[i] = Cell{Text: c.Title, Bold: true}
	}
	return t.rowMM(head, widths)
}
