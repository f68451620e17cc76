// Package formats opens a flow log in whatever format it is, and writes one in
// the format that its name asks for.
//
//	r, closer, err := formats.Open(formats.Source{Name: "day.log", Stream: f, At: f, Size: size})
//	w, err := formats.Create("day.parquet", out, r.Schema())
//
// Reading goes by content: gzip and Zstandard are unpacked, then each format is
// asked whether the first bytes are its own, and text gets what is left. Writing
// goes by the end of the name: .csv, .csv.gz, .csv.zst, .parquet. Both work in
// memory that does not grow with the log.
//
// A new format is one file here with a type that implements Format (and Creator,
// if it can be written), one entry in the list of all, and a package of its own
// for the work. It then passes the battery in this package's tests: round trip,
// faults with their places, files cut anywhere, flat memory.
package formats
