package views

import (
	"io"

	"runproof/drawing"
	"runproof/drawing/pdf"
	"runproof/drawing/svg"
	"runproof/fit"
)

// Layer is what a top view shows beside rows, ranks and heads, any of them
// together. The zero Layer stands for what the view usually shows.
type Layer uint

// The layers.
const (
	Hoses    Layer = 1 << iota // from each head to its openers
	Sections                   // what is shut off together, under the rows
	Tubes                      // from each node to the sensors that its ports listen to
)

// UsualTop is what the top view shows where nothing else is asked for.
const UsualTop = Hoses | Sections | Tubes

func (l Layer) has(k Layer) bool { return l&k != 0 }

func (l Layer) orUsual(usual Layer) Layer {
	if l == 0 {
		return usual
	}
	return l
}

// Options say how large a picture is and what it shows. The zero value is a
// picture as wide as a landscape page of A4 without its margins.
type Options struct {
	WidthMM float64 // 0 = 260
	Show    Layer   // 0 = what the view usually shows
}

const (
	usualWidthMM = 260
	marginMM     = 5.0
)

func (o Options) widthMM() float64 {
	if o.WidthMM <= 0 {
		return usualWidthMM
	}
	return o.WidthMM
}

// Top draws the drill to scale, seen from above with forward up: rows by rank,
// heads and their hoses, nodes with the tubes to their sensors, sections, and
// dimension lines. The sheet is as
// high as the drawing needs.
func Top(f *fit.Fit, o Options) *drawing.Sheet {
	return grown(o.widthMM(), "Plan of "+NameOf(&f.Drill)+", seen from above", func(s *drawing.Sheet, r drawing.Rect) float64 {
		return DrawTop(s, r, f, o.Show)
	})
}

// WriteTop writes the top view as an SVG picture that stands alone, with its
// typeface.
func WriteTop(w io.Writer, f *fit.Fit, o Options) error { return write(w, Top(f, o)) }

func write(w io.Writer, s *drawing.Sheet) error {
	return svg.Write(w, s, svg.Options{Font: svg.Embedded})
}

// grown makes a sheet of a width, lets draw fill a square of it from the top,
// and ends it where the drawing ends.
func grown(widthMM float64, title string, draw func(*drawing.Sheet, drawing.Rect) float64) *drawing.Sheet {
	s := drawing.NewSheet(drawing.Size{WMM: widthMM, HMM: widthMM})
	s.Title = title
	s.Size.HMM = draw(s, s.Bounds().Inset(marginMM)) + 2*marginMM
	return s
}

// Sheets are the views of a fit: from above, the harness where it has one, and
// from the side.
func Sheets(f *fit.Fit, o Options) []*drawing.Sheet {
	sheets := []*drawing.Sheet{Top(f, o)}
	if len(f.Harness.Legs) > 0 {
		sheets = append(sheets, Harness(f, o))
	}
	return append(sheets, Side(f, o))
}

// WritePDF writes Sheets as a PDF, each as a page of its own size.
func WritePDF(w io.Writer, f *fit.Fit, o Options) error {
	info := drawing.Info{Title: "Views of " + NameOf(&f.Drill), Subject: "Drill, harness and outfit to scale", Author: "Runproof"}
	return pdf.Write(w, &drawing.Book{Info: info, Sheets: Sheets(f, o)})
}
