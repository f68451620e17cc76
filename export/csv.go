package export

import (
	"encoding/csv"
	"io"
	"strings"
)

// WriteCSV writes a layer as a table, and behind its columns the places: lon and
// lat of points, or the polygons as WKT (OGC 06-103r4), which readers of maps
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
	case MultiPolygon:
		head = append(head, "WKT")
	}
	c.Write(head)
	for _, f := range l.Features {
		row := make([]string, len(l.Fields), len(head))
		for i, cell := range f.Cells {
			row[i] = tableCell(cell, l.Fields[i])
		}
		switch {
		case l.Geometry == MultiPolygon:
			row = append(row, wkt(f.Ground))
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

func wkt(g Ground) string {
	if len(g) == 0 {
		return ""
	}
	b := []byte("MULTIPOLYGON ")
	parts := func(b []byte, i int) []byte {
		if i > 0 {
			b = append(b, ',')
		}
		return b
	}
	b = append(b, '(')
	for i, p := range g {
		b = append(parts(b, i), '(')
		for k, r := range p {
			b = append(parts(b, k), '(')
			for j, at := range r {
				b = append(Degrees(parts(b, j), at[0]), ' ')
				b = Degrees(b, at[1])
			}
			b = append(b, ')')
		}
		b = append(b, ')')
	}
	return string(append(b, ')'))
}
