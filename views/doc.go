// Package views draws a fit to scale, for screen and paper: the drill from above
// with its rows, heads, hoses, nodes and sections; the harness along the frame;
// the outfit from the side with gateway, antenna and cab; the linkage that the
// work-state switch sits on.
//
// In: a fit. Out: a drawing.Sheet, or part of one:
//
//	err := views.WriteTop(w, f, views.Options{WidthMM: 260})          // SVG, stands alone
//	used := views.DrawTop(sheet, area, f, views.Hoses|views.Sections) // within a page
//	used = views.DrawHarness(sheet, area, f)
//	used = views.DrawSide(sheet, area, f)
//	err = views.WritePDF(w, f, views.Options{})                       // all views, a page each
//
// Words find room of their own: none lies over another, as few as can be over
// lines; a leg without room for its name is listed below. Where nothing is to be seen a long way is cut and says how much is
// missing.
package views
