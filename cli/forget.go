package cli

import (
	"context"

	"runproof/store"
)

type forgetCmd struct {
	Customer string `arg:"" help:"The customer's name."`
	Erase    bool   `name:"erase-files" help:"Erase the files of their jobs that name them: quotes, dossiers, notes. The history keeps each file's hash."`
	By       string `env:"RUNPROOF_BY" placeholder:"NAME" help:"Who does this (default what RUNPROOF_BY says, or your account's name)."`

	ledgerFlags
}

func (*forgetCmd) Help() string {
	return "Takes a customer's name and how to reach them out of the ledger: of the list of customers and of everything that was written in the history of their drills. " +
		"The drills keep their histories. Files that name them are listed, or with --erase-files erased; pictures and packed files must be looked at by a person. " +
		"Backups and exported jobs made before still hold the name. Exit status 1 when something is left for a person to look at.\n\n" +
		"Example: runproof forget \"A. Grower\" --erase-files"
}

// forgetDoc is the result document.
type forgetDoc struct {
	Runproof string `json:"runproof"` // forgotten/1
	store.Forgetting
}

func (c *forgetCmd) Run(s *Shell) error {
	l, err := c.open(s)
	if err != nil {
		return err
	}
	defer l.Close()
	f, err := l.Forget(context.Background(), c.Customer, noteFlags{By: c.By}.author(), c.Erase)
	if err != nil {
		return err
	}
	s.Summary("forgotten: %s, %s changed", plural(len(f.Jobs), "job"), entries(f.Changed))
	for _, t := range f.Erased {
		s.Summary("erased: %s of %s", t.File.Name, t.Job)
	}
	for _, t := range f.Left {
		s.Attention()
		s.Summary("still named in: %s of %s (%s); --erase-files erases it", t.File.Name, t.Job, t.File.SHA256[:12])
	}
	for _, id := range f.Look {
		s.Attention()
		s.Summary("look at entry %s: it holds the name, or a word of it", id)
	}
	return s.EmitJSON(forgetDoc{"forgotten/1", f})
}
