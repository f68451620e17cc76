package cli

import (
	"context"
	"fmt"
	"io"
	"os"

	"runproof/input"
	"runproof/ledger"
	"runproof/ledger/parcel"
	"runproof/store"
)

type jobImportCmd struct {
	Zip string `arg:"" help:"Zip that job export wrote."`

	ledgerFlags
}

func (*jobImportCmd) Help() string {
	return "Brings a packed job into this ledger, or makes one of it. A job that is here already gets the entries it lacks; entries are never changed. " +
		"Exit status 1 where fits were changed apart or serials do not go together: both stay, and a person decides.\n\n" +
		"Example: runproof job import north-farm.zip --db workshop.db"
}

// mergedDoc is the result document.
type mergedDoc struct {
	Runproof string `json:"runproof"` // merged/1
	store.Merged
}

func (c *jobImportCmd) Run(s *Shell) error {
	f, err := os.Open(c.Zip)
	if err != nil {
		return missingFile(c.Zip, err)
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return missingFile(c.Zip, err)
	}
	p, err := parcel.Read(f, info.Size(), c.Zip)
	if err != nil {
		return err
	}
	l, err := c.begin(s)
	if err != nil {
		return err
	}
	defer l.Close()
	if err := p.Each(func(want ledger.File, r io.Reader) error { return keepAs(l, want, r) }); err != nil {
		return inFile(err, c.Zip)
	}
	m, err := l.Merge(context.Background(), p.Entries, p.Customer, p.Erased())
	if err != nil {
		return inFile(err, c.Zip)
	}
	s.merged(m)
	return s.EmitJSON(mergedDoc{"merged/1", m})
}

// keepAs keeps a file that says its own hash.
func keepAs(l *store.Ledger, want ledger.File, r io.Reader) error {
	got, err := l.Keep(context.Background(), want.Name, r)
	if err == nil && got.SHA256 != want.SHA256 {
		err = input.Fault{What: fmt.Sprintf("file %s is damaged: its bytes have another hash", want.Name), Remedy: "export the job again"}
	}
	return err
}

func (s *Shell) merged(m store.Merged) {
	s.Summary("job %s: %s came in, %d were here", m.Job.Handle, entries(m.Added), m.Had)
	if m.Renamed {
		s.Summary("another job has its handle: it is called %s here", m.Job.Handle)
	}
	if m.Tips > 1 {
		s.Attention()
		s.Summary("%d fits stand side by side, changed apart: see job show %s", m.Tips, m.Job.Handle)
	}
	for _, d := range m.Doubts {
		s.Attention()
		s.Summary("serial %s %s: see serial show %s", d.Serial, d.Doubt, d.Serial)
	}
}
