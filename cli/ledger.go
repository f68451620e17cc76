package cli

import (
	"cmp"
	"context"
	"crypto/rand"
	"fmt"
	"os"
	"os/user"
	"strings"
	"time"

	"runproof/input"
	"runproof/ledger"
	"runproof/store"
)

// ledgerFlags say which ledger a command works on.
type ledgerFlags struct {
	DB    string `name:"db" env:"RUNPROOF_DB" default:"runproof.db" placeholder:"FILE" help:"The ledger: a file, or postgres://... (default runproof.db, or what RUNPROOF_DB says)."`
	Files string `name:"files" env:"RUNPROOF_FILES" placeholder:"DIR" help:"Where recordings, pictures and documents are kept: a folder, or the URL of a bucket such as s3://name?region=... (default the ledger's name with .files, or what RUNPROOF_FILES says)."`
}

// noteFlags say who wrote an entry, when it happened, and why.
type noteFlags struct {
	By  string `env:"RUNPROOF_BY" placeholder:"NAME" help:"Who writes this down (default what RUNPROOF_BY says, or your account's name)."`
	On  string `placeholder:"TIME" help:"When it happened: 2026-05-12, or 2026-05-12T09:15Z (default now)."`
	Why string `placeholder:"TEXT" help:"Why, in your words."`
}

// config is where the ledger is and what it takes from the world.
func (f ledgerFlags) config(s *Shell) store.Config {
	c := store.Config{DB: f.DB, Files: f.Files, Now: s.Now, Chance: s.Chance}
	if c.Now == nil {
		c.Now = time.Now
	}
	if c.Chance == nil {
		c.Chance = rand.Reader
	}
	return c
}

// open opens the ledger that there is.
func (f ledgerFlags) open(s *Shell) (*store.Ledger, error) {
	return store.Open(context.Background(), f.config(s))
}

// begin opens the ledger, or makes one.
func (f ledgerFlags) begin(s *Shell) (*store.Ledger, error) {
	c := f.config(s)
	c.Create = true
	return store.Open(context.Background(), c)
}

// read runs fn on the ledger as it is at one moment.
func (f ledgerFlags) read(s *Shell, fn func(*store.Ledger, *store.Tx) error) error {
	l, err := f.open(s)
	if err != nil {
		return err
	}
	defer l.Close()
	return l.Read(context.Background(), func(tx *store.Tx) error { return fn(l, tx) })
}

// draft is an entry of that kind with what the flags say.
func (n noteFlags) draft(kind ledger.Kind) (store.Draft, error) {
	at, err := whenOf(n.On)
	return store.Draft{Kind: kind, At: at, By: n.author(), Why: n.Why}, err
}

func (n noteFlags) author() string {
	if n.By != "" {
		return n.By
	}
	if u, err := user.Current(); err == nil {
		return cmp.Or(u.Name, u.Username)
	}
	return cmp.Or(os.Getenv("USER"), os.Getenv("USERNAME"), "somebody")
}

// whenOf reads a day or a time; the zero time where nothing is said.
func whenOf(text string) (time.Time, error) {
	if text == "" {
		return time.Time{}, nil
	}
	for _, form := range []string{time.DateOnly, time.RFC3339Nano, "2006-01-02T15:04Z07:00", "2006-01-02T15:04Z", "2006-01-02T15:04", "2006-01-02 15:04"} {
		if t, err := time.Parse(form, text); err == nil {
			return t.UTC(), nil
		}
	}
	return time.Time{}, input.Fault{What: fmt.Sprintf("%q is no time", text), Remedy: "write a day, 2026-05-12, or a time in UTC, 2026-05-12T09:15Z"}
}

// dayOf is a time as a list shows it.
func dayOf(t time.Time) string { return t.Format("2006-01-02 15:04") }

// keepFile keeps a file of the disk in the ledger, under a name of its own.
func keepFile(l *store.Ledger, path, as string) (ledger.File, error) {
	f, err := os.Open(path)
	if err != nil {
		return ledger.File{}, missingFile(path, err)
	}
	defer f.Close()
	return l.Keep(context.Background(), as, f)
}

// keepBytes keeps what a command has read or made.
func keepBytes(l *store.Ledger, b []byte, as string) (ledger.File, error) {
	return l.Keep(context.Background(), as, strings.NewReader(string(b)))
}
