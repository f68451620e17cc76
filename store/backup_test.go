package store_test

import (
	"bytes"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"runproof/ledger"
	"runproof/store"
)

func backup(t testing.TB, l *store.Ledger) []byte {
	t.Helper()
	var b bytes.Buffer
	must[store.BackupHead](t)(l.Backup(ctx, &b))
	return b.Bytes()
}

func restored(t testing.TB, c store.Config, b []byte) *store.Ledger {
	t.Helper()
	must[store.BackupHead](t)(store.Restore(ctx, c, bytes.NewReader(b), int64(len(b))))
	return opened(t, c)
}

// A restored backup equals its source: every row, every file, and so the backup of
// what was restored, byte for byte; from either database into either.
func TestRestoredEqualsSource(t *testing.T) {
	onBoth(t, func(t *testing.T, c store.Config) {
		l := opened(t, c)
		north, _ := scenario(t, l)
		b := backup(t, l)
		if !bytes.Equal(b, backup(t, l)) {
			t.Error("two backups of one ledger differ")
		}
		onBoth(t, func(t *testing.T, to store.Config) {
			r := restored(t, to, b)
			if dump(t, r) != dump(t, l) || !bytes.Equal(backup(t, r), b) {
				t.Error("restored differs from its source")
			}
			for _, e := range read(t, l, func(tx *store.Tx) ([]ledger.Entry, error) { return tx.History(north.ID) }) {
				for _, f := range e.Files {
					if text(t, r, f) != text(t, l, f) {
						t.Errorf("file %s differs", f.Name)
					}
				}
			}
			if _, err := store.Restore(ctx, to, bytes.NewReader(b), int64(len(b))); err == nil {
				t.Error("a backup went over a ledger")
			}
		})
	})
}

// A damaged backup is refused and leaves no ledger, or the damage is in what says
// nothing (as a zip has) and the ledger is whole.
func TestDamagedBackup(t *testing.T) {
	c := databases[0].at(t)
	c.Now, c.Chance, c.Create = ticking(), seeded(3), true
	l := opened(t, c)
	scenario(t, l)
	b, want := backup(t, l), dump(t, l)
	rng := rand.New(rand.NewPCG(1, 2))
	refused := 0
	for k := range 60 {
		bad := bytes.Clone(b)
		if k%3 == 0 {
			bad = bad[:rng.IntN(len(bad))]
		} else {
			bad[rng.IntN(len(bad))] ^= byte(1 << rng.IntN(8))
		}
		to := store.Config{DB: filepath.Join(t.TempDir(), "r.db"), Now: c.Now, Chance: c.Chance}
		if _, err := store.Restore(ctx, to, bytes.NewReader(bad), int64(len(bad))); err != nil {
			refused++
			if _, err := os.Stat(to.DB); err == nil {
				t.Errorf("damage %d: refused, and a ledger was left", k)
			}
			continue
		}
		if got := dump(t, opened(t, to)); got != want {
			t.Errorf("damage %d went unseen", k)
		}
	}
	if refused < 20 {
		t.Errorf("only %d of 60 damaged backups refused", refused)
	}
}

// A backup made while others write is the ledger of one moment.
func TestBackupWhileOthersWrite(t *testing.T) {
	onBoth(t, func(t *testing.T, c store.Config) {
		l := opened(t, c)
		j := newJob(t, l, "busy")
		var wg sync.WaitGroup
		wg.Go(func() {
			for n := range 12 {
				if _, err := writeRevision(l, j, n); err != nil {
					t.Error(err)
				}
			}
		})
		for range 4 {
			to := store.Config{DB: filepath.Join(t.TempDir(), "r.db"), Now: c.Now, Chance: c.Chance}
			r := restored(t, to, backup(t, l))
			count := map[ledger.Kind]int{}
			for _, e := range read(t, r, func(tx *store.Tx) ([]ledger.Entry, error) { return tx.History(j.ID) }) {
				count[e.Kind]++
			}
			if count[ledger.Log] != count[ledger.Fit] {
				t.Errorf("a backup with half of a transaction: %v", count)
			}
		}
		wg.Wait()
	})
}
