package store_test

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"runproof/ledger"
	"runproof/store"
)

var update = flag.Bool("update", false, "write the fixture of the newest form anew")

// scenario is a small dealer's ledger: two drills, a fit changed, a node exchanged
// and put on the other drill, a customer, files, one of them in two jobs.
func scenario(t testing.TB, l *store.Ledger) (north, south ledger.Job) {
	t.Helper()
	day := func(d int) time.Time { return time.Date(2026, 4, d, 9, 0, 0, 0, time.UTC) }
	one := revision(t, l, 1, nil, nil, ledger.Placed{Serial: "4103", Head: "A"}, ledger.Placed{Serial: "4106", Head: "B"})
	two := revision(t, l, 2, []string{one.Revision.Hash}, []string{"4103"}, ledger.Placed{Serial: "4188", Head: "A"}, ledger.Placed{Serial: "4106", Head: "B"})
	far := revision(t, l, 1, nil, nil, ledger.Placed{Serial: "4103", Head: "C"})
	photo := keep(t, l, "boot.jpg", "not really a picture")
	quote := keep(t, l, "quote.txt", "Offer to Ada Grower, 555 0142")
	one.At, two.At, far.At = day(2), day(20), day(25)
	write(t, l, func(tx *store.Tx) (err error) {
		ada, err := tx.KeepCustomer("Ada Grower", "555 0142")
		if err != nil {
			return err
		}
		if north, err = tx.NewJob(ledger.Opening{Handle: "grower-north", Title: "Ada Grower, north", Customer: ada.ID}, "Ana", "rang on Monday", day(1)); err != nil {
			return err
		}
		if south, err = tx.NewJob(ledger.Opening{Handle: "south", Title: "South <60> & \"co\" ä"}, "Bo", "", day(1)); err != nil {
			return err
		}
		for _, d := range []store.Draft{
			one,
			{Kind: ledger.Visit, At: day(5), By: "Bo", Text: "Ada Grower says:\nC-7 reads low", Files: []ledger.File{photo}},
			{Kind: ledger.Paper, At: day(6), By: "Ana", Files: []ledger.File{quote}},
			{Kind: ledger.Swap, At: day(20), By: "Ana", Why: "port 7 dead", Exchange: &ledger.Exchange{Place: "A", Part: "node", Out: "4103", In: "4188", Fate: ledger.Shelf}},
			two,
		} {
			if _, err := tx.Append(north, d); err != nil {
				return err
			}
		}
		if _, err := tx.Append(south, far); err != nil {
			return err
		}
		_, err = tx.Append(south, store.Draft{Kind: ledger.Photo, At: day(26), By: "Bo", Text: "same boot", Files: []ledger.File{photo}})
		return err
	})
	return north, south
}

func fixture(n int) string { return filepath.Join("testdata", "form-"+strconv.Itoa(n)+".jsonl") }

// A ledger of every earlier form comes to be what the newest program writes. The
// fixtures are dumps that the programs of those forms left; only the newest may be
// written anew, with -update.
func TestMigrationsFromEveryForm(t *testing.T) {
	if *update {
		c := databases[0].at(t)
		c.Now, c.Chance, c.Create = ticking(), seeded(0), true
		l := opened(t, c)
		scenario(t, l)
		if err := os.WriteFile(fixture(store.Form), []byte(dump(t, l)), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	newest := string(must[[]byte](t)(os.ReadFile(fixture(store.Form))))
	onBoth(t, func(t *testing.T, c store.Config) {
		l := opened(t, c)
		c.Chance = seeded(0)
		scenario(t, l)
		if got := dump(t, l); store.IsPostgres(c.DB) == false && got != newest {
			t.Errorf("this program writes\n%s\nand the fixture of its form is\n%s", got, newest)
		}
	})
	for n := 1; n <= store.Form; n++ {
		rows := must[[]byte](t)(os.ReadFile(fixture(n)))
		t.Run("form "+strconv.Itoa(n), func(t *testing.T) {
			onBoth(t, func(t *testing.T, c store.Config) {
				if err := store.MakeAt(ctx, c, n, bytes.NewReader(rows)); err != nil {
					t.Fatal(err)
				}
				c.Create = false
				if got := dump(t, opened(t, c)); got != newest {
					t.Errorf("came to be\n%s\nwant\n%s", got, newest)
				}
				if got := dump(t, opened(t, c)); got != newest { // once more: nothing is done twice
					t.Error("opening it again changed it")
				}
			})
		})
	}
}

// A ledger that a newer program has written is not touched.
func TestNewerFormIsRefused(t *testing.T) {
	onBoth(t, func(t *testing.T, c store.Config) {
		l := opened(t, c)
		write(t, l, func(tx *store.Tx) error {
			return tx.Exec(`INSERT INTO ledger_form (form) VALUES ($1)`, store.Form+1)
		})
		if _, err := store.Open(ctx, c); err == nil {
			t.Error("opened all the same")
		}
	})
}

// Many that open a place where nothing is make one ledger.
func TestManyMakeOneLedger(t *testing.T) {
	onBoth(t, func(t *testing.T, c store.Config) {
		errs := make(chan error)
		const many = 4
		for range many {
			go func() {
				l, err := store.Open(ctx, c)
				if err == nil {
					err = l.Close()
				}
				errs <- err
			}()
		}
		for range many {
			if err := <-errs; err != nil {
				t.Error(err)
			}
		}
	})
}
