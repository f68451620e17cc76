package drawing

// Book is a document of several sheets.
type Book struct {
	Info   Info
	Sheets []*Sheet
}

// Info is what a document says of itself. It holds no time, so that the same
// content always gives the same bytes; the date belongs in the text.
type Info struct{ Title, Subject, Author string }

// Flow fills the pages of a book from top to bottom and begins a new one when
// a page is full. Make it with NewFlow and end it with Close.
type Flow struct {
	Book *Book
	Text TextStyle // of paragraphs and tables

	size    Size
	margin  float64
	sheet   *Sheet
	y       float64
	columns int     // columns on the page, at least 1
	column  int     // the current one, from 0
	top     float64 // where the columns begin on this page
	lowest  float64 // lowest point of the columns before the current one
}

const footMM = 7.0 // room for the foot line

// NewFlow begins a book with an empty page.
func NewFlow(info Info, size Size, marginMM float64) *Flow {
	f := &Flow{Book: &Book{Info: info}, Text: TextStyle{SizePT: 9.5}, size: size, margin: marginMM, columns: 1}
	f.NewPage()
	return f
}

// NewPage begins a new page, of one column and the flow's size.
func (f *Flow) NewPage() {
	f.newSheet()
	f.columns, f.column = 1, 0
}

// Turn begins a new page of another size.
func (f *Flow) Turn(size Size) {
	f.size = size
	if len(f.sheet.Items) == 0 && len(f.sheet.Bookmarks) == 0 {
		f.Book.Sheets = f.Book.Sheets[:len(f.Book.Sheets)-1] // nothing is on the page yet
	}
	f.NewPage()
}

func (f *Flow) newSheet() {
	f.sheet = NewSheet(f.size)
	f.Book.Sheets = append(f.Book.Sheets, f.sheet)
	f.y, f.top, f.lowest = f.margin, f.margin, f.margin
}

// Columns divides the rest of the page, and the pages that follow, into n
// columns; 1 goes on below the columns in full width.
func (f *Flow) Columns(n int) {
	if f.columns > 1 {
		f.y = max(f.y, f.lowest)
	}
	f.columns, f.column, f.top, f.lowest = max(1, n), 0, f.y, f.y
}

const gutterMM = 5.0

// Width returns the width of the current column [mm].
func (f *Flow) Width() float64 {
	return (f.size.WMM - 2*f.margin - gutterMM*float64(f.columns-1)) / float64(f.columns)
}

func (f *Flow) left() float64 {
	return f.margin + float64(f.column)*(f.Width()+gutterMM)
}

func (f *Flow) bottom() float64 { return f.size.HMM - f.margin - footMM }

// Left returns the room that is left in the current column [mm].
func (f *Flow) Left() float64 { return f.bottom() - f.y }

// PageRoom returns the height of an empty page's column [mm].
func (f *Flow) PageRoom() float64 { return f.bottom() - f.margin }

// Need makes sure that a block of height h [mm] fits, in the next column or
// page if need be. A block taller than a page begins at the top of one.
func (f *Flow) Need(h float64) {
	for f.y+h > f.bottom()+1e-9 && (f.y > f.top || f.top > f.margin) {
		f.next()
	}
}

func (f *Flow) next() {
	f.lowest = max(f.lowest, f.y)
	if f.column++; f.column < f.columns {
		f.y = f.top
		return
	}
	f.newSheet()
	f.column = 0
}

// Area sets aside a block of height h [mm] and returns the sheet and the block on it.
func (f *Flow) Area(h float64) (*Sheet, Rect) {
	f.Need(h)
	r := Rect{f.left(), f.y, f.Width(), h}
	f.y += h
	return f.sheet, r
}

// Rest sets aside all that is left of the page, or a whole page if less than least [mm] is left.
func (f *Flow) Rest(least float64) (*Sheet, Rect) {
	f.Need(least)
	return f.Area(f.Left())
}

// GiveBack returns h [mm] of the block set aside last, because it needed less.
func (f *Flow) GiveBack(h float64) { f.y = max(f.top, f.y-h) }

// Space leaves h [mm] empty, nothing at the top of a page.
func (f *Flow) Space(h float64) {
	if f.y > f.top || f.columns == 1 && f.y > f.margin {
		f.y = min(f.y+h, f.bottom())
	}
}

// Title writes the title of a book or part and makes it a bookmark.
func (f *Flow) Title(text string) {
	f.heading(text, 0, TextStyle{SizePT: 18, Ink: Accent}.Bold())
}

// Heading writes a heading within a part and makes it a bookmark below the part's.
func (f *Flow) Heading(text string) {
	f.Space(3)
	f.heading(text, 1, TextStyle{SizePT: 12.5}.Bold())
}

func (f *Flow) heading(text string, level int, st TextStyle) {
	lines := st.Wrap(text, f.Width())
	h := float64(len(lines)) * st.LineMM()
	f.Need(h + 14) // a heading stays with what it heads
	f.sheet.Bookmarks = append(f.sheet.Bookmarks, Bookmark{Title: text, Level: level, YMM: f.y})
	f.lines(lines, st)
	f.y += 1.2
}

// Paragraph writes wrapped text.
func (f *Flow) Paragraph(text string) { f.Styled(text, f.Text) }

// Styled writes wrapped text in a style of its own.
func (f *Flow) Styled(text string, st TextStyle) {
	f.lines(st.Wrap(text, f.Width()), st)
	f.y += 1
}

func (f *Flow) lines(lines []string, st TextStyle) {
	for _, line := range lines {
		s, r := f.Area(st.LineMM())
		x := r.X
		switch st.Align {
		case Centre:
			x = r.Centre().X
		case Right:
			x = r.Right()
		}
		s.Text(Point{x, r.Y + (st.LineMM()+st.CapMM())/2}, line, st)
	}
}

// Item writes a list item: a sign in the margin of the text, then wrapped text.
func (f *Flow) Item(sign, text string) {
	const indent = 6.0
	st := f.Text
	lines := st.Wrap(text, f.Width()-indent)
	f.Need(min(float64(len(lines)), 2) * st.LineMM())
	for i, line := range lines {
		s, r := f.Area(st.LineMM())
		base := r.Y + (st.LineMM()+st.CapMM())/2
		if i == 0 {
			s.Text(Point{r.X, base}, sign, st.Bold())
		}
		s.Text(Point{r.X + indent, base}, line, st)
	}
	f.y += 1
}

// Table draws a table, over as many columns and pages as it needs; its header is repeated on each.
func (f *Flow) Table(t Table) {
	if t.Text.SizePT == 0 {
		t.Text.SizePT = 9
	}
	if len(t.Columns) == 0 {
		return
	}
	widths := t.Widths(f.Width())
	head := t.headMM(widths)
	under := -1.0 // y below the last drawn row; another y means that a page or column was begun
	for i, row := range t.Rows {
		h := t.rowMM(row, widths)
		if f.y != under {
			f.Need(head + h)
		} else {
			f.Need(h)
		}
		if f.y != under {
			f.y += t.drawHead(f.sheet, Point{f.left(), f.y}, widths)
		}
		f.y += t.drawRow(f.sheet, Point{f.left(), f.y}, row, widths, t.ground(i))
		under = f.y
	}
	if len(t.Rows) == 0 {
		f.Need(head)
		f.y += t.drawHead(f.sheet, Point{f.left(), f.y}, widths)
	}
	f.y += 2
}

// TableMM returns the height of a table in the current column, if it is not broken [mm].
func (f *Flow) TableMM(t Table) float64 {
	if t.Text.SizePT == 0 {
		t.Text.SizePT = 9
	}
	widths := t.Widths(f.Width())
	h := t.headMM(widths) + 2
	for _, row := range t.Rows {
		h += t.rowMM(row, widths)
	}
	return h
}

func (t Table) ground(row int) Ink {
	if row%2 == 1 && !t.Rules {
		return Zebra
	}
	return NoInk
}

// Close writes the foot of every page, with the page's number, and returns the book.
func (f *Flow) Close(foot string) *Book {
	small := TextStyle{SizePT: 7.5, Ink: Soft}
	n := len(f.Book.Sheets)
	for i, s := range f.Book.Sheets {
		y := s.Size.HMM - f.margin
		right := s.Size.WMM - f.margin
		s.Line(Point{f.margin, y - 4}, Point{right, y - 4}, Grid)
		page := "page " + number(float64(i+1)) + " of " + number(float64(n))
		s.Text(Point{f.margin, y}, small.Fit(foot, right-f.margin-small.WidthMM(page)-4), small)
		s.Text(Point{right, y}, page, small.Aligned(Right))
	}
	return f.Book
}
