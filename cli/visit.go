package cli

import (
	"context"

	"runproof/ledger"
	"runproof/store"
)

type visitCmd struct {
	Job   string   `arg:"" help:"The job."`
	Found string   `arg:"" help:"What was found and done, in your words."`
	Add   []string `name:"with" placeholder:"FILE" help:"Pictures and papers that belong to it."`

	noteFlags
	ledgerFlags
}

func (*visitCmd) Help() string {
	return "Notes a visit to a drill. Parts that were exchanged are noted with swap.\n\n" +
		"Example: runproof visit north-farm \"C-7 read low all day: boot worn through, new one on order\" --on 2026-05-12 --with IMG_0142.jpg"
}

func (c *visitCmd) Run(s *Shell) error {
	d, err := c.draft(ledger.Visit)
	if err != nil {
		return err
	}
	d.Text = c.Found
	l, err := c.open(s)
	if err != nil {
		return err
	}
	defer l.Close()
	if err := s.attach(l, &d, c.Add); err != nil {
		return err
	}
	doc := addedDoc{Runproof: "added/1"}
	if err := l.Write(context.Background(), func(tx *store.Tx) error {
		if doc.Job, err = tx.Job(c.Job); err != nil {
			return err
		}
		e, err := tx.Append(doc.Job, d)
		doc.Entries = []ledger.Entry{e}
		return err
	}); err != nil {
		return err
	}
	return s.added(doc)
}
