package store

import (
	"context"
	"io"
)

// Form is the form of ledger that this program writes.
const Form = form

// MakeAt makes a ledger as the program of form n left it, with those rows.
func MakeAt(ctx context.Context, c Config, n int, rows io.Reader) error {
	l, _, err := empty(ctx, c)
	if err != nil {
		return err
	}
	defer l.Close()
	return l.Write(ctx, func(t *Tx) error {
		if err := l.migrateTo(ctx, t.tx, n); err != nil {
			return err
		}
		return t.load(rows)
	})
}

// Exec runs a statement past all rules.
func (t *Tx) Exec(query string, args ...any) error { return t.exec(query, args...) }
