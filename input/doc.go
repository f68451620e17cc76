// Package input holds what is wrong with something a person wrote: where it
// stands, what is wrong there, and what would be right.
//
// A reader collects every fault of a document before it gives up, and returns
// them together as Faults, which is an error:
//
//	drill.yaml:14:9: head C feeds row 49, but the drill has 48 rows; check rows.count or the head's list
//
// Place, fault, remedy: the three parts of every message. Nearest offers the
// valid word closest to a misspelt one. The package knows no file formats.
package input
