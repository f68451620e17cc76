package yard

import (
	"strings"

	"runproof/drawing"
)

// field is what a column of a tick table holds. The zero value is text.
type field int

const (
	words field = iota
	tick        // a box to tick
	blank       // room to write
)

// column is one column of a tick table. A column of text without a width is as wide as
// its text.
type column struct {
	title string
	kind  field
	mm    float64
	wrap  bool // takes what width is left, and wraps
	bold  bool
	right bool
}

// tickTable is rows with boxes to tick, with its header anew on each page.
type tickTable struct {
	columns []column
	rows    [][]string // texts of the columns of text, in their order
	again   string     // what stands over the header on later pages
}

const (
	tickRowMM = boxMM + 2.2
	cellPadMM = 1.4
)

// table draws the table.
func (p *page) table(t tickTable) {
	st := p.Text
	widths := t.widths(st, p.Width())
	head := t.headMM(st, widths)
	for i, row := range t.rows {
		h := t.rowMM(st, widths, row)
		if i == 0 || p.Left() < h {
			p.Need(head + h)
			if i > 0 {
				p.Styled(t.again+", continued", st.Bold())
			}
			s, r := p.Area(head)
			t.drawHead(s, r, st, widths)
		}
		s, r := p.Area(h)
		t.drawRow(s, r, st, widths, row)
	}
	p.Space(3)
}

// tableMM is the height of the table where no page ends in it.
func (p *page) tableMM(t tickTable) float64 {
	widths := t.widths(p.Text, p.Width())
	h := t.headMM(p.Text, widths) + 3
	for _, row := range t.rows {
		h += t.rowMM(p.Text, widths, row)
	}
	return h
}

func (t tickTable) styleOf(c column, st drawing.TextStyle) drawing.TextStyle {
	if c.bold {
		st = st.Bold()
	}
	if c.right {
		st = st.Aligned(drawing.Right)
	}
	return st
}

func headStyle(st drawing.TextStyle) drawing.TextStyle {
	return st.Sized(st.SizePT - 2).Bold()
}

// widths are those of the columns. Columns that are wider together than the
// page are shrunk alike, and their text with them.
func (t tickTable) widths(st drawing.TextStyle, w float64) []float64 {
	out, sum, wraps := make([]float64, len(t.columns)), 0.0, 0
	k := 0
	for i, c := range t.columns {
		out[i] = max(c.mm, longestWord(headStyle(st), c.title)+2*cellPadMM)
		if c.kind == tick {
			out[i] = max(out[i], boxMM+2*cellPadMM)
		}
		if c.kind == words {
			if c.wrap {
				wraps++
			} else {
				for _, row := range t.rows {
					out[i] = max(out[i], t.styleOf(c, st).WidthMM(row[k])+2*cellPadMM+0.1)
				}
			}
			k++
		}
		sum += out[i]
	}
	for i, c := range t.columns {
		switch {
		case sum > w:
			out[i] *= w / sum
		case c.wrap:
			out[i] += (w - sum) / float64(wraps)
		case wraps == 0 && c.kind == blank:
			out[i] += (w - sum) / float64(t.count(blank))
		}
	}
	return out
}

func (t tickTable) count(kind field) int {
	n := 0
	for _, c := range t.columns {
		if c.kind == kind {
			n++
		}
	}
	return n
}


func (t tickTable) headMM(st drawing.TextStyle, widths []float64) float64 {
	h, lines := headStyle(st), 1
	for i, c := range t.columns {
		lines = max(lines, len(h.Wrap(c.title, widths[i]-2*cellPadMM+0.05)))
	}
	return float64(lines)*h.LineMM() + 1.6
}

func (t tickTable) drawHead(s *drawing.Sheet, r drawing.Rect, st drawing.TextStyle, widths []float64) {
	h := headStyle(st)
	s.Rect(drawing.Rect{X: r.X, Y: r.Y, W: total(widths), H: r.H}, drawing.Pen{}, drawing.Tint)
	x := r.X
	for i, c := range t.columns {
		lines := h.Wrap(c.title, widths[i]-2*cellPadMM+0.05)
		at := drawing.Point{X: x + cellPadMM, Y: r.Y + 0.8}
		style := h
		if c.right {
			at.X, style = x+widths[i]-cellPadMM, h.Aligned(drawing.Right)
		}
		writeLines(s, at, lines, style)
		x += widths[i]
	}
	s.Line(drawing.Point{X: r.X, Y: r.Bottom()}, drawing.Point{X: r.X + total(widths), Y: r.Bottom()}, drawing.Thin)
}

func (t tickTable) rowMM(st drawing.TextStyle, widths []float64, row []string) float64 {
	h, k := 0.0, 0
	if t.count(tick)+t.count(blank) > 0 {
		h = tickRowMM
	}
	for i, c := range t.columns {
		if c.kind != words {
			continue
		}
		lines := 1
		if c.wrap {
			lines = len(t.styleOf(c, st).Wrap(row[k], widths[i]-2*cellPadMM))
		}
		h = max(h, float64(lines)*st.LineMM()+2)
		k++
	}
	return h
}

func (t tickTable) drawRow(s *drawing.Sheet, r drawing.Rect, st drawing.TextStyle, widths []float64, row []string) {
	x, k := r.X, 0
	for i, c := range t.columns {
		switch c.kind {
		case tick:
			box(s, x+cellPadMM, r.Y+tickRowMM/2)
		case blank:
			s.Line(drawing.Point{X: x + cellPadMM, Y: r.Y + tickRowMM - 1.4}, drawing.Point{X: x + widths[i] - cellPadMM, Y: r.Y + tickRowMM - 1.4}, drawing.Hair)
		case words:
			t.drawWords(s, drawing.Rect{X: x, Y: r.Y, W: widths[i], H: r.H}, t.styleOf(c, st), c, row[k])
			k++
		}
		x += widths[i]
	}
	s.Line(drawing.Point{X: r.X, Y: r.Bottom()}, drawing.Point{X: r.X + total(widths), Y: r.Bottom()}, drawing.Grid)
}

func (t tickTable) drawWords(s *drawing.Sheet, r drawing.Rect, st drawing.TextStyle, c column, text string) {
	x, w := r.X+cellPadMM, r.W-2*cellPadMM
	if c.right {
		x = r.Right() - cellPadMM
	}
	lines := []string{text}
	if c.wrap {
		lines = st.Wrap(text, w)
	} else {
		st = st.Shrink(text, w, 4)
	}
	y := r.Y + 1
	if first := tickRowMM; t.count(tick)+t.count(blank) > 0 && float64(len(lines))*st.LineMM() < first-2 {
		y = r.Y + (first-float64(len(lines))*st.LineMM())/2
	}
	writeLines(s, drawing.Point{X: x, Y: y}, lines, st)
}

func total(widths []float64) float64 {
	sum := 0.0
	for _, w := range widths {
		sum += w
	}
	return sum
}

// longestWord is the width of the longest word of a text [mm].
func longestWord(st drawing.TextStyle, text string) float64 {
	w := 0.0
	for _, word := range strings.Fields(text) {
		w = max(w, st.WidthMM(word))
	}
	return w
}
