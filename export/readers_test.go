package export_test

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"path"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// The readers here are written from the forms' standards and share no code with
// the writers.

func readGeoJSON(t *testing.T, file []byte) []seen {
	t.Helper()
	var doc struct {
		Type, Name string
		Features   []struct {
			Type       string
			Geometry   *struct{ Coordinates any }
			Properties map[string]any
		}
	}
	if err := json.Unmarshal(file, &doc); err != nil || doc.Type != "FeatureCollection" {
		t.Fatal(err, doc.Type)
	}
	s := seen{Layer: doc.Name, Count: len(doc.Features), First: map[string]string{}}
	for i, f := range doc.Features {
		if f.Geometry != nil {
			s.walk(i == 0, f.Geometry.Coordinates)
		}
		for k, v := range f.Properties {
			if i == 0 && v != nil {
				s.First[k] = fmt.Sprint(v)
			}
		}
	}
	return []seen{s}
}

// walk finds the positions in nested lists.
func (s *seen) walk(first bool, v any) {
	list := v.([]any)
	if lon, ok := list[0].(float64); ok {
		s.place(first, lon, list[1].(float64))
		return
	}
	for _, in := range list {
		s.walk(first, in)
	}
}

func readKML(t *testing.T, file []byte) []seen {
	t.Helper()
	type kmlPlacemark struct {
		Data []struct {
			Name string `xml:"name,attr"`
			Text string `xml:",chardata"`
		} `xml:"ExtendedData>SchemaData>SimpleData"`
		Inner string `xml:",innerxml"`
	}
	var doc struct {
		Folders []struct {
			Name  string         `xml:"name"`
			Marks []kmlPlacemark `xml:"Placemark"`
		} `xml:"Document>Folder"`
	}
	if err := xml.Unmarshal(file, &doc); err != nil {
		t.Fatal(err)
	}
	var layers []seen
	for _, f := range doc.Folders {
		s := seen{Layer: f.Name, Count: len(f.Marks), First: map[string]string{}}
		for i, m := range f.Marks {
			for _, part := range strings.Split(m.Inner, "<coordinates>")[1:] {
				text, _, _ := strings.Cut(part, "<")
				for _, tuple := range strings.Fields(text) {
					xy := strings.Split(tuple, ",")
					lon, _ := strconv.ParseFloat(xy[0], 64)
					lat, _ := strconv.ParseFloat(xy[1], 64)
					s.place(i == 0, lon, lat)
				}
			}
			for _, d := range m.Data {
				if i == 0 {
					s.First[d.Name] = d.Text
				}
			}
		}
		layers = append(layers, s)
	}
	return layers
}

func readShapefiles(t *testing.T, file []byte) []seen {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		t.Fatal(err)
	}
	parts := map[string][]byte{}
	var names []string
	for _, f := range z.File {
		r, _ := f.Open()
		parts[f.Name], _ = io.ReadAll(r)
		if path.Ext(f.Name) == ".dbf" {
			names = append(names, strings.TrimSuffix(f.Name, ".dbf"))
		}
	}
	var layers []seen
	for _, n := range names {
		s := seen{Layer: n, First: map[string]string{}}
		s.dbf(t, parts[n+".dbf"])
		if shp := parts[n+".shp"]; shp != nil {
			s.shp(t, shp, parts[n+".shx"])
		}
		layers = append(layers, s)
	}
	return layers
}

func (s *seen) dbf(t *testing.T, b []byte) {
	t.Helper()
	le := binary.LittleEndian
	s.Count = int(le.Uint32(b[4:]))
	head, record := int(le.Uint16(b[8:])), int(le.Uint16(b[10:]))
	if len(b) != head+record*s.Count+1 || b[len(b)-1] != 0x1a || b[head-1] != 0x0d {
		t.Errorf("%s.dbf: %d bytes, head %d, records %d x %d", s.Layer, len(b), head, s.Count, record)
	}
	at := head + 1
	for d := b[32 : head-1]; len(d) > 0; d = d[32:] {
		name := string(bytes.TrimRight(d[:11], "\x00"))
		s.Fields = append(s.Fields, name)
		if s.Count > 0 {
			if v := strings.TrimSpace(string(b[at : at+int(d[16])])); v != "" && v != "?" {
				s.First[name] = v
			}
		}
		at += int(d[16])
	}
}

func (s *seen) shp(t *testing.T, shp, shx []byte) {
	t.Helper()
	be, le := binary.BigEndian, binary.LittleEndian
	float := func(at int) float64 { return math.Float64frombits(le.Uint64(shp[at:])) }
	if be.Uint32(shp) != 9994 || int(be.Uint32(shp[24:]))*2 != len(shp) || int(be.Uint32(shx[24:]))*2 != len(shx) || len(shx) != 100+8*s.Count {
		t.Errorf("%s: head of %d bytes says %d, index of %d", s.Layer, len(shp), be.Uint32(shp[24:])*2, len(shx))
	}
	for i := range s.Count {
		at, n := int(be.Uint32(shx[100+8*i:]))*2, int(be.Uint32(shx[104+8*i:]))*2
		if int(be.Uint32(shp[at:])) != i+1 || int(be.Uint32(shp[at+4:]))*2 != n {
			t.Errorf("%s: record %d is out of place", s.Layer, i+1)
		}
		switch at += 8; le.Uint32(shp[at:]) {
		case 1:
			s.place(i == 0, float(at+4), float(at+12))
		case 3, 5:
			parts, places := int(le.Uint32(shp[at+36:])), int(le.Uint32(shp[at+40:]))
			for k := range places {
				p := at + 44 + 4*parts + 16*k
				s.place(i == 0, float(p), float(p+8))
			}
			if n != 44+4*parts+16*places {
				t.Errorf("%s: record %d is %d bytes", s.Layer, i+1, n)
			}
			if le.Uint32(shp[at:]) == 5 {
				s.clockwise(t, shp[at:], parts, places)
			}
		}
	}
	if e := s.Extent; len(e) > 0 && !slices.Equal(e, []float64{float(36), float(44), float(52), float(60)}) {
		t.Errorf("%s: box of the head is not %v", s.Layer, e)
	}
}

// clockwise checks the first ring of a polygon record, which is an outer one.
func (s *seen) clockwise(t *testing.T, rec []byte, parts, places int) {
	t.Helper()
	end := places
	if parts > 1 {
		end = int(binary.LittleEndian.Uint32(rec[48:]))
	}
	twice, x0, y0 := 0.0, 0.0, 0.0
	for k := range end {
		at := 44 + 4*parts + 16*k
		x, y := math.Float64frombits(binary.LittleEndian.Uint64(rec[at:])), math.Float64frombits(binary.LittleEndian.Uint64(rec[at+8:]))
		if k > 0 {
			twice += (x - x0) * (y + y0)
		}
		x0, y0 = x, y
	}
	if twice <= 0 {
		t.Errorf("%s: outer ring runs counter-clockwise", s.Layer)
	}
}

func readCSV(t *testing.T, file []byte, layer string) []seen {
	t.Helper()
	rows, err := csv.NewReader(bytes.NewReader(file)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	s := seen{Layer: layer, Count: len(rows) - 1, Fields: rows[0], First: map[string]string{}}
	for i, r := range rows[1:] {
		last := r[len(r)-1]
		if rows[0][len(r)-1] == "WKT" {
			for _, pair := range placePair.FindAllStringSubmatch(last, -1) {
				lon, _ := strconv.ParseFloat(pair[1], 64)
				lat, _ := strconv.ParseFloat(pair[2], 64)
				s.place(i == 0, lon, lat)
			}
		}
		for k, v := range r {
			if i == 0 && v != "" && rows[0][k] != "WKT" {
				s.First[rows[0][k]] = v
			}
		}
	}
	return []seen{s}
}
