// Package flowlog holds particle counts over time, as a recorder wrote them:
// one line a sample, one column a port, and beside them position, speed, work
// state and section states where the recorder knew them.
//
// A Log is the whole recording in memory, column by column. A Reader gives the
// same recording batch by batch, so that a day of any length is read in flat
// memory; Ahead lets it read in the background. Columns of small counts may come
// a byte a sample to whoever asks for that (NarrowReader). The file formats live in
// sub-packages (csv, parquet); formats asks each whether a file is its own.
//
// Four rules hold in every log that a format's reader gives: there is at least
// one sample; time is strictly increasing; a count is the particles since the
// line before, and not negative; "not reported" is NaN and never the same as 0
// (Missing makes one, IsMissing asks). A file that breaks a rule is an
// input.Fault that names the place, and what stands before it has been given.
//
// Bind joins the columns to a fit: which column tells of which run, which are
// spare, which nobody knows. Summarize says in one reading what a log holds:
// span, interval, gaps, what each column left out, flow in broad strokes.
package flowlog
