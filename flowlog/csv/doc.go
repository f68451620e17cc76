// Package csv reads and writes flow logs as comma-separated text.
//
//	time,lat,lon,work,sec:S1,4103:1,4103:2
//	2026-05-12T09:15:30.2Z,51.2,-106.3,1,1,17,21
//	2026-05-12T09:15:30.4Z,51.2000039,-106.3,1,1,16,
//
// The grammar, on top of RFC 4180:
//
//	log    = [BOM] head {line}               UTF-8; lines end in LF or CR LF,
//	                                         the last one perhaps in nothing
//	head   = name {"," name}                 one name is "time", none comes twice
//	line   = cell {"," cell}                 as many cells as names
//	cell   = [time | number | state]         empty is "not reported", never 0
//	time   = RFC 3339 | ["-"] seconds        one form in the whole file
//	number = ["-"|"+"] digits ["." digits] ["e" ["-"|"+"] digits]
//	state  = "0" | "1" | "true" | "false"    for work and sec:<id>
//
// Names are those of flowlog.ColumnNamed. Cells may stand in quotes and may
// have blanks around them; empty lines are skipped. Time is strictly
// increasing, counts are not negative; the first line that breaks a rule ends
// the reading with a fault that names file, line, byte in the line, and column.
// NaN, Inf and words such as null are faults: they say nothing that an empty
// cell does not say, and hide mistakes.
//
// A line may have at most 16 MiB, a log at most flowlog.MaxColumns columns, so
// that no input makes the reader ask for much memory.
//
// Compression is not this package's business; see formats.
package csv
