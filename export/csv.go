package export

import (
	"encoding/csv"
	"io"
	"strings"
)

// WriteCSV writes a layer as a table, and behind its columns the places: lon and
// lat of points, or polygons and lines as WKT (OGC 06-103r4), which readers of maps
// take for the geometry. What is not known is empty.
func WriteCSV(w io.Writer, l Layer) error {
	c := csv.NewWriter(w)
	head := make([]string, 0, len(l.Fields)+2)
	for _, f := range l.Fields {
		head = append(head, f.Name)
	}
	switch l.Geometry {
	case Point:
		head = append(head, "lon", "lat")
	case MultiPolygon, MultiLineString:
		head = append(head, "WKT")
	}
	c.Write(head)
	for _, f := range l.Features {
		row := make([]string, len(l.Fields), len(head))
		for i, cell := range f.Cells {
			row[i] = tableCell(cell, l.Fields[i])
		}
		switch {
		case l.Geometry == MultiPolygon || l.Geometry == MultiLineString:
			row = append(row, wkt(f))
		case f.At != nil:
			row = append(row, string(Degrees(nil, f.At[0])), string(Degrees(nil, f.At[1])))
		case l.Geometry == Point:
			row = append(row, "", "")
		}
		c.Write(row)
	}
	c.Flush()
	return c.Error()
}

func tableCell(cell any, f Field) string {
	if s, ok := cell.(string); ok {
		return Harmless(s)
	}
	b, _ := Number(nil, cell, f)
	return string(b)
}

// Harmless keeps a text from being taken for a formula by the program that opens
// the table.
func Harmless(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}

// wkt is a feature's polygons or lines as well-known text.
func wkt(f Feature) string {
	b := []byte(nil)
	switch {
	case len(f.Ground) > 0:
		b = wktList(append(b, "MULTIPOLYGON "...), f.Ground, func(b []byte, p Polygon) []byte {
			return wktList(b, p, func(b []byte, r Ring) []byte { return wktList(b, r, wktPosition) })
		})
	case len(f.Lines) > 0:
		b = wktList(append(b, "MULTILINESTRING "...), f.Lines, func(b []byte, l Line) []byte { return wktList(b, l, wktPosition) })
	}
	return string(b)
}

func wktList[T any](b []byte, list []T, one func([]byte, T) []byte) []byte {
	b = append(b, '(')
	for i, v := range list {
		if i > 0 {
			b = append(b, ',')
		}
		b = one(b, v)
	}
	return append(b, ')')
}

func wktPosition(b []byte, at Position) []byte {
	return Degrees(append(Degrees(b, at[0]), ' '), at[1])
}
