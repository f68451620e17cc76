package store

import (
	"bufio"
	"bytes"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"

	"runproof/input"
)

// table is one table of the ledger, in an order in which it can be filled.
type table struct {
	name  string
	since int    // form that has it first
	order string // key
}

var tables = []table{
	{"customer", 1, "id"},
	{"job", 1, "id"},
	{"entry", 1, "id"},
	{"entry_file", 1, "entry, place"},
	{"serial_move", 1, "entry, place"},
	{"erased_file", 1, "sha256"},
}

// heading stands before the rows of a table in a dump; each row is an array in a
// line of its own.
type heading struct {
	Table   string   `json:"table"`
	Columns []string `json:"columns"`
}

// Dump writes every row of the ledger, as text that is the same for the same
// content, whatever the database: a heading for each table, and its rows in the
// order of their keys.
func (t *Tx) Dump(w io.Writer) error {
	bw := bufio.NewWriter(w)
	enc := json.NewEncoder(bw)
	enc.SetEscapeHTML(false)
	at, err := t.l.form(t.ctx, t.tx)
	if err != nil {
		return err
	}
	for _, tb := range tables {
		if tb.since > at {
			continue
		}
		if err := t.dumpTable(enc, tb); err != nil {
			return err
		}
	}
	return bw.Flush()
}

func (t *Tx) dumpTable(enc *json.Encoder, tb table) error {
	rows, err := t.tx.QueryContext(t.ctx, fmt.Sprintf(`SELECT * FROM %s ORDER BY %s`, tb.name, tb.order))
	if err != nil {
		return err
	}
	defer rows.Close()
	columns, err := rows.Columns()
	if err != nil {
		return err
	}
	if err := enc.Encode(heading{tb.name, columns}); err != nil {
		return err
	}
	cells, into := make([]any, len(columns)), make([]any, len(columns))
	for i := range cells {
		into[i] = &cells[i]
	}
	for rows.Next() {
		if err := rows.Scan(into...); err != nil {
			return err
		}
		if err := enc.Encode(cells); err != nil {
			return err
		}
	}
	return rows.Err()
}

var columnName = regexp.MustCompile(`^[a-z][a-z0-9_]{0,40}$`)

// load fills empty tables from a dump.
func (t *Tx) load(r io.Reader) error {
	br := bufio.NewReader(r)
	var insert *sql.Stmt
	var width int
	for n := 1; ; n++ {
		line, err := br.ReadBytes('\n')
		if errors.Is(err, io.EOF) && len(line) == 0 {
			return nil
		}
		if err != nil {
			return damaged(n, err)
		}
		if line[0] == '{' {
			var h heading
			if err := json.Unmarshal(line, &h); err != nil {
				return damaged(n, err)
			}
			if insert, err = t.inserting(h); err != nil {
				return damaged(n, err)
			}
			defer insert.Close()
			width = len(h.Columns)
			continue
		}
		cells, err := cellsOf(line, width)
		if err != nil {
			return damaged(n, err)
		}
		if _, err := insert.ExecContext(t.ctx, cells...); err != nil {
			return damaged(n, err)
		}
	}
}

func damaged(line int, err error) error {
	return input.Fault{Place: input.Place{File: rowsName, Line: line}, What: "the backup cannot be read: " + err.Error(), Remedy: "take another backup"}
}

func (t *Tx) inserting(h heading) (*sql.Stmt, error) {
	if !slices.ContainsFunc(tables, func(tb table) bool { return tb.name == h.Table }) {
		return nil, fmt.Errorf("a ledger has no table %q", h.Table)
	}
	marks := make([]string, len(h.Columns))
	for i, c := range h.Columns {
		if !columnName.MatchString(c) {
			return nil, fmt.Errorf("table %s has no column %q", h.Table, c)
		}
		marks[i] = fmt.Sprintf("$%d", i+1)
	}
	return t.tx.PrepareContext(t.ctx, t.l.d.rebind(fmt.Sprintf(`INSERT INTO %s (%s) VALUES (%s)`, h.Table, strings.Join(h.Columns, ", "), strings.Join(marks, ", "))))
}

// cellsOf are the cells of a row: texts and whole numbers.
func cellsOf(line []byte, width int) ([]any, error) {
	dec := json.NewDecoder(bytes.NewReader(line))
	dec.UseNumber()
	var cells []any
	if err := dec.Decode(&cells); err != nil {
		return nil, err
	}
	if width == 0 || len(cells) != width {
		return nil, fmt.Errorf("a row has %d cells where its table has %d columns", len(cells), width)
	}
	for i, c := range cells {
		switch v := c.(type) {
		case string:
		case json.Number:
			n, err := v.Int64()
			if err != nil {
				return nil, err
			}
			cells[i] = n
		default:
			return nil, errors.New("a cell is neither text nor whole number")
		}
	}
	return cells, nil
}
