package yard

import (
	"fmt"

	"runproof/drawing"
)

const marginMM = 13.0

// look is how large a paper is set.
type look struct {
	pt  float64 // of its text
	box float64 // side of a box to tick [mm]
}

var (
	yardLook  = look{12, 7.5} // read while the hands are busy, ticked with gloves on
	benchLook = look{10.5, 5.5}
)

// page is one of the papers in the making.
type page struct {
	*drawing.Flow
	*job
	title string
	look
}

func (j *job) newPage(title, subject string, size drawing.Size, l look) *page {
	info := drawing.Info{Title: title + ": " + j.drillName(), Subject: subject, Author: "Runproof"}
	p := &page{Flow: drawing.NewFlow(info, size, marginMM), job: j, title: title, look: l}
	p.Text = drawing.TextStyle{SizePT: l.pt}
	return p
}

// finish writes head and foot of every page: what it is, whose, from which
// fit, and which page of how many, so that stray pages find home.
func (p *page) finish() *drawing.Book {
	n := len(p.Book.Sheets)
	small := drawing.TextStyle{SizePT: 9, Ink: drawing.Soft}
	for i, s := range p.Book.Sheets {
		s.Title = fmt.Sprintf("%s, page %d of %d, %s", p.title, i+1, n, p.name)
		right, head, foot := s.Size.WMM-marginMM, marginMM-5.5, s.Size.HMM-marginMM
		fitted := fmt.Sprintf("fit revision %d · %s", p.f.Revision, p.hash)
		s.Text(drawing.Point{X: marginMM, Y: head}, small.Bold().Fit(p.title+" · "+p.name, right-marginMM-small.WidthMM(fitted)-5), small.Bold())
		s.Text(drawing.Point{X: right, Y: head}, fitted, small.Aligned(drawing.Right))
		s.Line(drawing.Point{X: marginMM, Y: head + 1.8}, drawing.Point{X: right, Y: head + 1.8}, drawing.Grid)
		s.Line(drawing.Point{X: marginMM, Y: foot - 4}, drawing.Point{X: right, Y: foot - 4}, drawing.Grid)
		count := fmt.Sprintf("page %d of %d", i+1, n)
		s.Text(drawing.Point{X: marginMM, Y: foot}, small.Fit(p.drillName(), right-marginMM-small.WidthMM(count)-5), small)
		s.Text(drawing.Point{X: right, Y: foot}, count, small.Bold().Aligned(drawing.Right))
	}
	return p.Book
}

// box draws a box to tick with its left edge at x and its middle at y.
func box(s *drawing.Sheet, x, y, side float64) {
	s.Rect(drawing.Rect{X: x, Y: y - side/2, W: side, H: side}, drawing.Pen{Ink: drawing.Dark, WidthMM: 0.45}, drawing.NoInk)
}

// step writes something to do, with a box; notes stand below it, smaller.
func (p *page) step(what string, notes ...string) {
	st, small := p.Text, p.Text.Sized(p.Text.SizePT-1.5).In(drawing.Soft)
	indent := p.box + 3
	lines := st.Wrap(what, p.Width()-indent)
	high := float64(len(lines)) * st.LineMM()
	var below []string
	for _, n := range notes {
		below = append(below, small.Wrap(n, p.Width()-indent)...)
	}
	high = max(p.box, high+float64(len(below))*small.LineMM()) + 0.27*p.box
	s, r := p.Area(high)
	box(s, r.X, r.Y+p.box/2+0.4, p.box)
	y := r.Y + 0.6
	if len(lines) == 1 && len(below) == 0 {
		y = r.Y + 0.4 + (p.box-st.LineMM())/2
	}
	y = writeLines(s, drawing.Point{X: r.X + indent, Y: y}, lines, st)
	writeLines(s, drawing.Point{X: r.X + indent, Y: y}, below, small)
}

// writeLines writes lines below one another and returns the height where the
// next would begin.
func writeLines(s *drawing.Sheet, at drawing.Point, lines []string, st drawing.TextStyle) float64 {
	for _, line := range lines {
		s.Text(drawing.Point{X: at.X, Y: at.Y + (st.LineMM()+st.CapMM())/2}, line, st)
		at.Y += st.LineMM()
	}
	return at.Y
}

// part begins a part of a paper; room is what of it must stay with its heading
// [mm].
func (p *page) part(title string, room float64) {
	st := drawing.TextStyle{SizePT: p.Text.SizePT + 3, Ink: drawing.Accent}.Bold()
	p.Space(4)
	p.Need(min(p.PageRoom(), st.LineMM()+2+max(room, 12)))
	lines := st.Wrap(title, p.Width())
	s, r := p.Area(float64(len(lines))*st.LineMM() + 1.5)
	s.Bookmarks = append(s.Bookmarks, drawing.Bookmark{Title: title, Level: 1, YMM: r.Y})
	writeLines(s, drawing.Point{X: r.X, Y: r.Y}, lines, st)
}

// say writes a paragraph in smaller, quieter text.
func (p *page) say(text string) {
	p.Styled(text, p.Text.Sized(p.Text.SizePT-1).In(drawing.Soft))
}

// notice writes a paragraph in a frame, with a mark before it.
func (p *page) notice(head, text string, m drawing.Mark, k drawing.Ink) {
	st := p.Text
	bold := st.Bold()
	heads, lines := bold.Wrap(head, p.Width()-17), st.Wrap(text, p.Width()-17)
	if head == "" {
		heads = nil
	}
	high := float64(len(heads)+len(lines))*st.LineMM() + 4
	p.Space(1)
	s, r := p.Area(high + 2.5)
	r.H -= 2.5
	s.Rect(r, drawing.Pen{Ink: k, WidthMM: 0.6}, drawing.NoInk)
	s.Mark(drawing.Point{X: r.X + 6.5, Y: r.Y + 2 + 4}, 7, m, k)
	y := writeLines(s, drawing.Point{X: r.X + 13, Y: r.Y + 2}, heads, bold)
	writeLines(s, drawing.Point{X: r.X + 13, Y: y}, lines, st)
}

// missing says what this fit does not hold, and how to come by it.
func (p *page) missing(what string) {
	p.notice("Not in this fit: "+what, "Plan the fit anew with runproof plan and print the sheets again. Until then this part cannot be done from these sheets.", drawing.Ring, drawing.Soft)
}

// blanks leaves lines to write on.
func (p *page) blanks(n int) {
	for range n {
		s, r := p.Area(10)
		s.Line(drawing.Point{X: r.X, Y: r.Bottom() - 0.5}, drawing.Point{X: r.Right(), Y: r.Bottom() - 0.5}, drawing.Thin.Of(drawing.Soft))
	}
	p.Space(2)
}
