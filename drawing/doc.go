// Package drawing is the one drawing code for screen and paper: shapes and
// text in millimetres on sheets, which drawing/svg writes for a page and
// drawing/pdf for a printer.
//
// A Sheet is a page or a picture; its origin is the top left corner, x runs to
// the right and y down. A Sheet keeps what was drawn as a list of three kinds
// of item, Path, Disc and Text, in painting order, so that a renderer has
// little to do and a test can read what is on the page. Everything else is made
// of these: arcs are polylines within 0.02 mm of the arc, hatches are lines cut
// to their polygon (no renderer needs pattern fills or clipping).
//
// Above the shapes stand the parts that every document needs: a View that maps
// metres to the sheet at a stated scale, Axis and Plot for graphs, scale bar,
// north arrow, dimension lines and legends, and a Flow that fills pages with
// headings, paragraphs, pictures and tables whose header repeats on each page.
//
// Colour never speaks alone. A State joins a colour of the Okabe-Ito set
// (Okabe and Ito 2002, Color Universal Design) with a hatch, a mark and a word.
//
//	s := drawing.NewSheet(drawing.Size{WMM: 60, HMM: 20})
//	s.Rect(drawing.Rect{X: 5, Y: 5, W: 50, H: 10}, drawing.Thin, drawing.NoInk)
//	s.Text(drawing.Point{X: 30, Y: 12}, "C-7", drawing.TextStyle{SizePT: 10, Align: drawing.Centre})
//	err := svg.Write(w, s, svg.Options{})
//
// The package knows nothing of drills: what to draw is decided elsewhere.
package drawing
