package export_test

import (
	"bytes"
	"encoding/json"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"runproof/cli/sqlitefile"
	"runproof/export"
	"runproof/export/geopackage"
	"runproof/export/kml"
	"runproof/export/shapefile"
)

// form is one form of output and a reader of our own for it.
type form struct {
	name  string // the file's
	write func(io.Writer, *export.Day) error
	read  func(*testing.T, []byte) []seen
}

var forms = []form{
	{"skips.geojson", func(w io.Writer, d *export.Day) error { return export.WriteGeoJSON(w, d.Skips()) }, readGeoJSON},
	{"events.geojson", func(w io.Writer, d *export.Day) error { return export.WriteGeoJSON(w, d.Events()) }, readGeoJSON},
	{"track.geojson", func(w io.Writer, d *export.Day) error { return export.WriteGeoJSON(w, d.Track()) }, readGeoJSON},
	{"day.kml", func(w io.Writer, d *export.Day) error {
		return kml.Write(w, d.Title(), d.Skips(), d.Events(), d.Track())
	}, readKML},
	{"day.gpkg", func(w io.Writer, d *export.Day) error {
		b, err := sqlitefile.Bytes(geopackage.Before(), geopackage.Script(d.End(), d.Skips(), d.Events(), d.Track(), d.Runs()))
		w.Write(b)
		return err
	}, readGPKG},
	{"day.shp.zip", func(w io.Writer, d *export.Day) error {
		_, err := shapefile.WriteZip(w, d.End(), d.Skips(), d.Events(), d.Track(), d.Runs())
		return err
	}, readShapefiles},
	{"track.csv", func(w io.Writer, d *export.Day) error { return export.WriteCSV(w, d.Track()) }, func(t *testing.T, b []byte) []seen { return readCSV(t, b, "track") }},
	{"skips.csv", func(w io.Writer, d *export.Day) error { return export.WriteCSV(w, d.Skips()) }, func(t *testing.T, b []byte) []seen { return readCSV(t, b, "skips") }},
}

func days(t *testing.T) map[string]*export.Day {
	return map[string]*export.Day{"demo": demoDay(t), "odd": oddDay(t), "empty": emptyDay(t), "followed": followedDay(t)}
}

func written(t testing.TB, f form, d *export.Day) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := f.write(&b, d); err != nil {
		t.Fatalf("%s: %v", f.name, err)
	}
	return b.Bytes()
}

// Each form reads back by a reader of our own as GDAL's ogrinfo 3.6.2 read it.
// Where ogrinfo is installed, it reads it again.
func TestOgr(t *testing.T) {
	const golden = "testdata/ogr.json"
	want := map[string][]seen{}
	if !*update {
		text, err := os.ReadFile(golden)
		if err == nil {
			err = json.Unmarshal(text, &want)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	_, missing := exec.LookPath("ogrinfo")
	if *update && missing != nil {
		t.Fatal(missing)
	}
	for name, day := range days(t) {
		for _, f := range forms {
			key := name + "/" + f.name
			file := written(t, f, day)
			if missing == nil {
				at := filepath.Join(t.TempDir(), f.name)
				if err := os.WriteFile(at, file, 0o600); err != nil {
					t.Fatal(err)
				}
				if strings.HasSuffix(at, ".zip") {
					at = "/vsizip/" + at
				}
				now := ogrinfo(t, at)
				if *update {
					want[key] = now
				}
				same(t, key+" by ogrinfo", now, want[key])
			}
			same(t, key, f.read(t, file), want[key])
		}
	}
	if *update {
		text, _ := json.MarshalIndent(want, "", " ")
		if err := os.WriteFile(golden, append(text, '\n'), 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

// same holds what one reader saw to what ogrinfo saw: every layer of the file,
// the number of its features, the extent (ogrinfo prints six digits), the names
// of the columns, and of the first feature each cell and the places.
func same(t *testing.T, key string, got, want []seen) {
	t.Helper()
	if len(want) == 0 {
		t.Fatalf("%s: nothing to compare with", key)
	}
	for _, w := range want {
		at := slices.IndexFunc(got, func(s seen) bool { return s.Layer == w.Layer })
		if at < 0 {
			t.Errorf("%s: no layer %s", key, w.Layer)
			continue
		}
		g := got[at]
		if w.Count == 0 { // an empty shapefile has a box all the same, of zeros
			g.Extent, w.Extent = nil, nil
		}
		if g.Count != w.Count || len(g.Extent) != len(w.Extent) {
			t.Errorf("%s %s: %d features in %v, want %d in %v", key, w.Layer, g.Count, g.Extent, w.Count, w.Extent)
			continue
		}
		for i, v := range w.Extent {
			if math.Abs(g.Extent[i]-v) > 0.51e-6 {
				t.Errorf("%s %s: extent %v, want %v", key, w.Layer, g.Extent, w.Extent)
			}
		}
		for i, v := range w.Places {
			if math.Abs(g.Places[i]-v) > 1e-7 {
				t.Errorf("%s %s: places of the first feature %v, want %v", key, w.Layer, g.Places, w.Places)
			}
		}
		for k, v := range w.First {
			if _, ours := g.First[k]; ours && !alike(g.First[k], v) {
				t.Errorf("%s %s: %s is %q, want %q", key, w.Layer, k, g.First[k], v)
			}
		}
		for k := range g.First {
			if !slices.ContainsFunc(w.Fields, func(f string) bool { return strings.HasPrefix(f, k+" ") }) {
				t.Errorf("%s %s: ogrinfo has no column %s", key, w.Layer, k)
			}
		}
		for _, f := range g.Fields {
			if f != "WKT" && !slices.ContainsFunc(w.Fields, func(o string) bool { n, _, _ := strings.Cut(o, " "); m, _, _ := strings.Cut(f, " "); return n == m }) {
				t.Errorf("%s %s: ogrinfo has no column %s", key, w.Layer, f)
			}
		}
	}
}

// alike: texts are the same; numbers, truth values and times have the same value.
func alike(a, b string) bool {
	x, err1 := strconv.ParseFloat(a, 64)
	y, err2 := strconv.ParseFloat(b, 64)
	truth := map[string]string{"true": "1", "false": "0", "T": "T", "F": "F"}
	return a == b || err1 == nil && err2 == nil && x == y || truth[a] == b && b != ""
}

// The same day gives the same bytes.
func TestSameBytes(t *testing.T) {
	for name, day := range days(t) {
		for _, f := range forms {
			if !bytes.Equal(written(t, f, day), written(t, f, day)) {
				t.Errorf("%s of %s differs the second time", f.name, name)
			}
		}
	}
}
