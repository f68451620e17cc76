package store_test

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"runproof/ledger"
	"runproof/store"
	"runproof/store/pgtrial"
)

var ctx = context.Background()

// TestMain lets the tests' own program be the writer that is killed.
func TestMain(m *testing.M) {
	if os.Getenv(writerEnv) != "" {
		writer()
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// chance is a source of chance with a seed.
type chance struct {
	mu sync.Mutex
	c  *rand.ChaCha8
}

func seeded(n byte) *chance { return &chance{c: rand.NewChaCha8([32]byte{n})} }

func (c *chance) Read(p []byte) (int, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.c.Read(p)
}

// ticking is a clock that goes on by a second at each look.
func ticking() func() time.Time {
	var mu sync.Mutex
	at := time.Date(2026, 4, 1, 8, 0, 0, 0, time.UTC)
	return func() time.Time {
		mu.Lock()
		defer mu.Unlock()
		at = at.Add(time.Second)
		return at
	}
}

// databases are what every test of the store runs on: one battery for both.
var databases = []struct {
	name string
	at   func(testing.TB) store.Config
}{
	{"sqlite", func(t testing.TB) store.Config {
		return store.Config{DB: filepath.Join(t.TempDir(), "ledger of ä%20b.db")} // a name that a URL would mistake
	}},
	{"postgres", func(t testing.TB) store.Config {
		return store.Config{DB: pgtrial.URL(t), Files: filepath.Join(t.TempDir(), "files")}
	}},
}

func onBoth(t *testing.T, fn func(t *testing.T, c store.Config)) {
	t.Helper()
	for i, d := range databases {
		t.Run(d.name, func(t *testing.T) {
			c := d.at(t)
			c.Now, c.Chance, c.Create = ticking(), seeded(byte(i)), true
			fn(t, c)
		})
	}
}

func opened(t testing.TB, c store.Config) *store.Ledger {
	t.Helper()
	l, err := store.Open(ctx, c)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { l.Close() })
	return l
}

// must ends the test on an error.
func must[T any](t testing.TB) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func write(t testing.TB, l *store.Ledger, fn func(*store.Tx) error) {
	t.Helper()
	if err := l.Write(ctx, fn); err != nil {
		t.Fatal(err)
	}
}

func read[T any](t testing.TB, l *store.Ledger, fn func(*store.Tx) (T, error)) (v T) {
	t.Helper()
	if err := l.Read(ctx, func(tx *store.Tx) (err error) { v, err = fn(tx); return err }); err != nil {
		t.Fatal(err)
	}
	return v
}

func newJob(t testing.TB, l *store.Ledger, handle string) (j ledger.Job) {
	t.Helper()
	write(t, l, func(tx *store.Tx) (err error) {
		j, err = tx.NewJob(ledger.Opening{Handle: handle, Title: "Job " + handle}, "Ana", "", time.Time{})
		return err
	})
	return j
}

func keep(t testing.TB, l *store.Ledger, name, text string) ledger.File {
	t.Helper()
	return must[ledger.File](t)(l.Keep(ctx, name, strings.NewReader(text)))
}

// revision makes a fit's draft: its document is a text of its own.
func revision(t testing.TB, l *store.Ledger, n int, follows []string, left []string, placed ...ledger.Placed) store.Draft {
	t.Helper()
	f := keep(t, l, "fit.json", fmt.Sprintf("fit %d %v %v %v", n, follows, left, placed))
	return store.Draft{Kind: ledger.Fit, By: "Ana", Files: []ledger.File{f}, Revision: &ledger.Revision{
		Number: n, Hash: f.SHA256, Follows: follows, Drill: "Drill", Runs: 12, Placed: placed, Left: left,
	}}
}

func dump(t testing.TB, l *store.Ledger) string {
	t.Helper()
	var b bytes.Buffer
	if err := l.Read(ctx, func(tx *store.Tx) error { return tx.Dump(&b) }); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func text(t testing.TB, l *store.Ledger, f ledger.File) string {
	t.Helper()
	r := must[io.ReadCloser](t)(l.File(ctx, f))
	defer r.Close()
	return string(must[[]byte](t)(io.ReadAll(r)))
}
