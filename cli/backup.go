package cli

import (
	"context"
	"io"
	"os"

	"runproof/input"
	"runproof/store"
)

type backupCmd struct {
	Out string `short:"o" required:"" placeholder:"FILE" help:"File to write (zip)."`

	ledgerFlags
}

func (*backupCmd) Help() string {
	return "Writes the whole ledger as it is at one moment, with all its files, into one zip; others may write meanwhile. " +
		"The same ledger gives the same bytes. It can be restored into a file or into PostgreSQL, by this or a newer program. It holds customers' names: keep it as you keep those.\n\n" +
		"Example: runproof backup -o 2026-11-25.backup.zip"
}

func (c *backupCmd) Run(s *Shell) error {
	if c.Out == "-" && s.JSON {
		return input.Fault{What: "-o - and --json both want standard output", Remedy: "name a file"}
	}
	l, err := c.open(s)
	if err != nil {
		return err
	}
	defer l.Close()
	var head store.BackupHead
	if err := s.WriteFile(c.Out, func(w io.Writer) error {
		head, err = l.Backup(context.Background(), w)
		return err
	}); err != nil {
		return err
	}
	if c.Out != "-" {
		s.Summary("%s, %s and %s in %s", plural(head.Jobs, "job"), entries(head.Entries), plural(head.Files, "file"), c.Out)
	}
	return s.EmitJSON(head)
}

type restoreCmd struct {
	Backup string `arg:"" help:"File that runproof backup wrote."`

	ledgerFlags
}

func (*restoreCmd) Help() string {
	return "Makes a ledger from a backup, checking every byte. It never goes over a ledger that is there.\n\n" +
		"Example: runproof restore 2026-11-25.backup.zip --db restored.db"
}

func (c *restoreCmd) Run(s *Shell) error {
	f, err := os.Open(c.Backup)
	if err != nil {
		return missingFile(c.Backup, err)
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return missingFile(c.Backup, err)
	}
	head, err := store.Restore(context.Background(), c.config(s), f, info.Size())
	if err != nil {
		return inFile(err, c.Backup)
	}
	s.Summary("%s, %s and %s restored", plural(head.Jobs, "job"), entries(head.Entries), plural(head.Files, "file"))
	return s.EmitJSON(head)
}
