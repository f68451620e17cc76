package cli

import (
	"context"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"runproof/flowlog"
	"runproof/input"
	"runproof/ledger"
	"runproof/store"
)

type jobAddLogCmd struct {
	Job  string   `arg:"" help:"The job."`
	Log  string   `arg:"" help:"The recording, in any form that the program reads."`
	Walk bool     `help:"It is a recording of a walk in the yard."`
	With []string `placeholder:"FILE" help:"Files that belong to it: marks of a walk, notes."`

	meaning
	noteFlags
	ledgerFlags
}

func (*jobAddLogCmd) Help() string {
	return "Reads a recording once, and keeps it as it came, with what it needs to be understood (--map, --dbc), under the day on which it begins. " +
		"A recording that needed those is kept as Parquet as well.\n\n" +
		"Examples: runproof job add-log north-farm day.csv.gz\n" +
		"          runproof job add-log north-farm walk.csv.gz --walk --with marks.csv"
}

func (c *jobAddLogCmd) Run(s *Shell) error {
	kind := ledger.Log
	if c.Walk {
		kind = ledger.Walk
	}
	d, err := c.draft(kind)
	if err != nil {
		return err
	}
	if err := c.look(s, &d); err != nil {
		return err
	}
	l, err := c.ledgerFlags.open(s)
	if err != nil {
		return err
	}
	defer l.Close()
	if d.Files, err = c.keep(s, l); err != nil {
		return err
	}
	doc := addedDoc{Runproof: "added/1"}
	if err := l.Write(context.Background(), func(tx *store.Tx) error {
		if doc.Job, err = tx.Job(c.Job); err != nil {
			return err
		}
		if err := notTwice(tx, doc.Job, d.Files[0]); err != nil {
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

// notTwice refuses a recording that the job holds.
func notTwice(tx *store.Tx, job ledger.Job, f ledger.File) error {
	es, err := tx.History(job.ID)
	for _, e := range es {
		if (e.Kind == ledger.Log || e.Kind == ledger.Walk) && e.Files[0].SHA256 == f.SHA256 {
			return input.Fault{Place: input.Place{File: f.Name}, What: fmt.Sprintf("job %s holds this recording already, since %s", job.Handle, dayOf(e.Noted)), Remedy: "nothing is to be done"}
		}
	}
	return err
}

// look reads the recording through: what cannot be read is not kept.
func (c *jobAddLogCmd) look(s *Shell, d *store.Draft) error {
	opts, err := c.options(s)
	if err != nil {
		return err
	}
	r, _, done, err := s.OpenLog(c.Log, opts...)
	if err != nil {
		return err
	}
	defer done()
	sum, err := flowlog.Summarize(r, nil)
	if err != nil {
		return err
	}
	s.warnOfLoss(r)
	if sum.Samples == 0 {
		return input.Fault{Place: input.Place{File: c.Log}, What: "the recording holds no sample", Remedy: "check that it is the right file"}
	}
	clock := r.Schema().Clock
	d.Text = fmt.Sprintf("%s of %s, %s to %s", plural(sum.Samples, "sample"), plural(len(r.Schema().Columns), "column"), clock.Format(sum.StartNS), clock.Format(sum.EndNS))
	if clock == flowlog.UTC && d.At.IsZero() {
		d.At = time.Unix(0, sum.StartNS).UTC()
	}
	return nil
}

// keep keeps the recording and what belongs to it.
func (c *jobAddLogCmd) keep(s *Shell, l *store.Ledger) ([]ledger.File, error) {
	files, err := keepLog(l, c.Log)
	if err != nil {
		return nil, err
	}
	for _, name := range append([]string{c.Map, c.DBC}, c.With...) {
		if name == "" {
			continue
		}
		f, err := keepFile(l, name, filepath.Base(name))
		if err != nil {
			return nil, err
		}
		files = append(files, f)
	}
	if c.Map == "" && c.DBC == "" {
		return files, nil
	}
	opts, err := c.options(s)
	if err != nil {
		return nil, err
	}
	f, err := keepParquet(s, l, c.Log, files[0].Name+".parquet", opts)
	return append(files, f), err
}

// keepLog keeps a recording, be it a file or a folder of files.
func keepLog(l *store.Ledger, name string) ([]ledger.File, error) {
	path, _ := logPart(name)
	folder, ok := logFolder(path)
	if !ok {
		f, err := keepFile(l, path, filepath.Base(path))
		return []ledger.File{f}, err
	}
	var files []ledger.File
	err := fs.WalkDir(os.DirFS(folder), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || !d.Type().IsRegular() {
			return err
		}
		f, err := keepFile(l, filepath.Join(folder, filepath.FromSlash(name)), filepath.Base(folder)+"/"+name)
		files = append(files, f)
		return err
	})
	return files, err
}
