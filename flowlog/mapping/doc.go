// Package mapping is the document that says what a recording of any shape
// means: which column is which port, in which unit, how time is written, and
// whether a count is of its own line or runs on and wraps.
//
//	m, err := mapping.Read(f, "map.yaml")
//	r, err := mapping.NewText(src, "day.txt", m) // text files of any form
//	r, err = mapping.Apply(r, m, keep)           // any reader
//
// NewText gives the cells under the names of the file's head, nothing more.
// Apply works on any reader: it renames, reckons units, takes differences of
// counts that run on, and gathers records that carry a part each (CAN frames,
// sensors that report in turn) into rows that carry all. What the document does
// not name is kept as it is. Texts with a line for each run, and not one for all,
// name the column of runs and that of counts under line.
//
// Propose looks at a sample and writes the document that would read it, for a
// person to correct.
package mapping
