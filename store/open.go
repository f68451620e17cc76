package store

import (
	"context"
	"database/sql"
	"errors"
	"io"
	"os"
	"sync"
	"time"

	"gocloud.dev/blob"

	"runproof/input"
	"runproof/ledger"
)

// Config says where a ledger is, and what it takes from the world.
type Config struct {
	DB     string           // file of an SQLite ledger, or postgres://...
	Files  string           // folder or URL of a bucket (file://, s3://, mem://); empty: the folder DB + ".files"
	Now    func() time.Time // the clock
	Chance io.Reader        // where ids get their chance from
	Create bool             // make the ledger where there is none
	Busy   time.Duration    // how long a writer waits for another; 0: 20 s
}

// Ledger is an open ledger. Any number of goroutines may use it.
type Ledger struct {
	db     *sql.DB
	d      dialect
	files  *blob.Bucket
	folder string // of the files; empty where they are in a bucket elsewhere
	now    func() time.Time
	chance io.Reader

	mu   sync.Mutex
	last ledger.ID
}

const defaultBusy = 20 * time.Second

// Open opens a ledger and brings it to this program's form. The error is an
// input.Fault where there is none and none is to be made, or where a newer
// program has written it.
func Open(ctx context.Context, c Config) (*Ledger, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	busy := c.Busy
	if busy == 0 {
		busy = defaultBusy
	}
	d, db, err := connect(c.DB, busy)
	if err != nil {
		return nil, unreachable(c.DB, err)
	}
	l := &Ledger{db: db, d: d, now: c.Now, chance: c.Chance}
	if l.files, l.folder, err = openFiles(ctx, c); err == nil {
		err = l.migrate(ctx, c)
	}
	if err != nil {
		l.Close()
		return nil, err
	}
	return l, nil
}

func (c Config) check() error {
	if IsPostgres(c.DB) {
		if c.Files == "" {
			return input.Fault{What: "a ledger in PostgreSQL needs a place for recordings and pictures", Remedy: "name a folder or a bucket that all who use it reach, with --files or RUNPROOF_FILES"}
		}
		return nil
	}
	if c.DB == "" {
		return input.Fault{What: "no ledger is named", Remedy: "name its file with --db or RUNPROOF_DB"}
	}
	if _, err := os.Stat(c.DB); errors.Is(err, os.ErrNotExist) && !c.Create {
		return input.Fault{Place: input.Place{File: c.DB}, What: "there is no ledger here", Remedy: "name another with --db, or begin one with runproof job new"}
	} else if err != nil && !errors.Is(err, os.ErrNotExist) {
		return unreachable(c.DB, err)
	}
	return nil
}

func unreachable(db string, err error) error {
	where := db
	if IsPostgres(db) {
		where = "the PostgreSQL ledger" // its address may hold a password
	}
	return input.Fault{What: where + " cannot be opened: " + err.Error(), Remedy: "check its name, and that you may write there"}
}

// Close ends the use of the ledger.
func (l *Ledger) Close() error {
	var err error
	if l.files != nil {
		err = l.files.Close()
	}
	return errors.Join(err, l.db.Close())
}

// newID is an ID that comes after all that this Ledger has given.
func (l *Ledger) newID() (ledger.ID, error) {
	var c ledger.Chance
	l.mu.Lock()
	defer l.mu.Unlock()
	if _, err := io.ReadFull(l.chance, c[:]); err != nil {
		return "", err
	}
	l.last = ledger.NewID(l.now(), c).After(l.last)
	return l.last, nil
}
