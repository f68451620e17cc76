package export

import (
	"bufio"
	"encoding/json"
	"io"
)

// WriteGeoJSON writes a layer as a FeatureCollection (RFC 7946), one feature a
// line: outer rings counter-clockwise, WGS 84, longitude first. A feature whose
// place is not known has the geometry null. Name and description are foreign
// members, which readers may leave aside.
func WriteGeoJSON(w io.Writer, l Layer) error {
	b := bufio.NewWriter(w)
	b.WriteString(`{"type":"FeatureCollection","name":` + quoted(l.Name) + `,"description":` + quoted(l.Description()) + `,"features":[`)
	var line []byte
	for i, f := range l.Features {
		line = line[:0]
		if i > 0 {
			line = append(line, ',')
		}
		line = append(line, "\n"+`{"type":"Feature","geometry":`...)
		line = appendGeometry(line, f)
		line = append(line, `,"properties":{`...)
		line = appendProperties(line, l.Fields, f.Cells)
		line = append(line, "}}"...)
		b.Write(line)
	}
	b.WriteString("\n]}\n")
	return b.Flush()
}

func appendProperties(b []byte, fields []Field, cells []any) []byte {
	for i, f := range fields {
		if i > 0 {
			b = append(b, ',')
		}
		b = append(append(b, quoted(f.Name)...), ':')
		if s, ok := cells[i].(string); ok {
			b = append(b, quoted(s)...)
			continue
		}
		var ok bool
		if b, ok = Number(b, cells[i], f); !ok {
			b = append(b, "null"...)
		}
	}
	return b
}

func appendGeometry(b []byte, f Feature) []byte {
	switch {
	case f.At != nil:
		b = append(b, `{"type":"Point","coordinates":`...)
		return append(appendPosition(b, *f.At), '}')
	case len(f.Lines) > 0:
		b = append(b, `{"type":"MultiLineString","coordinates":`...)
		b = appendList(b, f.Lines, func(b []byte, l Line) []byte { return appendList(b, l, appendPosition) })
		return append(b, '}')
	case len(f.Ground) > 0:
		b = append(b, `{"type":"MultiPolygon","coordinates":`...)
		b = appendList(b, f.Ground, func(b []byte, p Polygon) []byte {
			return appendList(b, p, func(b []byte, r Ring) []byte { return appendList(b, r, appendPosition) })
		})
		return append(b, '}')
	}
	return append(b, "null"...)
}

func appendList[T any](b []byte, list []T, one func([]byte, T) []byte) []byte {
	b = append(b, '[')
	for i, v := range list {
		if i > 0 {
			b = append(b, ',')
		}
		b = one(b, v)
	}
	return append(b, ']')
}

func appendPosition(b []byte, at Position) []byte {
	b = append(Degrees(append(b, '['), at[0]), ',')
	return append(Degrees(b, at[1]), ']')
}

// quoted is a JSON string; what is no UTF-8 becomes U+FFFD.
func quoted(s string) string {
	b, err := json.Marshal(s)
	if err != nil {
		return `""` // strings can always be written
	}
	return string(b)
}
