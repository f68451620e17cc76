package store

import (
	"database/sql"
	"errors"
	"fmt"
	"strings"

	"runproof/input"
	"runproof/ledger"
)

// History are the entries of a job in the order of their happening.
func (t *Tx) History(job ledger.ID) ([]ledger.Entry, error) {
	return t.entries(`SELECT body FROM entry WHERE job = $1 ORDER BY at, id`, string(job))
}

// entries are those whose bodies a query gives.
func (t *Tx) entries(query string, args ...any) (es []ledger.Entry, err error) {
	err = t.each(func(r *sql.Rows) error {
		e, err := scanEntry(r)
		es = append(es, e)
		return err
	}, query, args...)
	return es, err
}

// Moves is what all jobs say of a serial number.
func (t *Tx) Moves(serial string) (ms []ledger.Move, err error) {
	err = t.each(func(r *sql.Rows) error {
		e, err := scanEntry(r)
		for _, m := range e.Moves() {
			if m.Serial == serial {
				ms = append(ms, m)
			}
		}
		return err
	}, `SELECT e.body FROM serial_move m JOIN entry e ON e.id = m.entry WHERE m.serial = $1 ORDER BY e.at, e.id`, serial)
	return ms, err
}

// SerialsLike are serial numbers that begin so, in their order: for a remedy.
func (t *Tx) SerialsLike(start string, most int) (out []string, err error) {
	err = t.each(func(r *sql.Rows) error {
		var s string
		out = append(out, s)
		return r.Scan(&out[len(out)-1])
	}, `SELECT DISTINCT serial FROM serial_move WHERE serial LIKE $1 ESCAPE '\' ORDER BY serial LIMIT $2`, escaped(start)+"%", most)
	return out, err
}

// Job is the job that a person means: by its handle or its id.
func (t *Tx) Job(name string) (ledger.Job, error) {
	var jobs []ledger.Job
	err := t.each(func(r *sql.Rows) error {
		j, err := scanJob(r)
		jobs = append(jobs, j)
		return err
	}, `SELECT id, handle, title, customer FROM job WHERE handle = $1 OR id = $2 ORDER BY id`, strings.ToLower(name), strings.ToUpper(name))
	switch {
	case err != nil:
		return ledger.Job{}, err
	case len(jobs) == 0:
		return ledger.Job{}, t.noJob(name)
	}
	return jobs[0], nil
}

func (t *Tx) noJob(name string) error {
	var handles []string
	if err := t.each(func(r *sql.Rows) error {
		handles = append(handles, "")
		return r.Scan(&handles[len(handles)-1])
	}, `SELECT handle FROM job ORDER BY handle`); err != nil {
		return err
	}
	remedy := "list the jobs with runproof job list"
	if near, ok := input.Nearest(name, handles); ok {
		remedy = "did you mean " + near + "?"
	}
	return input.Fault{What: fmt.Sprintf("the ledger has no job %q", name), Remedy: remedy}
}

func (t *Tx) job(id ledger.ID) (ledger.Job, error) {
	var j ledger.Job
	err := t.row(`SELECT id, handle, title, customer FROM job WHERE id = $1`, string(id)).Scan(&j.ID, &j.Handle, &j.Title, &j.Customer)
	return j, err
}

func scanJob(r *sql.Rows) (j ledger.Job, err error) {
	err = r.Scan(&j.ID, &j.Handle, &j.Title, &j.Customer)
	return j, err
}

// Found is a job in a list.
type Found struct {
	ledger.Job
	Customer string `json:"customer,omitempty"` // name
	Entries  int    `json:"entries"`
	Last     string `json:"last"` // when the last entry happened, UTC
}

// Search are the jobs that hold every word asked for, by handle: at most most of
// them, and how many there are. No words find all.
func (t *Tx) Search(words string, most int) (found []Found, of int, err error) {
	where, args := "1 = 1", []any{}
	for _, w := range ledger.Terms(words) {
		args = append(args, "%"+escaped(w)+"%")
		where += fmt.Sprintf(` AND j.search LIKE $%d ESCAPE '\'`, len(args))
	}
	if err := t.row(`SELECT COUNT(*) FROM job j WHERE `+where, args...).Scan(&of); err != nil {
		return nil, 0, err
	}
	err = t.each(func(r *sql.Rows) error {
		var f Found
		err := r.Scan(&f.ID, &f.Handle, &f.Title, &f.Job.Customer, &f.Customer, &f.Entries, &f.Last)
		found = append(found, f)
		return err
	}, fmt.Sprintf(`SELECT j.id, j.handle, j.title, j.customer, COALESCE(c.name, ''),
		(SELECT COUNT(*) FROM entry e WHERE e.job = j.id), (SELECT MAX(e.at) FROM entry e WHERE e.job = j.id)
		FROM (SELECT id, handle, title, customer FROM job j WHERE %s ORDER BY handle LIMIT $%d) j
		LEFT JOIN customer c ON c.id = j.customer ORDER BY j.handle`, where, len(args)+1), append(args, most)...)
	return found, of, err
}

// escaped is s for a pattern of LIKE, in which it means itself.
func escaped(s string) string {
	return strings.NewReplacer(`\`, `\\`, `%`, `\%`, `_`, `\_`).Replace(s)
}

// Customer is the customer of that id; one that was forgotten has no name.
func (t *Tx) Customer(id ledger.ID) (c ledger.Customer, err error) {
	return scanCustomer(t.row(`SELECT id, name, reach, forgotten FROM customer WHERE id = $1`, string(id)))
}

func none(err error) bool { return errors.Is(err, sql.ErrNoRows) }
