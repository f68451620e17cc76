package cli

import (
	"bytes"
	"context"
	"slices"

	"runproof/fit"
	"runproof/input"
	"runproof/ledger"
	"runproof/practice"
	"runproof/store"
)

type swapCmd struct {
	Job   string      `arg:"" help:"The job."`
	Old   string      `arg:"" name:"off" help:"What was taken off: the serial of a node; or the run, head or node where the part sits, with --part."`
	New   string      `arg:"" optional:"" name:"on" help:"Serial of what was put on; a part other than a node may have none."`
	Part  string      `placeholder:"WORD" help:"What was exchanged where it is no node: sensor, tube, hose, opener, lead, ..."`
	Was   string      `placeholder:"SERIAL" help:"With --part, the serial of the part that was taken off, if it has one."`
	Gone  ledger.Fate `name:"gone" default:"unknown" help:"What became of what was taken off: shelf, returned, scrapped or unknown."`
	Moved bool        `help:"The part that was put on is elsewhere by the record, and was moved."`

	Add []string `name:"with" placeholder:"FILE" help:"Pictures and papers that belong to it."`

	noteFlags
	ledgerFlags
}

func (*swapCmd) Help() string {
	return "Notes that a part was exchanged. For a node the fit's next revision is made and kept at once: the new serial at the same head, with the same ports and tubes. " +
		"For any other part the place keeps its name, and so its history.\n\n" +
		"Examples: runproof swap north-farm 4103 4188 --why \"port 7 dead\" --gone returned\n" +
		"          runproof swap north-farm C-7 --part sensor --why \"counts faded\" --on 2026-05-14"
}

func (c *swapCmd) Run(s *Shell) error {
	d, err := c.draft(ledger.Swap)
	if err != nil {
		return err
	}
	d.Moved = c.Moved
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
		if doc.Job, err = tx.Job(c.Job); err == nil {
			doc.Entries, err = c.swap(l, tx, doc.Job, d)
		}
		return err
	}); err != nil {
		return err
	}
	return s.added(doc)
}

// swap adds the entry and, of a node, the next revision of the fit.
func (c *swapCmd) swap(l *store.Ledger, tx *store.Tx, job ledger.Job, d store.Draft) ([]ledger.Entry, error) {
	if c.Part != "" {
		d.Exchange = &ledger.Exchange{Place: c.Old, Part: c.Part, Out: c.Was, In: c.New, Fate: c.Gone}
		e, err := tx.Append(job, d)
		return []ledger.Entry{e}, err
	}
	stands, next, err := c.next(l, tx, job)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(stands.Revision.Placed, func(p ledger.Placed) bool { return p.Serial == c.Old })
	if i < 0 {
		return nil, input.Fault{What: "node " + c.Old + " has no serial number yet", Remedy: "plan the fit with --serials, and add it"}
	}
	d.Exchange = &ledger.Exchange{Place: string(stands.Revision.Placed[i].Head), Part: "node", Out: c.Old, In: c.New, Fate: c.Gone}
	swapped, err := tx.Append(job, d)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := next.Write(&b); err != nil {
		return nil, err
	}
	file, err := keepBytes(l, b.Bytes(), "fit.json")
	if err != nil {
		return nil, err
	}
	a := addition{kind: ledger.Fit, files: []ledger.File{file}, fit: next}
	e, err := a.append(tx, job, store.Draft{At: swapped.At, By: d.By, Why: d.Why}, []string{stands.Revision.Hash})
	return []ledger.Entry{swapped, e}, err
}

// next is the fit that stands and the one with the nodes exchanged.
func (c *swapCmd) next(l *store.Ledger, tx *store.Tx, job ledger.Job) (stands ledger.Entry, next *fit.Fit, err error) {
	es, err := tx.History(job.ID)
	if err != nil {
		return stands, nil, err
	}
	tips := ledger.Tips(es)
	switch {
	case len(tips) == 0:
		return stands, nil, input.Fault{What: "job " + job.Handle + " has no fit whose node could be exchanged", Remedy: "add the fit first; of another part say --part"}
	case len(tips) > 1:
		return stands, nil, input.Fault{What: "in job " + job.Handle + " fits stand side by side, changed apart", Remedy: "decide first: runproof job show " + job.Handle}
	case c.New == "":
		return stands, nil, input.Fault{What: "the serial of the node that was put on is missing", Remedy: "runproof swap " + job.Handle + " " + c.Old + " NEW; of another part say --part"}
	}
	stands = tips[0]
	b, err := l.Bytes(context.Background(), stands.Files[0])
	if err != nil {
		return stands, nil, err
	}
	f, err := fit.Read(bytes.NewReader(b), stands.Files[0].Name)
	if err != nil {
		return stands, nil, err
	}
	why := c.Why
	if why == "" {
		why = "node " + c.Old + " exchanged for " + c.New
	}
	next, err = f.Exchange(c.Old, c.New, fit.Provenance{By: "runproof swap", From: []fit.Source{{Name: stands.Files[0].Name, SHA256: stands.Revision.Hash}}, Why: why})
	if err == nil {
		next.Checks = practice.Renewed(next)
	}
	return stands, next, err
}
