package export_test

import (
	"database/sql"
	"encoding/binary"
	"math"
	"os"
	"path/filepath"
	"testing"

	_ "modernc.org/sqlite"
)

// readGPKG reads a GeoPackage by the tables that the standard names.
func readGPKG(t *testing.T, file []byte) []seen {
	t.Helper()
	name := filepath.Join(t.TempDir(), "a.gpkg")
	if err := os.WriteFile(name, file, 0o600); err != nil {
		t.Fatal(err)
	}
	db, err := sql.Open("sqlite", name)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	var layers []seen
	rows, err := db.Query(`SELECT table_name, min_x, min_y, max_x, max_y FROM gpkg_contents ORDER BY rowid`)
	if err != nil {
		t.Fatal(err)
	}
	for rows.Next() {
		s := seen{First: map[string]string{}}
		var box [4]sql.NullFloat64
		if err := rows.Scan(&s.Layer, &box[0], &box[1], &box[2], &box[3]); err != nil {
			t.Fatal(err)
		}
		s.table(t, db)
		for i, v := range box {
			if v.Valid != (len(s.Extent) > 0) || v.Valid && v.Float64 != s.Extent[i] {
				t.Errorf("%s: contents say %v, it is %v", s.Layer, box, s.Extent)
			}
		}
		layers = append(layers, s)
	}
	return layers
}

func (s *seen) table(t *testing.T, db *sql.DB) {
	t.Helper()
	rows, err := db.Query(`SELECT * FROM "` + s.Layer + `" ORDER BY fid`)
	if err != nil {
		t.Fatal(err)
	}
	names, _ := rows.Columns()
	for rows.Next() {
		cells := make([]any, len(names))
		into := make([]any, len(names))
		texts := make([]sql.NullString, len(names))
		for i := range cells {
			into[i] = &texts[i]
			if names[i] == "geom" {
				into[i] = &cells[i]
			}
		}
		if err := rows.Scan(into...); err != nil {
			t.Fatal(err)
		}
		for i, n := range names {
			switch blob, _ := cells[i].([]byte); {
			case blob != nil:
				s.wkb(t, s.Count == 0, blob)
			case s.Count == 0 && texts[i].Valid && n != "fid":
				s.First[n] = texts[i].String
			}
		}
		s.Count++
	}
}

// wkb reads a GeoPackage geometry; all numbers are little-endian.
func (s *seen) wkb(t *testing.T, first bool, b []byte) {
	t.Helper()
	if string(b[:3]) != "GP\x00" || binary.LittleEndian.Uint32(b[4:]) != 4326 {
		t.Fatalf("%s: head % x", s.Layer, b[:8])
	}
	at := 8
	if b[3]>>1&7 == 1 {
		at += 32
	}
	num := func() int {
		at += 4
		return int(binary.LittleEndian.Uint32(b[at-4:]))
	}
	float := func() float64 {
		at += 8
		return math.Float64frombits(binary.LittleEndian.Uint64(b[at-8:]))
	}
	places := func(n int) {
		for range n {
			lon := float()
			s.place(first, lon, float())
		}
	}
	at++ // byte order
	switch kind := num(); kind {
	case 1:
		places(1)
	case 5:
		for range num() {
			at += 5
			places(num())
		}
	case 6:
		for range num() {
			at += 5 // byte order and type of the polygon
			for range num() {
				places(num())
			}
		}
	default:
		t.Fatalf("%s: geometry of type %d", s.Layer, kind)
	}
	if at != len(b) {
		t.Errorf("%s: geometry of %d bytes, read %d", s.Layer, len(b), at)
	}
}
