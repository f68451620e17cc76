package cli

import (
	"context"
	"io"
	"path"
	"strings"

	"runproof/input"
	"runproof/ledger"
	"runproof/store"
)

type jobGetCmd struct {
	Job  string `arg:"" help:"The job."`
	Name string `arg:"" optional:"" help:"File to get: its name, or the first digits of its hash (default the fit that stands). Of files of one name, the last."`
	Out  string `short:"o" required:"" placeholder:"FILE" help:"File to write."`

	ledgerFlags
}

func (*jobGetCmd) Help() string {
	return "Writes a file of a job, as it came in.\n\nExamples: runproof job get north-farm -o fit.json\n          runproof job get north-farm day.csv.gz -o day.csv.gz"
}

func (c *jobGetCmd) Run(s *Shell) error {
	return c.read(s, func(l *store.Ledger, tx *store.Tx) error {
		job, err := tx.Job(c.Job)
		if err != nil {
			return err
		}
		es, err := tx.History(job.ID)
		if err != nil {
			return err
		}
		f, err := fileNamed(es, c.Name)
		if err != nil {
			return err
		}
		r, err := l.File(context.Background(), f)
		if err != nil {
			return err
		}
		defer r.Close()
		if err := s.WriteFile(c.Out, func(w io.Writer) error { _, err := io.Copy(w, r); return err }); err != nil {
			return err
		}
		if c.Out != "-" {
			s.Summary("%s (%s) in %s", f.Name, f.SHA256[:12], c.Out)
		}
		return s.EmitJSON(f)
	})
}

// fileNamed is the file that a person means.
func fileNamed(es []ledger.Entry, name string) (ledger.File, error) {
	if name == "" {
		tips := ledger.Tips(es)
		if len(tips) != 1 {
			return ledger.File{}, input.Fault{What: "not one fit stands, but " + plural(len(tips), "fit"), Remedy: "name the first digits of the hash of one"}
		}
		return tips[0].Files[0], nil
	}
	var names []string
	for i := len(es) - 1; i >= 0; i-- {
		for _, f := range es[i].Files {
			if f.Name == name || path.Base(f.Name) == name || len(name) >= 4 && strings.HasPrefix(f.SHA256, name) {
				return f, nil
			}
			names = append(names, f.Name)
		}
	}
	return ledger.File{}, input.Fault{What: "the job holds no file " + name, Remedy: input.DidYouMean(name, names)}
}
