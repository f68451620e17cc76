package store

import (
	"context"
	"fmt"

	"runproof/input"
	"runproof/ledger"
)

// Merged is what came of bringing a job's entries into the ledger.
type Merged struct {
	Job     ledger.Job    `json:"job"`
	Added   int           `json:"added"`   // entries that were not there
	Had     int           `json:"had"`     // entries that were
	Renamed bool          `json:"renamed"` // another job has its handle
	Tips    int           `json:"tips"`    // fits that stand: more than one were changed apart
	Doubts  []ledger.Stay `json:"doubts"`  // of serials that this job and others speak of
}

// Merge brings the entries of one job into the ledger; those that are there stay
// as they are. Rules that need the rest of the record are not asked, for two
// ledgers may have gone apart: what does not go together is told, and a person
// decides. Files must have been kept before, but for those erased where they come
// from. The error is an input.Fault where an entry is not what it was.
func (l *Ledger) Merge(ctx context.Context, es []ledger.Entry, c *ledger.Customer, erased map[string]bool) (m Merged, err error) {
	if m.Job, err = ledger.JobOf(es); err != nil {
		return m, err
	}
	for _, e := range es {
		if err := e.Check(); err != nil {
			return m, err
		}
		if e.Job != m.Job.ID {
			return m, input.Fault{What: fmt.Sprintf("entry %s is of another job", e.ID), Remedy: "export it again"}
		}
	}
	if err := l.Write(ctx, func(t *Tx) error { return t.merge(&m, ledger.Sorted(es), c, erased) }); err != nil {
		return m, err
	}
	return m, l.sweep(ctx) // of what came with it, files that are erased here do not come back
}

func (t *Tx) merge(m *Merged, es []ledger.Entry, c *ledger.Customer, erased map[string]bool) error {
	es, err := t.mergeCustomer(m.Job, es, c)
	if err != nil {
		return err
	}
	if err := t.mergeJob(m, es); err != nil {
		return err
	}
	for _, e := range es {
		if err := t.mergeFiles(e, erased); err != nil {
			return err
		}
		if err := t.mergeEntry(m, e); err != nil {
			return err
		}
	}
	all, err := t.History(m.Job.ID)
	if err != nil {
		return err
	}
	m.Tips = len(ledger.Tips(all))
	return t.doubts(m, all)
}

// mergeCustomer keeps the customer where it is new. Of one who was forgotten here
// nothing comes in again.
func (t *Tx) mergeCustomer(j ledger.Job, es []ledger.Entry, c *ledger.Customer) ([]ledger.Entry, error) {
	if j.Customer == "" {
		return es, nil
	}
	known, err := t.Customer(j.Customer)
	switch {
	case err == nil && !known.Forgotten.IsZero() && c != nil:
		traces := ledger.TracesOf(*c)
		for i, e := range es {
			es[i], _ = traces.Redact(e)
		}
		return es, nil
	case err == nil || !none(err) || c == nil:
		if none(err) {
			err = nil
		}
		return es, err
	}
	if err := c.Check(); err != nil {
		return es, err
	}
	if c.ID != j.Customer {
		return es, input.Fault{What: "the customer is not the job's", Remedy: "export it again"}
	}
	return es, t.putCustomer(*c)
}

func (t *Tx) mergeJob(m *Merged, es []ledger.Entry) error {
	if old, err := t.job(m.Job.ID); err == nil {
		m.Job = old
		return nil
	} else if !none(err) {
		return err
	}
	var err error
	if m.Job, err = ledger.JobOf(es); err != nil { // as redacted
		return err
	}
	handle, err := t.FreeHandle(m.Job.Handle, m.Job.ID)
	if err != nil {
		return err
	}
	m.Renamed = handle != m.Job.Handle
	m.Job.Handle = handle
	return t.putJob(m.Job)
}

func (t *Tx) mergeEntry(m *Merged, e ledger.Entry) error {
	var job, body string
	err := t.row(`SELECT job, body FROM entry WHERE id = $1`, string(e.ID)).Scan(&job, &body)
	switch {
	case none(err):
		m.Added++
		return t.put(e)
	case err != nil:
		return err
	case body == string(e.Canonical()) || job == string(e.Job) && t.wasForgotten(m.Job):
		m.Had++
		return nil
	}
	return input.Fault{What: fmt.Sprintf("entry %s of %s is here already and says something else", e.ID, ledger.Stamp(e.At)), Remedy: "entries are never changed: find out which of the two ledgers was tampered with"}
}

// mergeFiles wants the files of an entry to be here, or erased on either side.
func (t *Tx) mergeFiles(e ledger.Entry, erased map[string]bool) error {
	gone, err := t.Erased()
	if err != nil {
		return err
	}
	for _, f := range e.Files {
		there, err := t.l.files.Exists(t.ctx, key(f.SHA256))
		switch {
		case err != nil:
			return err
		case there || gone[f.SHA256]:
		case !erased[f.SHA256]:
			return &Missing{File: f}
		default:
			if err := t.erased(f); err != nil {
				return err
			}
		}
	}
	return nil
}

func (t *Tx) wasForgotten(j ledger.Job) bool {
	c, err := t.Customer(j.Customer)
	return err == nil && !c.Forgotten.IsZero()
}

// doubts are those of every serial that the job speaks of.
func (t *Tx) doubts(m *Merged, es []ledger.Entry) error {
	m.Doubts = []ledger.Stay{}
	asked := map[string]bool{}
	for _, e := range es {
		for _, s := range ledger.SerialsOf(e) {
			if asked[s] {
				continue
			}
			asked[s] = true
			moves, err := t.Moves(s)
			if err != nil {
				return err
			}
			for _, st := range ledger.Stays(moves) {
				if st.Doubt != "" {
					m.Doubts = append(m.Doubts, st)
				}
			}
		}
	}
	return nil
}
