package cli

import (
	"runproof/input"
	"runproof/ledger"
	"runproof/store"
)

type jobHistoryCmd struct {
	Job  string `arg:"" help:"The job."`
	Kind string `placeholder:"KIND" help:"Only entries of that kind: fit, swap, visit, log, ..."`

	ledgerFlags
}

func (*jobHistoryCmd) Help() string {
	return "Lists all that happened to a drill, in the order of its happening, with who wrote it down and why.\n\n" +
		"Example: runproof job history north-farm --kind swap"
}

// historyDoc is the result document.
type historyDoc struct {
	Runproof string         `json:"runproof"` // history/1
	Job      ledger.Job     `json:"job"`
	Entries  []ledger.Entry `json:"entries"`
}

func (c *jobHistoryCmd) Run(s *Shell) error {
	var only ledger.Kind
	if c.Kind != "" {
		if err := only.UnmarshalText([]byte(c.Kind)); err != nil {
			return err
		}
	}
	doc := historyDoc{Runproof: "history/1", Entries: []ledger.Entry{}}
	err := c.read(s, func(_ *store.Ledger, tx *store.Tx) (err error) {
		if doc.Job, err = tx.Job(c.Job); err != nil {
			return err
		}
		es, err := tx.History(doc.Job.ID)
		for _, e := range es {
			if only == ledger.NoKind || e.Kind == only {
				doc.Entries = append(doc.Entries, e)
			}
		}
		return err
	})
	if err != nil {
		return err
	}
	for _, e := range doc.Entries {
		s.historyLine(e)
	}
	return s.EmitJSON(doc)
}

func (s *Shell) historyLine(e ledger.Entry) {
	says := e.Says()
	first := ""
	if len(says) > 0 {
		first = says[0]
	}
	s.Summary("%s  %-9s %s  [%s]", dayOf(e.At), e.Kind, first, e.By)
	for i, l := range says {
		if i > 0 {
			s.Summary("%29s%s", "", l)
		}
	}
	if e.Why != "" {
		s.Summary("%29swhy: %s", "", e.Why)
	}
	for _, f := range e.Files {
		s.Summary("%29s%s (%s)", "", f.Name, f.SHA256[:12])
	}
}

type serialCmd struct {
	Show serialShowCmd `cmd:"" help:"Say where a serial number has been."`
}

type serialShowCmd struct {
	Serial string `arg:"" help:"The number as it stands on the box."`

	ledgerFlags
}

func (*serialShowCmd) Help() string {
	return "Says on which drill and at which head a serial number is, where it was before, and what of that does not go together (exit status 1).\n\n" +
		"Example: runproof serial show 4103"
}

// serialDoc is the result document.
type serialDoc struct {
	Runproof string            `json:"runproof"` // serial/1
	Serial   string            `json:"serial"`
	Stays    []ledger.Stay     `json:"stays"` // first to last
	Jobs     map[string]string `json:"jobs"`  // handles by id
}

func (c *serialShowCmd) Run(s *Shell) error {
	doc := serialDoc{Runproof: "serial/1", Serial: c.Serial, Jobs: map[string]string{}}
	err := c.read(s, func(_ *store.Ledger, tx *store.Tx) error {
		moves, err := tx.Moves(c.Serial)
		if err != nil {
			return err
		}
		if doc.Stays = ledger.Stays(moves); len(doc.Stays) == 0 {
			return noSerial(tx, c.Serial)
		}
		for _, st := range doc.Stays {
			j, err := tx.Job(string(st.Job))
			if err != nil {
				return err
			}
			doc.Jobs[string(st.Job)] = j.Handle
		}
		return nil
	})
	if err != nil {
		return err
	}
	for _, st := range doc.Stays {
		doc.line(s, st)
	}
	return s.EmitJSON(doc)
}

func noSerial(tx *store.Tx, serial string) error {
	f := input.Fault{What: "the ledger knows no serial " + serial, Remedy: "read it again from the box"}
	near, err := tx.SerialsLike(serial[:min(len(serial), 2)], 1000)
	if err != nil {
		return err
	}
	if n, ok := input.Nearest(serial, near); ok {
		f.Remedy = "did you mean " + n + "?"
	}
	return f
}

func (d serialDoc) line(s *Shell, st ledger.Stay) {
	until := "now"
	if !st.Until.IsZero() {
		until = dayOf(st.Until)
	}
	where := "on " + d.Jobs[string(st.Job)] + " at " + string(st.Place)
	if !st.On {
		where = "off " + d.Jobs[string(st.Job)] + ", " + st.Fate.String()
	}
	s.Summary("%s .. %-16s  %s", dayOf(st.Since), until, where)
	if st.Doubt != "" {
		s.Summary("%38s%s", "", st.Doubt)
		s.Attention()
	}
}
