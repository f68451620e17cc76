// Package sqlitefile runs the statements of a GeoPackage in memory and gives the
// database as the bytes of a file. Nothing is written beside it: no journal, no
// temporary file. The same statements give the same bytes.
package sqlitefile

import (
	"context"
	"database/sql"
	"errors"
	"iter"

	_ "modernc.org/sqlite" // the database driver, pure Go

	"runproof/export/geopackage"
)

// Bytes runs before outside, and script inside, one transaction.
func Bytes(before, script iter.Seq[geopackage.Statement]) (file []byte, err error) {
	ctx := context.Background()
	db, err := sql.Open("sqlite", ":memory:")
	if err != nil {
		return nil, err
	}
	defer db.Close()
	conn, err := db.Conn(ctx) // each connection has a memory of its own
	if err != nil {
		return nil, err
	}
	defer conn.Close()
	for s := range before {
		if _, err := conn.ExecContext(ctx, s.SQL, s.Args...); err != nil {
			return nil, err
		}
	}
	if err := fill(ctx, conn, script); err != nil {
		return nil, err
	}
	err = conn.Raw(func(driver any) error {
		c, ok := driver.(interface{ Serialize() ([]byte, error) })
		if !ok {
			return errors.New("the database driver cannot give its memory")
		}
		file, err = c.Serialize()
		return err
	})
	return file, err
}

func fill(ctx context.Context, conn *sql.Conn, script iter.Seq[geopackage.Statement]) error {
	tx, err := conn.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback()
	prepared := map[string]*sql.Stmt{} // many rows of one table
	for s := range script {
		st := prepared[s.SQL]
		if st == nil {
			if st, err = tx.PrepareContext(ctx, s.SQL); err != nil {
				return err
			}
			defer st.Close()
			prepared[s.SQL] = st
		}
		if _, err := st.ExecContext(ctx, s.Args...); err != nil {
			return err
		}
	}
	return tx.Commit()
}
