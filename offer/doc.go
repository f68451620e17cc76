// Package offer turns a kit into what a dealer sends and picks by: a table (CSV,
// XLSX) and a quote in the dealer's own name (PDF).
//
//	offer.WriteCSV(w, kit)
//	offer.WriteXLSX(w, kit, heading)
//	offer.Write(w, offer.Input{Fit: f, Kit: kit, Settings: s})
//
// Settings are a YAML file of the dealer's, read strictly:
//
//	runproof: settings/1
//	dealer: {name: Hollow Creek Implements, address: ["4 Elevator Road", "Hollow Creek"], phone: "...", email: "..."}
//	currency: EUR
//	tax: {name: VAT, percent: 19}
//	labour: {rate: 85, hours: 6, hours_per_node: 0.5, hours_per_sensor: 0.1}
//	markup_percent: 0
//	valid_days: 30
//	terms: ["Parts are delivered ex works."]
//	quote: {number: Q-2026-117, date: "2026-03-02"}
//	customer: {name: ..., address: [...]}
//
// Money is reckoned in hundredths of the currency: each line is rounded once,
// half away from zero, then summed; the tax is rounded once on the sum. There is
// no clock in it: the date is the one in the file.
package offer
