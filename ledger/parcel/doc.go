// Package parcel packs one job into one zip that anybody can read, without
// Runproof: a page to open first, the drill, the fit, flow logs as Parquet,
// papers as PDF. And it unpacks it again.
//
//	index.html        the history in words, with a link to every file
//	job.json          the same for programs: parcel/1
//	drill.yaml        the drill as last described
//	fit.json          the fit that stands
//	dossier.pdf       the hand-over book, where there is a fit
//	files/2026-05-12-log-k3f9qz/day.csv.gz      files of the entries, as they came in
//	flow/2026-05-12-log-k3f9qz/day.parquet      recordings in other forms, as Parquet
//
// job.json names each file of an entry by its hash and by its place in the zip; what stands beside
// (drill.yaml, fit.json, flow/, *.pdf) was made from those and is not read back.
// The same job gives the same bytes. Read takes nothing on trust: lengths are
// bounded before they are unpacked, and every file must have the hash that is
// said of it.
package parcel
