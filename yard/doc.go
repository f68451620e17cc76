// Package yard makes the papers that a technician works from, at the bench and
// beside the drill: the pre-assembly sheet, the staging sheet, the run sheet
// and the labels. Somebody who reads nothing else must be able to fit the drill.
//
// In: a fit as runproof plan wrote it. Out: documents of pages, which
// drawing/pdf writes as one file each and drawing/svg as one file a page:
//
//	docs, err := yard.Sheets(yard.Input{Fit: f, Paper: drawing.A4})
//
// The package plans nothing. Every length, volt and ohm on a sheet stands in
// the fit; where the fit has no harness, voltages, bus, radio or work-state
// switch, the sheet says so and how to come by it.
//
// Labels. The text that tells one label from another has capitals of at least
// 5 mm, to be read at 1 m: h = d/200 (Federal Aviation Administration, Human
// Factors Design Standard, as a rough estimate), that is 17 minutes of arc;
// ISO 9241-3 asks for at least 16' and prefers 20' to 22' (as quoted by
// NUREG-0700 rev. 2, 1.3.1-4, which gives h = 6.283 d a/21600: 4.65 mm and
// 5.82 mm at 1 m), and the text is as large as its label lets it be. Beside it
// stands a QR code (ISO/IEC 18004) of error correction M with a quiet zone of
// four modules, drawn as outlines. It holds plain text:
//
//	code  = "RP1" { ";" key "=" value }
//	key   = "job" | "node" | "port" | "run" | "leg" | "end"
//	value = bytes of UTF-8; "%", ";", "=" and all that is no printable
//	        character of ASCII as % and two upper-case hexadecimal digits
//
//	RP1;job=North Quarter;node=4103;port=7;run=A-7
//	RP1;job=North Quarter;node=4103
//	RP1;job=North Quarter;leg=L3;end=J1
//	RP1;job=North Quarter;end=J1            a junction
//	RP1;job=North Quarter;node=4106;end=switch
//
// RP1 is the version; a reader passes over keys that it does not know.
package yard
