package store

import (
	"database/sql"
	"fmt"
	"strings"
	"time"

	"runproof/input"
	"runproof/ledger"
)

func scanCustomer(r interface{ Scan(...any) error }) (c ledger.Customer, err error) {
	var gone string
	if err = r.Scan(&c.ID, &c.Name, &c.Reach, &gone); err == nil && gone != "" {
		c.Forgotten, err = time.Parse(time.RFC3339Nano, gone)
	}
	return c, err
}

// CustomerNamed is the customer of that name, whatever its letter case, or of
// that id.
func (t *Tx) CustomerNamed(name string) (ledger.Customer, error) {
	var names []string
	var found *ledger.Customer
	err := t.each(func(r *sql.Rows) error {
		c, err := scanCustomer(r)
		if err == nil && c.Forgotten.IsZero() {
			names = append(names, c.Name)
			if strings.EqualFold(c.Name, strings.TrimSpace(name)) || string(c.ID) == strings.ToUpper(name) {
				found = &c
			}
		}
		return err
	}, `SELECT id, name, reach, forgotten FROM customer ORDER BY id`)
	switch {
	case err != nil:
		return ledger.Customer{}, err
	case found != nil:
		return *found, nil
	}
	remedy := "runproof job list shows whose drills there are"
	if near, ok := input.Nearest(name, names); ok {
		remedy = "did you mean " + near + "?"
	}
	return ledger.Customer{}, input.Fault{What: fmt.Sprintf("the ledger has no customer %q", name), Remedy: remedy}
}

// KeepCustomer is the customer of that name, made where there is none; a reach
// that is said takes the place of the one before.
func (t *Tx) KeepCustomer(name, reach string) (ledger.Customer, error) {
	c, err := t.CustomerNamed(name)
	if err == nil {
		if reach != "" && reach != c.Reach {
			c.Reach = reach
			if err = c.Check(); err == nil {
				err = t.exec(`UPDATE customer SET reach = $1 WHERE id = $2`, reach, string(c.ID))
			}
			if err == nil {
				err = t.reindexCustomer(c.ID)
			}
		}
		return c, err
	}
	id, err := t.l.newID()
	if err != nil {
		return c, err
	}
	c = ledger.Customer{ID: id, Name: strings.TrimSpace(name), Reach: strings.TrimSpace(reach)}
	if err := c.Check(); err != nil {
		return c, err
	}
	return c, t.putCustomer(c)
}

func (t *Tx) putCustomer(c ledger.Customer) error {
	gone := ""
	if !c.Forgotten.IsZero() {
		gone = ledger.Stamp(c.Forgotten)
	}
	return t.exec(`INSERT INTO customer (id, name, reach, forgotten) VALUES ($1, $2, $3, $4)`, string(c.ID), c.Name, c.Reach, gone)
}

// JobsOf are the jobs of a customer.
func (t *Tx) JobsOf(id ledger.ID) (jobs []ledger.Job, err error) {
	err = t.each(func(r *sql.Rows) error {
		j, err := scanJob(r)
		jobs = append(jobs, j)
		return err
	}, `SELECT id, handle, title, customer FROM job WHERE customer = $1 ORDER BY handle`, string(id))
	return jobs, err
}

func (t *Tx) reindexCustomer(id ledger.ID) error {
	jobs, err := t.JobsOf(id)
	for _, j := range jobs {
		if err == nil {
			err = t.reindex(j.ID)
		}
	}
	return err
}
