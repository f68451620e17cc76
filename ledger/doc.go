// Package ledger is the record that outlives people: what was fitted, proved,
// set, swapped, seen and said, for every drill.
//
// A job is one drill's file. Its history is a set of entries, each with an id of
// its own, who wrote it, when it happened, when it was noted, and why. An entry
// is never changed and never taken out (but see Redact): what is known of a job
// is worked out from its entries, in the order of (At, ID), and so two ledgers
// that hold the same entries say the same, whatever way they came by them.
//
//	entries -> Tips          fits that no later fit follows: one, or a conflict
//	entries -> Moves -> Stays   where each serial number has been, until when
//	entries -> SearchText    what a job is found by
//
// Fits are revisions that say which they follow. A revision that follows
// anything but what stands is Stale: somebody else was there first, and a person
// decides. Serials may be at one place at a time; a fit that places one which the
// record has elsewhere is a Doubt, refused unless a person says that it was moved.
//
// Files (recordings, pictures, documents) are named by the SHA-256 of their
// bytes. Of customers only what a workshop needs is kept: a name, and how to
// reach them. No clock, no chance, no database: ids and times are arguments, and
// package store keeps it all.
package ledger
