// Package geopackage says how layers are laid down in a GeoPackage (OGC 12-128r18,
// version 1.3), which is a SQLite database:
//
//	for s := range geopackage.Before() { db.Exec(s.SQL) }                            // outside the transaction
//	for s := range geopackage.Script(day.End(), layers...) { tx.Exec(s.SQL, s.Args...) }
//
// The package knows no database: a shell runs the statements, in order, in one
// transaction, on an empty database of pages of 4096 bytes. The same layers give
// the same statements.
//
// A layer with places is a feature table in EPSG:4326, one without is a table of
// attributes. A geometry is the standard's head (magic GP, version, flags,
// reference system, box) and WKB behind it, longitude first. A place that is not
// known is NULL.
package geopackage
