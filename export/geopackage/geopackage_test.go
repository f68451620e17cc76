package geopackage

import (
	"encoding/hex"
	"strings"
	"testing"
	"time"

	"runproof/export"
)

var changed = time.Date(2026, 5, 12, 9, 36, 0, 500e6, time.UTC)

// A point's geometry by the standard's table (OGC 12-128r18, 2.1.3): GP, version
// 0, flags little-endian without box, 4326, and WKB: little-endian, type 1, x, y.
func TestPointByHand(t *testing.T) {
	at := export.Position{1, 2}
	want := "47500001" + "e6100000" + "0101000000" + "000000000000f03f" + "0000000000000040"
	if got := hex.EncodeToString(blob(export.Feature{At: &at})); got != want {
		t.Errorf("%s, want %s", got, want)
	}
	if blob(export.Feature{}) != nil {
		t.Error("a place that is not known has a geometry")
	}
}

// A triangle: flags with a box (min x, max x, min y, max y), a MultiPolygon of one
// Polygon of one ring of four.
func TestPolygonByHand(t *testing.T) {
	f := export.Feature{Ground: export.Ground{{{{0, 0}, {1, 0}, {1, 2}, {0, 0}}}}}
	zero, one, two := "0000000000000000", "000000000000f03f", "0000000000000040"
	want := "47500003" + "e6100000" + zero + one + zero + two +
		"0106000000" + "01000000" + "0103000000" + "01000000" + "04000000" + zero + zero + one + zero + one + two + zero + zero
	if got := hex.EncodeToString(blob(f)); got != want {
		t.Errorf("%s, want %s", got, want)
	}
}

// The statements carry the time given, and names that need it in quotes.
func TestScript(t *testing.T) {
	l := export.Layer{Name: `a "b"`, Fields: []export.Field{{Name: "end"}, {Name: "open", Type: export.Truth}}, Features: []export.Feature{{Cells: []any{nil, true}}}}
	var contents, table, row *Statement
	for s := range Script(changed, l) {
		switch {
		case strings.HasPrefix(s.SQL, "INSERT INTO gpkg_contents"):
			contents = &s
		case strings.HasPrefix(s.SQL, `CREATE TABLE "a`):
			table = &s
		case strings.HasPrefix(s.SQL, `INSERT INTO "a`):
			row = &s
		}
	}
	if contents == nil || contents.Args[4] != "2026-05-12T09:36:00.500Z" || contents.Args[1] != "attributes" || contents.Args[9] != nil {
		t.Errorf("contents %v", contents)
	}
	if table == nil || !strings.Contains(table.SQL, `"a ""b""" (fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL, "end" TEXT, "open" BOOLEAN)`) {
		t.Errorf("table %v", table)
	}
	if row == nil || row.Args[1] != nil || row.Args[2] != int64(1) {
		t.Errorf("row %v", row)
	}
}

// A reader of the statements may stop where it likes.
func TestScriptStops(t *testing.T) {
	var d export.Day
	all := 0
	for range Script(changed, d.Skips(), d.Runs()) {
		all++
	}
	for stop := 1; stop <= all; stop++ {
		n := 0
		for range Script(changed, d.Skips(), d.Runs()) {
			if n++; n == stop {
				break
			}
		}
	}
}
