package ledger

import (
	"fmt"
	"slices"
	"strings"

	"runproof/input"
)

// Job is what the entries of one drill's file come to.
type Job struct {
	ID       ID     `json:"id"`
	Handle   string `json:"handle"`
	Title    string `json:"title"`
	Customer ID     `json:"customer,omitempty"`
}

// JobOf is the job that the entries are of. The error is an input.Fault where
// none of them opens it.
func JobOf(es []Entry) (Job, error) {
	for _, e := range Sorted(es) {
		if e.Opening != nil {
			return Job{ID: e.Job, Handle: e.Opening.Handle, Title: e.Opening.Title, Customer: e.Opening.Customer}, nil
		}
	}
	return Job{}, input.Fault{What: "no entry opens the job", Remedy: "export it again from the ledger that holds it"}
}

// Handle is what a job with that title is called on the command line.
func Handle(title string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(title) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	return strings.Trim(clipBytes(b.String(), 60), "-")
}

func clipBytes(s string, n int) string { return s[:min(n, len(s))] }

// Admission is what the ledger knows when an entry asks to come in.
type Admission struct {
	Job     Job
	History []Entry           // of the job
	Known   map[string][]Move // of every serial that the entry moves
	Moved   bool              // a person says that doubtful moves are so
}

// Admit says why an entry cannot come into the ledger, or nil: a fault of its
// own, a Stale revision, a Doubt about a serial, or an exchange that was overtaken.
func (a Admission) Admit(e Entry) error {
	if err := e.Check(); err != nil {
		return err
	}
	if e.Opening != nil && len(a.History) > 0 {
		return input.Fault{What: fmt.Sprintf("job %s is open already", a.Job.Handle), Remedy: "add to it instead"}
	}
	if e.Revision != nil {
		if err := checkFollows(a.Job.Handle, Tips(a.History), Fits(a.History), e.Revision); err != nil {
			return err
		}
	}
	if a.Moved {
		return nil
	}
	if err := a.checkOvertaken(e); err != nil {
		return err
	}
	return a.checkSerials(e)
}

// checkOvertaken refuses an exchange that is dated before what the record already
// says of the same parts: the later entry would put back what was taken off.
func (a Admission) checkOvertaken(e Entry) error {
	if e.Exchange == nil {
		return nil
	}
	for _, m := range e.Moves() {
		for _, k := range a.Known[m.Serial] {
			if k.Compare(m) > 0 {
				return input.Fault{
					What:   fmt.Sprintf("serial %s was exchanged on %s, but an entry of %s says where it is after that", m.Serial, Stamp(m.At), Stamp(k.At)),
					Remedy: "give a time behind that with --on and tell the day in --why; or say --moved if both are right as they stand",
				}
			}
		}
	}
	return nil
}

// checkSerials finds the first move that does not go with the record.
func (a Admission) checkSerials(e Entry) error {
	by := map[string][]Move{}
	for _, m := range e.Moves() {
		by[m.Serial] = append(by[m.Serial], m)
	}
	for _, serial := range SerialsOf(e) {
		if ds := NewDoubts(a.Known[serial], by[serial]); len(ds) > 0 {
			return ds[0]
		}
	}
	return nil
}

// SerialsOf are the serial numbers that an entry speaks of, each once, in its
// order.
func SerialsOf(e Entry) []string {
	var out []string
	for _, m := range e.Moves() {
		if !slices.Contains(out, m.Serial) {
			out = append(out, m.Serial)
		}
	}
	return out
}
