// Package views draws a fit to scale, for screen and paper: the drill from
// above with its rows, heads, hoses, nodes and sections.
//
// In: a fit. Out: a drawing.Sheet, or part of one:
//
//	err := views.WriteTop(w, f, views.Options{WidthMM: 260})          // SVG, stands alone
//	used := views.DrawTop(sheet, area, f, views.Hoses|views.Sections) // within a page
package views
