// Package flowlog holds particle counts over time, as a recorder wrote them:
// one line a sample, one column a port, and beside them position, speed, work
// state and section states where the recorder knew them.
//
// A Log is the whole recording in memory, column by column. A Reader gives the
// same recording batch by batch, so that a day of any length is read in flat
// memory. The file formats live in sub-packages (csv, parquet); formats asks
// each whether a file is its own.
//
// Three rules hold everywhere: time is strictly increasing; a count is the
// particles since the line before; "not reported" is NaN and never the same as
// 0 (Missing makes one, IsMissing asks).
package flowlog
