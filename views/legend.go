package views

import "runproof/drawing"

// legend writes samples with their words in lines within r.
type legend struct {
	*drawing.Sheet
	r     drawing.Rect
	at    drawing.Point
	small drawing.TextStyle
}

const legendLineMM = 4.2

// newLegend begins at the top left of r.
func newLegend(s *drawing.Sheet, r drawing.Rect, small drawing.TextStyle) *legend {
	return &legend{s, r, drawing.Point{X: r.X, Y: r.Y + legendLineMM/2}, small}
}

// entry draws a sample of a width [mm] and its word, on the next line if there
// is no room left on this one.
func (l *legend) entry(sampleMM float64, word string, sample func(drawing.Point)) {
	wide := sampleMM + 1.5 + l.small.WidthMM(word)
	if l.at.X > l.r.X && l.at.X+wide > l.r.Right() {
		l.at = drawing.Point{X: l.r.X, Y: l.at.Y + legendLineMM}
	}
	sample(l.at)
	l.Label(l.at.Add(sampleMM+1.5, 0), word, l.small)
	l.at.X += wide + 4
}

// line is an entry for a pen.
func (l *legend) line(p drawing.Pen, word string) {
	l.entry(9, word, func(q drawing.Point) { l.Line(q, q.Add(9, 0), p) })
}
