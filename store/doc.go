// Package store keeps the ledger: entries in one SQLite file or in PostgreSQL,
// files as blobs under their hash in a folder or a bucket.
//
//	l, err := store.Open(ctx, store.Config{DB: "runproof.db", Now: time.Now, Chance: rand.Reader})
//	file, err := l.Keep(ctx, "day.parquet", r)               // first the bytes,
//	err = l.Write(ctx, func(tx *store.Tx) error {            // then the entry that
//		_, err := tx.Append(job, store.Draft{Kind: ledger.Log, By: "Ana", Files: []ledger.File{file}})
//		return err                                           // speaks of them
//	})
//
// Rules of the record stand in package ledger; this one reads what they need,
// asks them, and writes. What holds:
//
//   - One set of queries for both databases; $1, $2 are the arguments.
//   - One writer at a time: SQLite's own lock (begin immediate), in PostgreSQL an
//     advisory lock that each writing transaction takes first. So a rule that was
//     asked still holds when its entry is written, and nobody's work is lost.
//   - What Write has returned from is on the disk (synchronous full; blobs are
//     synced before). A process killed before leaves at most a blob that nobody
//     speaks of.
//   - Tables of moves, files and search text are worked out from the entries, in
//     the same transaction; Refold does it again from nothing.
//   - Migrations go forward only. A ledger of a newer program is refused.
package store
