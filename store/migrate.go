package store

import (
	"context"
	"database/sql"
	"embed"
	"fmt"
	"path"
	"strings"

	"runproof/input"
)

//go:embed migrations/*.sql
var migrations embed.FS

// form is the form of ledger that this program writes: the number of migrations.
const form = 2

// refill are the migrations after which what is worked out from the entries is
// worked out again.
var refill = map[int]bool{2: true}

// migrate brings the ledger to this program's form, in one transaction.
func (l *Ledger) migrate(ctx context.Context, c Config) error {
	at, err := l.form(ctx, l.db)
	switch {
	case err != nil:
		return unreachable(c.DB, err)
	case at == form:
		return nil
	case at > form:
		return input.Fault{What: fmt.Sprintf("the ledger has form %d, and this program knows %d", at, form), Remedy: "use a newer runproof"}
	case at == 0 && !c.Create:
		return input.Fault{What: "there is no ledger in this database", Remedy: "begin one with runproof job new"}
	}
	tx, err := l.begin(ctx, true)
	if err != nil {
		return unreachable(c.DB, err)
	}
	defer tx.Rollback()
	if err := l.migrateTo(ctx, tx, form); err != nil {
		return err
	}
	return tx.Commit()
}

type querier interface {
	QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row
}

// form is the form of what is there: 0 where there is no ledger.
func (l *Ledger) form(ctx context.Context, q querier) (int, error) {
	var tables, at int
	if err := q.QueryRowContext(ctx, l.d.rebind(l.d.has), "ledger_form").Scan(&tables); err != nil || tables == 0 {
		return 0, err
	}
	err := q.QueryRowContext(ctx, `SELECT MAX(form) FROM ledger_form`).Scan(&at)
	return at, err
}

// migrateTo runs the migrations that are missing up to form n. Another may have
// run them since they were found missing, so it looks again.
func (l *Ledger) migrateTo(ctx context.Context, tx *sql.Tx, n int) error {
	at, err := l.form(ctx, tx)
	if err != nil {
		return err
	}
	if at == 0 {
		if _, err := tx.ExecContext(ctx, `CREATE TABLE ledger_form (form BIGINT PRIMARY KEY)`); err != nil {
			return err
		}
	}
	for v := at + 1; v <= n; v++ {
		if err := l.step(ctx, tx, v); err != nil {
			return fmt.Errorf("migration %d: %w", v, err)
		}
	}
	return nil
}

func (l *Ledger) step(ctx context.Context, tx *sql.Tx, v int) error {
	text, err := migrations.ReadFile(path.Join("migrations", fmt.Sprintf("%04d.sql", v)))
	if err != nil {
		return err
	}
	for _, s := range statements(string(text)) {
		if _, err := tx.ExecContext(ctx, strings.ReplaceAll(s, "{text}", l.d.text)); err != nil {
			return err
		}
	}
	if refill[v] {
		if err := (&Tx{l: l, tx: tx, ctx: ctx}).refold(v); err != nil {
			return err
		}
	}
	_, err = tx.ExecContext(ctx, l.d.rebind(`INSERT INTO ledger_form (form) VALUES ($1)`), v)
	return err
}

// statements are those of a migration: one ends where a line ends with ;
func statements(text string) []string {
	var out []string
	var b strings.Builder
	for l := range strings.Lines(text) {
		if strings.HasPrefix(l, "--") {
			continue
		}
		b.WriteString(l)
		if strings.HasSuffix(strings.TrimSpace(l), ";") {
			out = append(out, strings.TrimSuffix(strings.TrimSpace(b.String()), ";"))
			b.Reset()
		}
	}
	return out
}
