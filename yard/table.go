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

// column is one column of a tick table. A column of text is as wide as its
// widest text, or wraps and takes what is left.
type column struct {
	title string
	kind  field
	mm    float64 // least width
	wrap  bool
	bold  bool
	right bool
}

// tickTable is rows with boxes to tick, with its header anew on each page.
type tickTable struct {
	columns []column
	rows    [][]string // texts of the columns of text, in their order
	box     float64    // side of its boxes to tick [mm]; 0 = as the paper's
	again   string     // what stands over the header on later pages
}

// denseBoxMM is the side of a box in a long table that is ticked at the bench.
const denseBoxMM = 4.0

const cellPadMM = 1.3 // as the tables of drawing, which deal out the widths

// grid is a tick table laid out for a page.
type grid struct {
	tickTable
	look
	st     drawing.TextStyle
	head   drawing.TextStyle
	widths []float64
}

func (p *page) grid(t tickTable) grid {
	k := p.look
	if t.box > 0 {
		k.box = t.box
	}
	g := grid{tickTable: t, look: k, st: p.Text, head: p.Text.Sized(p.Text.SizePT - 2).Bold()}
	g.widths = g.share(p.Width())
	return g
}

// table draws the table.
func (p *page) table(t tickTable) {
	g := p.grid(t)
	head := g.headMM()
	for i, row := range t.rows {
		h := g.rowMM(row)
		if i == 0 || p.Left() < h {
			p.Need(head + h)
			if i > 0 {
				p.Styled(t.again+", continued", p.Text.Bold())
			}
			s, r := p.Area(head)
			g.drawHead(s, r)
		}
		s, r := p.Area(h)
		g.drawRow(s, r, row)
	}
	p.Space(3)
}

// tableMM is the height of the table where no page ends in it.
func (p *page) tableMM(t tickTable) float64 {
	g := p.grid(t)
	h := g.headMM() + 3
	for _, row := range t.rows {
		h += g.rowMM(row)
	}
	return h
}

// style is that of the texts of a column.
func (g grid) style(c column) drawing.TextStyle {
	st := g.st
	if c.bold {
		st = st.Bold()
	}
	return st
}

// share deals out the width of the page: columns that do not wrap get what
// they need, those that wrap the rest. What nobody needs goes to the columns
// to write in, or else to those to tick.
func (g grid) share(w float64) []float64 {
	t := drawing.Table{Text: g.st}
	t.Rows = make([][]drawing.Cell, len(g.rows))
	for i := range t.Rows {
		t.Rows[i] = make([]drawing.Cell, len(g.columns))
	}
	k := 0
	for i, c := range g.columns {
		least := max(c.mm, longestWord(g.head, c.title)+2*cellPadMM+0.2)
		t.Columns = append(t.Columns, drawing.Column{Bold: c.bold})
		switch {
		case c.kind == tick:
			t.Columns[i].WidthMM = max(least, g.look.box+2*cellPadMM)
		case c.kind == blank:
			t.Columns[i].WidthMM = least
		case c.wrap:
			t.Columns[i].Title = strings.Repeat("n", int(least/g.st.WidthMM("n")))
		default:
			for _, row := range g.rows {
				least = max(least, g.style(c).WidthMM(row[k])+2*cellPadMM+0.2)
			}
			t.Columns[i].WidthMM = least
		}
		if c.kind == words {
			for r, row := range g.rows {
				t.Rows[r][i].Text = row[k]
			}
			k++
		}
	}
	return g.spread(t.Widths(w), w)
}

// spread gives what is left of the width to the columns that gain most by it.
func (g grid) spread(widths []float64, w float64) []float64 {
	left := w - total(widths)
	for _, gains := range []func(column) bool{
		func(c column) bool { return c.kind == blank },
		func(c column) bool { return c.wrap },
		func(c column) bool { return c.kind == tick && c.title != "" },
	} {
		n := 0
		for _, c := range g.columns {
			if gains(c) {
				n++
			}
		}
		for i, c := range g.columns {
			if n > 0 && left > 0 && gains(c) {
				widths[i] += left / float64(n)
			}
		}
		if n > 0 {
			break
		}
	}
	return widths
}

func (g grid) headMM() float64 {
	lines := 1
	for i, c := range g.columns {
		lines = max(lines, len(g.head.Wrap(c.title, g.widths[i]-2*cellPadMM+0.1)))
	}
	return float64(lines)*g.head.LineMM() + 1.6
}

func (g grid) drawHead(s *drawing.Sheet, r drawing.Rect) {
	s.Rect(drawing.Rect{X: r.X, Y: r.Y, W: total(g.widths), H: r.H}, drawing.Pen{}, drawing.Tint)
	x := r.X
	for i, c := range g.columns {
		lines := g.head.Wrap(c.title, g.widths[i]-2*cellPadMM+0.1)
		at, style := drawing.Point{X: x + cellPadMM, Y: r.Y + 0.8}, g.head
		if c.right {
			at.X, style = x+g.widths[i]-cellPadMM, g.head.Aligned(drawing.Right)
		}
		writeLines(s, at, lines, style)
		x += g.widths[i]
	}
	s.Line(drawing.Point{X: r.X, Y: r.Bottom()}, drawing.Point{X: r.X + total(g.widths), Y: r.Bottom()}, drawing.Thin)
}

// lines are the lines of one cell of text.
func (g grid) lines(i int, text string) []string {
	if c := g.columns[i]; c.wrap {
		return g.style(c).Wrap(text, g.widths[i]-2*cellPadMM)
	}
	return []string{text}
}

// least is the height of a row of one line: that of a box, where there is one.
func (g grid) least() float64 {
	for _, c := range g.columns {
		if c.kind != words {
			return g.look.box + max(1.4, 0.3*g.look.box)
		}
	}
	return g.st.LineMM() + g.padMM()
}

// padMM is what a row is higher than its text.
func (g grid) padMM() float64 {
	if g.tickTable.box > 0 {
		return 0.7
	}
	return 2
}

func (g grid) rowMM(row []string) float64 {
	h, k := g.least(), 0
	for i, c := range g.columns {
		if c.kind == words {
			h = max(h, float64(len(g.lines(i, row[k])))*g.st.LineMM()+g.padMM())
			k++
		}
	}
	return h
}

func (g grid) drawRow(s *drawing.Sheet, r drawing.Rect, row []string) {
	x, k, least := r.X, 0, g.least()
	for i, c := range g.columns {
		switch c.kind {
		case tick:
			box(s, x+cellPadMM, r.Y+least/2, g.look.box)
		case blank:
			y := r.Y + least - 1.4
			s.Line(drawing.Point{X: x + cellPadMM, Y: y}, drawing.Point{X: x + g.widths[i] - cellPadMM, Y: y}, drawing.Hair)
		case words:
			g.drawWords(s, drawing.Rect{X: x + cellPadMM, Y: r.Y, W: g.widths[i] - 2*cellPadMM, H: least}, c, g.lines(i, row[k]))
			k++
		}
		x += g.widths[i]
	}
	s.Line(drawing.Point{X: r.X, Y: r.Bottom()}, drawing.Point{X: r.X + total(g.widths), Y: r.Bottom()}, drawing.Grid)
}

// drawWords writes a cell: one line stands beside its box, more begin at the top.
func (g grid) drawWords(s *drawing.Sheet, r drawing.Rect, c column, lines []string) {
	st, high := g.style(c), float64(len(lines))*g.st.LineMM()
	at := drawing.Point{X: r.X, Y: r.Y + max(g.padMM()/2, (r.H-high)/2)}
	if !c.wrap {
		st = st.Shrink(lines[0], r.W, 4)
	}
	if c.right {
		at.X, st = r.Right(), st.Aligned(drawing.Right)
	}
	writeLines(s, at, lines, st)
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
