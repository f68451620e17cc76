package store

import (
	"context"
	"database/sql"
	"fmt"
	"net/url"
	"strings"
	"time"

	_ "github.com/jackc/pgx/v5/stdlib" // driver "pgx"
	_ "modernc.org/sqlite"             // driver "sqlite", pure Go
)

// dialect is where the two databases differ. All queries are one text: $1, $2.
type dialect struct {
	driver string
	text   string // type of text that sorts by bytes
	rebind func(query string) string
	lock   string   // what a writing transaction does first; empty where beginning it locks
	has    string   // counts the tables of the name $1
	shrink []string // makes what was deleted unreadable
}

var (
	sqlite = dialect{
		driver: "sqlite",
		text:   "TEXT",
		rebind: func(q string) string { return strings.ReplaceAll(q, "$", "?") },
		has:    `SELECT COUNT(*) FROM sqlite_master WHERE type = 'table' AND name = $1`,
		shrink: []string{`VACUUM`, `PRAGMA wal_checkpoint(TRUNCATE)`},
	}
	postgres = dialect{
		driver: "pgx",
		text:   `TEXT COLLATE "C"`,
		rebind: func(q string) string { return q },
		lock:   `SELECT pg_advisory_xact_lock(7283641905)`,
		has:    `SELECT COUNT(*) FROM pg_tables WHERE schemaname = current_schema() AND tablename = $1`,
		shrink: []string{`VACUUM FULL customer`, `VACUUM FULL job`, `VACUUM FULL entry`},
	}
)

// IsPostgres says whether a ledger's name is that of a PostgreSQL database.
func IsPostgres(db string) bool {
	return strings.HasPrefix(db, "postgres://") || strings.HasPrefix(db, "postgresql://")
}

// connect opens the database. busy is how long a writer waits for another.
func connect(db string, busy time.Duration) (dialect, *sql.DB, error) {
	if IsPostgres(db) {
		h, err := sql.Open(postgres.driver, db)
		return postgres, h, err
	}
	q := url.Values{"_txlock": {"immediate"}, "_pragma": {
		fmt.Sprintf("busy_timeout(%d)", busy.Milliseconds()), "journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(1)", "secure_delete(1)",
	}}
	h, err := sql.Open(sqlite.driver, (&url.URL{Scheme: "file", Opaque: (&url.URL{Path: db}).EscapedPath(), RawQuery: q.Encode()}).String())
	return sqlite, h, err
}

// begin starts a transaction: one that writes holds the ledger until it ends, one
// that reads sees one moment.
func (l *Ledger) begin(ctx context.Context, write bool) (*sql.Tx, error) {
	if !write {
		return l.db.BeginTx(ctx, &sql.TxOptions{ReadOnly: true, Isolation: l.readLevel()})
	}
	tx, err := l.db.BeginTx(ctx, nil)
	if err == nil && l.d.lock != "" {
		if _, err = tx.ExecContext(ctx, l.d.lock); err != nil {
			tx.Rollback()
		}
	}
	return tx, err
}

func (l *Ledger) readLevel() sql.IsolationLevel {
	if l.d.driver == postgres.driver {
		return sql.LevelRepeatableRead
	}
	return sql.LevelDefault // a deferred transaction on a write-ahead log is a snapshot
}
