package store

import (
	"fmt"
	"strings"
	"time"

	"runproof/input"
	"runproof/ledger"
)

// NewJob opens a job. The error is an input.Fault where one has that handle.
func (t *Tx) NewJob(o ledger.Opening, by, why string, at time.Time) (ledger.Job, error) {
	id, err := t.l.newID()
	if err != nil {
		return ledger.Job{}, err
	}
	j := ledger.Job{ID: id, Handle: o.Handle, Title: o.Title, Customer: o.Customer}
	if old, err := t.Job(o.Handle); err == nil {
		return old, input.Fault{What: fmt.Sprintf("the ledger has a job %s already: %s", old.Handle, old.Title), Remedy: "add to it, or give another --handle"}
	}
	e, err := t.stamped(ledger.Entry{Job: id, Kind: ledger.Opened, By: by, Why: why, Opening: &o}, at)
	if err != nil {
		return j, err
	}
	if err := (ledger.Admission{Job: j}).Admit(e); err != nil {
		return j, err
	}
	if err := t.putJob(j); err != nil {
		return j, err
	}
	return j, t.put(e)
}

func (t *Tx) putJob(j ledger.Job) error {
	return t.exec(`INSERT INTO job (id, handle, title, customer, search) VALUES ($1, $2, $3, $4, '')`, string(j.ID), j.Handle, j.Title, string(j.Customer))
}

// FreeHandle is the handle where no other job has it, else one like it.
func (t *Tx) FreeHandle(handle string, id ledger.ID) (string, error) {
	var other string
	err := t.row(`SELECT id FROM job WHERE handle = $1`, handle).Scan(&other)
	switch {
	case none(err) || err == nil && other == string(id):
		return handle, nil
	case err != nil:
		return "", err
	}
	return handle[:min(len(handle), 53)] + "-" + strings.ToLower(id.Short()), nil
}
