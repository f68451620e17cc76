package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"runproof/input"
	"runproof/ledger"
)

// Tx is one transaction: all that is written in it comes to be, or nothing.
type Tx struct {
	l   *Ledger
	tx  *sql.Tx
	ctx context.Context
}

// Write runs fn alone among all writers of the ledger. When it returns nil and
// Write does, what it wrote is kept; else nothing of it is.
func (l *Ledger) Write(ctx context.Context, fn func(*Tx) error) error {
	return l.run(ctx, true, fn)
}

// Read runs fn on the ledger as it is at one moment.
func (l *Ledger) Read(ctx context.Context, fn func(*Tx) error) error {
	return l.run(ctx, false, fn)
}

func (l *Ledger) run(ctx context.Context, write bool, fn func(*Tx) error) error {
	tx, err := l.begin(ctx, write)
	if err != nil {
		return fmt.Errorf("the ledger cannot be used now: %w", err)
	}
	defer tx.Rollback()
	if err := fn(&Tx{l: l, tx: tx, ctx: ctx}); err != nil {
		return err
	}
	return tx.Commit()
}

func (t *Tx) exec(query string, args ...any) error {
	_, err := t.tx.ExecContext(t.ctx, t.l.d.rebind(query), args...)
	return err
}

func (t *Tx) row(query string, args ...any) *sql.Row {
	return t.tx.QueryRowContext(t.ctx, t.l.d.rebind(query), args...)
}

// each runs a query and gives its rows to fn.
func (t *Tx) each(fn func(*sql.Rows) error, query string, args ...any) error {
	rows, err := t.tx.QueryContext(t.ctx, t.l.d.rebind(query), args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		if err := fn(rows); err != nil {
			return err
		}
	}
	return rows.Err()
}

// Draft is an entry that wants to come in; the ledger gives it an ID and the time
// at which it is noted. A zero At is that time.
type Draft struct {
	Kind     ledger.Kind
	At       time.Time
	By, Why  string
	Text     string
	Files    []ledger.File
	Revision *ledger.Revision
	Exchange *ledger.Exchange
	Moved    bool // a person says that doubtful moves of serials are so
}

// Append adds an entry to a job's history. The error is an input.Fault, a
// ledger.Stale or a ledger.Doubt where the rules of the record refuse it.
func (t *Tx) Append(job ledger.Job, d Draft) (ledger.Entry, error) {
	e := ledger.Entry{Job: job.ID, Kind: d.Kind, By: d.By, Why: d.Why, Text: d.Text, Files: d.Files, Revision: d.Revision, Exchange: d.Exchange}
	history, err := t.History(job.ID)
	if err == nil {
		e, err = t.stamped(e, d.At)
	}
	if err != nil {
		return e, err
	}
	return e, t.admit(ledger.Admission{Job: job, History: history, Moved: d.Moved}, e)
}

func (t *Tx) stamped(e ledger.Entry, at time.Time) (ledger.Entry, error) {
	id, err := t.l.newID()
	e.ID = id
	e.Noted = ledger.Instant(t.l.now())
	e.At = e.Noted
	if !at.IsZero() {
		e.At = ledger.Instant(at)
	}
	return e, err
}

// admit asks the rules and writes the entry.
func (t *Tx) admit(a ledger.Admission, e ledger.Entry) (err error) {
	a.Known = map[string][]ledger.Move{}
	for _, s := range ledger.SerialsOf(e) {
		if a.Known[s], err = t.Moves(s); err != nil {
			return err
		}
	}
	if err := a.Admit(e); err != nil {
		return t.named(err)
	}
	for _, f := range e.Files {
		if there, err := t.l.files.Exists(t.ctx, key(f.SHA256)); err != nil {
			return err
		} else if !there {
			return &Missing{File: f}
		}
		if err := t.exec(`DELETE FROM erased_file WHERE sha256 = $1`, f.SHA256); err != nil { // a person has brought it back
			return err
		}
	}
	return t.put(e)
}

// named gives a doubt the handle of the job that it is about.
func (t *Tx) named(err error) error {
	var d ledger.Doubt
	if errors.As(err, &d) {
		if j, found := t.job(d.Before.Job); found == nil {
			d.Job = j.Handle
		}
		return d
	}
	return err
}

// put writes an entry and what is worked out from it.
func (t *Tx) put(e ledger.Entry) error {
	if err := t.exec(`INSERT INTO entry (id, job, kind, at, body) VALUES ($1, $2, $3, $4, $5)`,
		string(e.ID), string(e.Job), e.Kind.String(), ledger.Stamp(e.At), string(e.Canonical())); err != nil {
		return err
	}
	if err := t.putParts(e); err != nil {
		return err
	}
	if e.Kind == ledger.Fit || e.Kind == ledger.Swap || e.Kind == ledger.Opened {
		return t.reindex(e.Job)
	}
	return nil
}

func (t *Tx) putParts(e ledger.Entry) error {
	for i, f := range e.Files {
		if err := t.exec(`INSERT INTO entry_file (entry, place, sha256) VALUES ($1, $2, $3)`, string(e.ID), i, f.SHA256); err != nil {
			return err
		}
	}
	for i, s := range ledger.SerialsOf(e) {
		if err := t.exec(`INSERT INTO serial_move (entry, place, serial) VALUES ($1, $2, $3)`, string(e.ID), i, s); err != nil {
			return err
		}
	}
	return nil
}

// reindex writes anew what a job is found by.
func (t *Tx) reindex(job ledger.ID) error {
	es, err := t.History(job)
	if err != nil {
		return err
	}
	var c ledger.Customer
	if j, err := ledger.JobOf(es); err == nil && j.Customer != "" {
		if c, err = t.Customer(j.Customer); err != nil && !none(err) { // one of another ledger may not be known here
			return err
		}
	}
	return t.exec(`UPDATE job SET search = $1 WHERE id = $2`, ledger.SearchText(es, c), string(job))
}

// refold works out from the entries alone all that is worked out from them, as
// form v of the ledger has it.
func (t *Tx) refold(v int) error {
	for _, table := range []string{"entry_file", "serial_move"} {
		if err := t.exec("DELETE FROM " + table); err != nil {
			return err
		}
	}
	all, err := t.entries(`SELECT body FROM entry ORDER BY job, at, id`)
	if err != nil {
		return err
	}
	for _, e := range all {
		if err := t.putParts(e); err != nil {
			return err
		}
		if v >= 2 && e.Kind == ledger.Opened {
			if err := t.reindex(e.Job); err != nil {
				return err
			}
		}
	}
	return nil
}

// Refold works out again all that is worked out from the entries.
func (t *Tx) Refold() error { return t.refold(form) }

func scanEntry(r *sql.Rows) (e ledger.Entry, err error) {
	var body string
	if err := r.Scan(&body); err != nil {
		return e, err
	}
	if err := json.Unmarshal([]byte(body), &e); err != nil {
		return e, input.Fault{What: "an entry of the ledger cannot be read: " + err.Error(), Remedy: "restore the ledger from a backup"}
	}
	return e, nil
}
