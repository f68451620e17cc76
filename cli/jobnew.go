package cli

import (
	"context"
	"time"

	"runproof/input"
	"runproof/ledger"
	"runproof/store"
)

type jobNewCmd struct {
	Title    string `arg:"" help:"What the job is called on paper: \"North farm, 48 rows\"."`
	Handle   string `placeholder:"WORD" help:"What it is called on the command line (default made from the title)."`
	Customer string `placeholder:"NAME" help:"Whose drill it is. Kept: this name, and how to reach them."`
	Reach    string `placeholder:"TEXT" help:"A telephone number or an address."`
	Drill    string `placeholder:"FILE" help:"Drill description to begin with (drill.yaml)."`
	Fit      string `placeholder:"FILE" help:"Fit document to begin with."`
	Moved    bool   `help:"Serials of the fit that the record has elsewhere were moved."`

	noteFlags
	ledgerFlags
}

func (*jobNewCmd) Help() string {
	return "Opens a job, one drill's file in the ledger; the first makes the ledger. With --drill and --fit what is known goes in at once.\n\n" +
		"Example: runproof job new \"North farm\" --customer \"A. Grower\" --reach \"555 0142\" --drill drill.yaml --fit fit.json"
}

func (c *jobNewCmd) Run(s *Shell) error {
	at, err := whenOf(c.On)
	if err != nil {
		return err
	}
	if c.Customer == "" && c.Reach != "" {
		return input.Fault{What: "--reach says how to reach nobody", Remedy: "name them with --customer"}
	}
	l, err := c.begin(s)
	if err != nil {
		return err
	}
	defer l.Close()
	var found []addition
	for _, name := range []string{c.Drill, c.Fit} {
		if name != "" {
			a, err := s.addition(l, name)
			if err != nil {
				return err
			}
			found = append(found, a)
		}
	}
	var job ledger.Job
	if err := l.Write(context.Background(), func(tx *store.Tx) error {
		job, err = c.open(tx, at, found)
		return err
	}); err != nil {
		return err
	}
	s.Summary("job %s: %s", job.Handle, job.Title)
	return s.EmitJSON(jobDoc{Runproof: "job/1", Job: job})
}

// open opens the job and adds what is known.
func (c *jobNewCmd) open(tx *store.Tx, at time.Time, found []addition) (ledger.Job, error) {
	o := ledger.Opening{Handle: c.Handle, Title: c.Title}
	if o.Handle == "" {
		o.Handle = ledger.Handle(c.Title)
	}
	if c.Customer != "" {
		who, err := tx.KeepCustomer(c.Customer, c.Reach)
		if err != nil {
			return ledger.Job{}, err
		}
		o.Customer = who.ID
	}
	job, err := tx.NewJob(o, c.author(), c.Why, at)
	if err != nil {
		return job, err
	}
	for _, a := range found {
		if _, err := a.append(tx, job, store.Draft{At: at, By: c.author(), Moved: c.Moved}, nil); err != nil {
			return job, err
		}
	}
	return job, nil
}
