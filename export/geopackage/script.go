package geopackage

import (
	"iter"
	"strings"
	"time"

	"runproof/export"
)

// Statement is one statement and what stands for its question marks: string,
// int64, float64, []byte or nil.
type Statement struct {
	SQL  string
	Args []any
}

// before are the statements that must run outside a transaction.
var before = []string{
	"PRAGMA application_id = 1196444487", // GPKG
	"PRAGMA user_version = 10300",
}

// frame are the tables that every GeoPackage has (OGC 12-128r18, annex C).
var frame = []string{
	`CREATE TABLE gpkg_spatial_ref_sys (srs_name TEXT NOT NULL, srs_id INTEGER PRIMARY KEY, organization TEXT NOT NULL, organization_coordsys_id INTEGER NOT NULL, definition TEXT NOT NULL, description TEXT)`,
	`CREATE TABLE gpkg_contents (table_name TEXT NOT NULL PRIMARY KEY, data_type TEXT NOT NULL, identifier TEXT UNIQUE, description TEXT DEFAULT '', last_change DATETIME NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%fZ','now')), min_x DOUBLE, min_y DOUBLE, max_x DOUBLE, max_y DOUBLE, srs_id INTEGER, CONSTRAINT fk_gc_r_srs_id FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys(srs_id))`,
	`CREATE TABLE gpkg_geometry_columns (table_name TEXT NOT NULL, column_name TEXT NOT NULL, geometry_type_name TEXT NOT NULL, srs_id INTEGER NOT NULL, z TINYINT NOT NULL, m TINYINT NOT NULL, CONSTRAINT pk_geom_cols PRIMARY KEY (table_name, column_name), CONSTRAINT uk_gc_table_name UNIQUE (table_name), CONSTRAINT fk_gc_tn FOREIGN KEY (table_name) REFERENCES gpkg_contents(table_name), CONSTRAINT fk_gc_srs FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys (srs_id))`,
}

const wgs84 = `GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563,AUTHORITY["EPSG","7030"]],AUTHORITY["EPSG","6326"]],PRIMEM["Greenwich",0,AUTHORITY["EPSG","8901"]],UNIT["degree",0.0174532925199433,AUTHORITY["EPSG","9122"]],AXIS["Latitude",NORTH],AXIS["Longitude",EAST],AUTHORITY["EPSG","4326"]]`

// Before are the statements that run first, outside the transaction.
func Before() iter.Seq[Statement] {
	return func(yield func(Statement) bool) {
		for _, sql := range before {
			if !yield(Statement{SQL: sql}) {
				return
			}
		}
	}
}

// Script are the statements that fill the database; changed is written as the
// time of change.
func Script(changed time.Time, layers ...export.Layer) iter.Seq[Statement] {
	return func(yield func(Statement) bool) {
		run := func(sql string, args ...any) bool { return yield(Statement{sql, args}) }
		for _, sql := range frame {
			if !run(sql) {
				return
			}
		}
		const srs = "INSERT INTO gpkg_spatial_ref_sys VALUES (?, ?, ?, ?, ?, ?)"
		if !run(srs, "Undefined Cartesian SRS", int64(-1), "NONE", int64(-1), "undefined", "undefined Cartesian coordinate reference system") ||
			!run(srs, "Undefined geographic SRS", int64(0), "NONE", int64(0), "undefined", "undefined geographic coordinate reference system") ||
			!run(srs, "WGS 84 geodetic", int64(srsID), "EPSG", int64(srsID), wgs84, "longitude and latitude in degrees on the WGS 84 ellipsoid") {
			return
		}
		for _, l := range layers {
			if !layer(l, changed, run) {
				return
			}
		}
	}
}

func layer(l export.Layer, changed time.Time, run func(string, ...any) bool) bool {
	cols, marks := []string{"fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL"}, "?"
	if l.Geometry != export.None {
		cols, marks = append(cols, "geom "+strings.ToUpper(l.Geometry.String())), marks+", ?"
	}
	for _, f := range l.Fields {
		cols, marks = append(cols, name(f.Name)+" "+columnType(f.Type)), marks+", ?"
	}
	if !run("CREATE TABLE "+name(l.Name)+" ("+strings.Join(cols, ", ")+")") || !contents(l, changed, run) {
		return false
	}
	insert := "INSERT INTO " + name(l.Name) + " VALUES (" + marks + ")"
	for i, f := range l.Features {
		args := []any{int64(i + 1)}
		if l.Geometry != export.None {
			args = append(args, null(blob(f)))
		}
		for _, cell := range f.Cells {
			args = append(args, stored(cell))
		}
		if !run(insert, args...) {
			return false
		}
	}
	return true
}

// contents enters a layer in the book of contents.
func contents(l export.Layer, changed time.Time, run func(string, ...any) bool) bool {
	kind, box, srs := "attributes", []any{nil, nil, nil, nil}, any(nil)
	if l.Geometry != export.None {
		kind, srs = "features", int64(srsID)
		if low, high, ok := l.Bounds(); ok {
			box = []any{low[0], low[1], high[0], high[1]}
		}
	}
	args := append([]any{l.Name, kind, l.Name, l.Description(), changed.UTC().Format("2006-01-02T15:04:05.000Z")}, append(box, srs)...)
	if !run("INSERT INTO gpkg_contents VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", args...) {
		return false
	}
	return l.Geometry == export.None ||
		run("INSERT INTO gpkg_geometry_columns VALUES (?, 'geom', ?, ?, 0, 0)", l.Name, strings.ToUpper(l.Geometry.String()), int64(srsID))
}

func columnType(t export.FieldType) string {
	return map[export.FieldType]string{export.Text: "TEXT", export.Whole: "INTEGER", export.Decimal: "DOUBLE", export.Truth: "BOOLEAN"}[t]
}

// name is an identifier in SQL.
func name(s string) string { return `"` + strings.ReplaceAll(s, `"`, `""`) + `"` }

// stored is a cell as SQLite stores it: it has no truth values.
func stored(cell any) any {
	switch v := cell.(type) {
	case bool:
		if v {
			return int64(1)
		}
		return int64(0)
	case string:
		return strings.ToValidUTF8(v, "\ufffd")
	}
	return cell
}

func null(b []byte) any {
	if b == nil {
		return nil
	}
	return b
}
