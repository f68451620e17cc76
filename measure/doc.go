// Package measure turns what the program stores into what a person reads, and
// back. It is used at the rim only (pages, paper, flags); nothing is computed
// in display units.
//
// A Quantity is a kind of thing that is measured (Length, Speed, Rate). It has
// a base unit, in which the house stores it: SI, except where the trade's unit
// is the stored one (kg/ha for rates, g for the mass of 1000 seeds). A System
// (Metric or US) picks the unit shown:
//
//	measure.US.Format(measure.Rate, 110)        // "98 lb/ac"
//	measure.Parse(measure.ShortLength, "10 in") // 0.254
//
// The factors are exact: the international yard and pound agreement of 1959
// (1 in = 25.4 mm, 1 lb = 0.45359237 kg), and what follows from them: the acre
// of 43560 square feet, the bushel of 2150.42 cubic inches, the mile of 5280
// feet (NIST Special Publication 811, appendix B).
//
// Numbers are written with a point and without grouping, at a resolution that
// suits the unit; a small number gets more decimals rather than be off by over two percent.
package measure
