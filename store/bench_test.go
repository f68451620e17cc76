package store_test

import (
	"fmt"
	"testing"
	"time"

	"runproof/ledger"
	"runproof/store"
)

// BenchmarkSearch looks for a serial number, and for a word that all have, in 2,000
// jobs of a fit with six nodes each.
func BenchmarkSearch(b *testing.B) {
	for i, d := range databases {
		b.Run(d.name+"/2000jobs", func(b *testing.B) {
			c := d.at(b)
			c.Now, c.Chance, c.Create = ticking(), seeded(byte(i)), true
			l := opened(b, c)
			many(b, l, 2000)
			for _, words := range []string{"s1207-3", "farm", "farm 19 s1", "nowhere"} {
				b.Run(fmt.Sprintf("%q", words), func(b *testing.B) {
					for b.Loop() {
						if err := l.Read(ctx, func(tx *store.Tx) error { _, _, err := tx.Search(words, 50); return err }); err != nil {
							b.Fatal(err)
						}
					}
				})
			}
			b.Run("whereabouts of a serial", func(b *testing.B) {
				for b.Loop() {
					if err := l.Read(ctx, func(tx *store.Tx) error { _, err := tx.Moves("s1207-3"); return err }); err != nil {
						b.Fatal(err)
					}
				}
			})
		})
	}
}

func many(b *testing.B, l *store.Ledger, n int) {
	b.Helper()
	write(b, l, func(tx *store.Tx) error {
		for k := range n {
			who, err := tx.KeepCustomer(fmt.Sprintf("Grower %d", k%400), "")
			if err != nil {
				return err
			}
			j, err := tx.NewJob(ledger.Opening{Handle: fmt.Sprintf("farm-%d", k), Title: fmt.Sprintf("Farm %d", k), Customer: who.ID}, "Ana", "", time.Time{})
			if err != nil {
				return err
			}
			r := ledger.Revision{Number: 1, Hash: fmt.Sprintf("%064x", k), Drill: "Drill", Runs: 72}
			for i := range 6 {
				r.Placed = append(r.Placed, ledger.Placed{Serial: fmt.Sprintf("s%d-%d", k, i), Head: "A"})
			}
			if _, err := tx.Append(j, store.Draft{Kind: ledger.Fit, By: "Ana", Revision: &r}); err != nil {
				return err
			}
		}
		return nil
	})
}
