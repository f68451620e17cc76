// Package demo holds the demo job: a drill of our own invention, its serial
// numbers, a dealer with prices and stock, and the scenarios of a walk, a catch test,
// a baseline and a field day. Nobody's drill, shop, field or recording stands behind it.
package demo

import "embed"

// Files are drill.yaml, serials.txt, the dealer's files, the grower's assumptions, and the scenarios of two
// walks, a catch test, a baseline, a day and the days after it, with what was repaired then.
//
//go:embed drill.yaml serials.txt dealer.yaml prices.yaml stock.csv assumptions.yaml walk.yaml walk-again.yaml catch.yaml baseline.yaml day.yaml season.yaml repairs.yaml
var Files embed.FS
