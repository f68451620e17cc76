// Package dossier makes what is printed: the hand-over book of a fit, with the
// drill to scale, the port map, the key-in sheet, the proof and the sign-off;
// the report of a reviewed day; and the pictures of both, which pages show as
// SVG.
//
// In: the documents of the other packages (fit, proof, rules, events). Out: a
// drawing.Book, which drawing/pdf writes, or single drawing.Sheets, which
// drawing/svg writes. The package computes nothing that another document does
// not hold: it counts, sorts, converts to the reader's units and draws.
//
//	err := dossier.Write(w, dossier.Input{Fit: f, Proof: p, Rules: r, Paper: drawing.A4})
//	err := dossier.WriteReport(w, dossier.Day{Fit: f, Review: res, Recording: "day.csv.zst"})
//	err := views.WriteTop(w, f, views.Options{WidthMM: 260}) // the drill to scale is a room of its own
//
// Pictures of their own: PortMap, Frontier, RunsByTime, Map and Bars.
//
// Every state of a run or an event has a word and a mark or hatch beside its
// colour (see states.go). Nothing is dated by the clock: dates are filled in by
// hand at the sign-off, or come from the documents.
package dossier
