package store_test

import (
	"bytes"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"runproof/ledger"
	"runproof/store"
)

// carry brings a job from one ledger to another, as an exported zip does.
func carry(t *testing.T, from, to *store.Ledger, j ledger.Job, c *ledger.Customer) store.Merged {
	t.Helper()
	es := read(t, from, func(tx *store.Tx) ([]ledger.Entry, error) { return tx.History(j.ID) })
	gone := read(t, from, func(tx *store.Tx) (map[string]bool, error) { return tx.Erased() })
	for _, e := range es {
		for _, f := range e.Files {
			if !gone[f.SHA256] {
				keep(t, to, f.Name, text(t, from, f))
			}
		}
	}
	return must[store.Merged](t)(to.Merge(ctx, es, c, gone))
}

// Two ledgers that were apart meet again: both end with the same record, fits
// changed apart stand side by side until a person settles them, and nothing is
// lost or overwritten.
func TestLedgersThatWereApart(t *testing.T) {
	onBoth(t, func(t *testing.T, c store.Config) {
		office := opened(t, c)
		lc := databases[0].at(t)
		lc.Now, lc.Chance, lc.Create = ticking(), seeded(99), true
		laptop := opened(t, lc)
		north, _ := scenario(t, office)
		if m := carry(t, office, laptop, north, nil); m.Added == 0 || m.Tips != 1 {
			t.Errorf("first time: %+v", m)
		}
		if m := carry(t, office, laptop, north, nil); m.Added != 0 {
			t.Errorf("second time: %+v", m)
		}
		stands := read(t, office, func(tx *store.Tx) ([]ledger.Entry, error) { return tx.History(north.ID) })
		tip := ledger.Tips(stands)[0].Revision.Hash
		for k, l := range []*store.Ledger{office, laptop} {
			d := revision(t, l, 3+k, []string{tip}, nil, ledger.Placed{Serial: "4188", Head: "A"})
			write(t, l, func(tx *store.Tx) error { _, err := tx.Append(north, d); return err })
		}
		for _, way := range [][2]*store.Ledger{{office, laptop}, {laptop, office}} {
			if m := carry(t, way[0], way[1], north, nil); m.Tips != 2 {
				t.Errorf("changed apart: %+v", m)
			}
		}
		history := func(l *store.Ledger) []ledger.Entry {
			return read(t, l, func(tx *store.Tx) ([]ledger.Entry, error) { return tx.History(north.ID) })
		}
		same(t, history(office), history(laptop))
		tips := ledger.Tips(history(laptop))
		one := revision(t, laptop, 5, []string{tips[0].Revision.Hash}, nil)
		write(t, laptop, func(tx *store.Tx) error { _, err := tx.Append(north, one); return err }) // goes on from one, decides nothing
		if got := ledger.Tips(history(laptop)); len(got) != 2 {
			t.Errorf("%d fits stand", len(got))
		}
		tips = ledger.Tips(history(laptop))
		both := revision(t, laptop, 6, []string{tips[0].Revision.Hash, tips[1].Revision.Hash}, nil)
		write(t, laptop, func(tx *store.Tx) error { _, err := tx.Append(north, both); return err })
		if m := carry(t, laptop, office, north, nil); m.Tips != 1 {
			t.Errorf("settled: %+v", m)
		}
		same(t, history(office), history(laptop))

		changed := history(office)
		changed[1].Text = "something else"
		before := dump(t, office)
		if _, err := office.Merge(ctx, changed, nil, nil); err == nil || dump(t, office) != before {
			t.Errorf("an entry was changed: %v", err)
		}
	})
}

func same(t *testing.T, a, b []ledger.Entry) {
	t.Helper()
	if len(a) != len(b) {
		t.Fatalf("%d entries and %d", len(a), len(b))
	}
	for i := range a {
		if !bytes.Equal(a[i].Canonical(), b[i].Canonical()) {
			t.Errorf("%s\n%s", a[i].Canonical(), b[i].Canonical())
		}
	}
}

// A forgotten customer is in no byte of the database or its files, and does not
// come back with a zip from before.
func TestForgottenCustomer(t *testing.T) {
	onBoth(t, func(t *testing.T, c store.Config) {
		l := opened(t, c)
		north, south := scenario(t, l)
		ec := databases[0].at(t)
		ec.Now, ec.Chance, ec.Create = ticking(), seeded(98), true
		elsewhere := opened(t, ec)
		who := read(t, l, func(tx *store.Tx) (ledger.Customer, error) { return tx.CustomerNamed("ada grower") })
		carry(t, l, elsewhere, north, &who)

		before := dump(t, l)
		if f := must[store.Forgetting](t)(l.Forget(ctx, "Ada Grower", "Ana", store.ForgetOptions{Erase: true, Look: true})); len(f.Erased) != 1 || dump(t, l) != before {
			t.Errorf("looking changed something: %+v", f)
		}
		f := must[store.Forgetting](t)(l.Forget(ctx, "ADA GROWER", "Ana", store.ForgetOptions{}))
		if len(f.Left) != 1 || f.Left[0].File.Name != "quote.txt" || len(f.Unread) != 1 || f.Unread[0].File.Name != "boot.jpg" || f.Changed != 2 {
			t.Errorf("first without erasing: %+v", f)
		}
		if _, err := l.Forget(ctx, "Ada Grower", "Ana", store.ForgetOptions{Erase: true}); err == nil {
			t.Error("a customer was forgotten twice")
		}
		if m := carry(t, elsewhere, l, north, &who); m.Added != 0 || m.Job.Customer != who.ID {
			t.Errorf("the name came back: %+v", m)
		}
		for _, word := range []string{"Ada G", "555 0142", "rower"} {
			if strings.Contains(dump(t, l), word) {
				t.Errorf("%s is still in the rows", word)
			}
		}
		if j := read(t, l, func(tx *store.Tx) (ledger.Job, error) { return tx.Job(string(north.ID)) }); !strings.HasPrefix(j.Handle, "forgotten-") {
			t.Errorf("the job is called %s", j.Handle)
		}
		if j := read(t, l, func(tx *store.Tx) (ledger.Job, error) { return tx.Job("south") }); j.ID != south.ID {
			t.Error("another's job was touched")
		}
	})
}

func TestForgottenFilesAreErased(t *testing.T) {
	c := databases[0].at(t)
	c.Now, c.Chance, c.Create = ticking(), seeded(4), true
	l := opened(t, c)
	north, _ := scenario(t, l)
	if got := bytesWith(t, filepath.Dir(c.DB), "grower"); len(got) == 0 {
		t.Fatal("the search of bytes finds nothing even before")
	}
	photo := keep(t, l, "boot.jpg", "not really a picture")
	f := must[store.Forgetting](t)(l.Forget(ctx, "Ada Grower", "Ada Grower", store.ForgetOptions{Erase: true, Also: []string{photo.SHA256[:8]}}))
	if _, err := l.Bytes(ctx, photo); err == nil || len(f.Erased) != 2 || len(f.Left)+len(f.Unread) != 0 {
		t.Errorf("%+v", f)
	}
	for _, word := range []string{"grower", "555 0142"} {
		if got := bytesWith(t, filepath.Dir(c.DB), word); len(got) > 0 {
			t.Errorf("%q is still in %v", word, got)
		}
	}
	before := dump(t, l)
	write(t, l, func(tx *store.Tx) error { return tx.Refold() })
	if dump(t, l) != before {
		t.Error("what is worked out anew differs")
	}
	r := restored(t, store.Config{DB: filepath.Join(t.TempDir(), "r.db"), Now: c.Now, Chance: c.Chance}, backup(t, l))
	if dump(t, r) != before {
		t.Error("a backup without the erased file does not come back")
	}
	quote := keep(t, l, "quote.txt", "Offer to Ada Grower, 555 0142") // as an import of a zip from before brings it
	carry(t, r, l, north, nil)
	if _, err := l.Bytes(ctx, quote); err == nil {
		t.Error("an erased file came back")
	}
	keep(t, l, "quote.txt", "Offer to Ada Grower, 555 0142")
	write(t, l, func(tx *store.Tx) error {
		_, err := tx.Append(north, store.Draft{Kind: ledger.Paper, By: "Bo", Files: []ledger.File{quote}})
		return err
	})
	carry(t, r, l, north, nil)
	if _, err := l.Bytes(ctx, quote); err != nil {
		t.Errorf("a file that a person brought back was swept away: %v", err)
	}
	carry(t, l, opened(t, store.Config{DB: filepath.Join(t.TempDir(), "o.db"), Now: c.Now, Chance: c.Chance, Create: true}), north, nil)
}

// bytesWith are the files below a folder that hold the word in whatever letters.
func bytesWith(t *testing.T, dir, word string) []string {
	t.Helper()
	found := map[string]bool{}
	if err := filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		b, err := os.ReadFile(name)
		if bytes.Contains(bytes.ToLower(b), []byte(strings.ToLower(word))) {
			found[name] = true
		}
		return err
	}); err != nil {
		t.Fatal(err)
	}
	var out []string
	for n := range maps.Keys(found) {
		out = append(out, n)
	}
	return out
}
