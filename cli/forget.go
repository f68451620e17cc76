package cli

import (
	"context"

	"runproof/store"
)

type forgetCmd struct {
	Customer string   `arg:"" help:"The customer's name."`
	Erase    bool     `name:"erase-files" help:"Erase the files of their jobs that name them: quotes, dossiers, notes. The history keeps each file's hash."`
	Also     []string `name:"erase" placeholder:"HASH" help:"Erase this file too: the first digits of its hash, six or more. For pictures and PDFs that a person has looked at."`
	Look     bool     `help:"Only say what would become of it."`
	By       string   `env:"RUNPROOF_BY" placeholder:"NAME" help:"Who does this (default what RUNPROOF_BY says, or your account's name)."`

	ledgerFlags
}

func (*forgetCmd) Help() string {
	return "Takes a customer's name and how to reach them out of the ledger: of the list of customers and of everything that was written in the history of their drills. " +
		"The drills keep their histories. Files that name them are listed, or with --erase-files erased; pictures, PDFs and packed files are listed for a person to look at, and go with --erase. Begin with --look. " +
		"Backups and exported jobs made before still hold the name. Exit status 1 when something is left for a person to look at.\n\n" +
		"Examples: runproof forget \"A. Grower\" --look\n          runproof forget \"A. Grower\" --erase-files --erase 3f2a9c"
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
	f, err := l.Forget(context.Background(), c.Customer, noteFlags{By: c.By}.author(), store.ForgetOptions{Erase: c.Erase, Also: c.Also, Look: c.Look})
	if err != nil {
		return err
	}
	done := "forgotten"
	if c.Look {
		done = "would be forgotten"
	}
	s.Summary("%s: %s, %s changed", done, plural(len(f.Jobs), "job"), entries(f.Changed))
	for _, t := range f.Erased {
		s.Summary("erased: %s of %s", t.File.Name, t.Job)
	}
	for _, t := range f.Left {
		s.Attention()
		s.Summary("still named in: %s of %s (%s); --erase-files erases it", t.File.Name, t.Job, t.File.SHA256[:12])
	}
	for _, t := range f.Unread {
		s.Attention()
		s.Summary("look into: %s of %s; --erase %s erases it", t.File.Name, t.Job, t.File.SHA256[:8])
	}
	for _, id := range f.Look {
		s.Attention()
		s.Summary("look at entry %s: it holds the name, or a word of it", id)
	}
	return s.EmitJSON(forgetDoc{"forgotten/1", f})
}
