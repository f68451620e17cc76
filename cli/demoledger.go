package cli

import (
	"context"
	"fmt"
	"os"
	"time"

	"runproof/ledger"
	"runproof/store"
)

// demoClock goes on by a minute at each look, from after the demo's season.
func demoClock() func() time.Time {
	at := time.Date(2026, 6, 15, 8, 0, 0, 0, time.UTC)
	return func() time.Time {
		at = at.Add(time.Minute)
		return at
	}
}

// ledger puts the job into a ledger of its own, as it happened, has a node
// exchanged, and packs the job.
func (d *demoRun) ledger() error {
	db, files := d.path("ledger.db"), d.path("ledger.db.files")
	for _, name := range []string{db, db + "-wal", db + "-shm", files} { // that of a demo before
		if err := os.RemoveAll(name); err != nil {
			return err
		}
	}
	const job = "north-quarter"
	for _, args := range [][]string{
		{"job", "new", "North Quarter", "--customer", "A. Grower", "--reach", "by the mill, third gate", "--drill", d.path("drill.yaml"), "--fit", d.path("fit.json"), "--on", "2026-04-10"},
		{"job", "add-log", job, d.path("walk-1", "walk.csv.gz"), "--walk", "--with", d.path("walk-1", "marks.csv")},
		{"job", "add", job, d.path("walk-1", "proof.json"), "--on", "2026-04-28T09:30", "--note", "two hoses swapped, a sensor dead"},
		{"job", "add", job, d.path("walk-2", "proof.json"), d.path("fit-proved.json"), "--on", "2026-04-29T15:00"},
		{"job", "add", job, d.path("rules.json"), "--on", "2026-04-30", "--note", "keyed in"},
		{"job", "add-log", job, d.path("day", "day.csv.gz")},
		{"job", "add", job, d.path("review"), "--on", "2026-05-13"},
		{"visit", job, "opener of A-7 worn, new boot", "--on", "2026-05-20T10:00"},
		{"swap", job, string(demoLooseRun), "--part", "sensor", "--why", "came loose every other day", "--gone", "scrapped", "--on", "2026-05-28"},
		{"swap", job, "4118", "4140", "--why", "a port dead", "--gone", "returned", "--on", "2026-06-02"},
		{"job", "export", job, "-o", d.path(job + ".zip")},
	} {
		if args[1] != "export" {
			args = append(args, "--by", "the technician")
		}
		if err := d.do(append(args, "--db", db, "--files", files)...); err != nil {
			return err
		}
	}
	return d.whereabouts(db, files)
}

// whereabouts asks where the node that was exchanged is.
func (d *demoRun) whereabouts(db, files string) error {
	l, err := ledgerFlags{DB: db, Files: files}.open(d.s)
	if err != nil {
		return err
	}
	defer l.Close()
	return l.Read(context.Background(), func(tx *store.Tx) error {
		moves, err := tx.Moves("4118")
		if st, ok := ledger.Now(ledger.Stays(moves)); ok {
			d.say("ledger", "node 4118 exchanged for 4140", fmt.Sprintf("4118: %s since %s", st.Fate, st.Since.Format(time.DateOnly)))
		}
		return err
	})
}
