package sqlitefile

import (
	"bytes"
	"errors"
	"iter"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"runproof/export"
	"runproof/export/geopackage"
)

func demoFile(t *testing.T) []byte {
	t.Helper()
	day, err := export.Read(os.DirFS("../../export/testdata/demo"), "demo")
	if err != nil {
		t.Fatal(err)
	}
	b, err := Bytes(geopackage.Before(), geopackage.Script(day.End(), day.Skips(), day.Events(), day.Runs()))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// The bytes are a SQLite file with the mark and the version of a GeoPackage at
// the places that its format names (sqlite.org/fileformat2: 68 and 60), and the
// same each time.
func TestBytes(t *testing.T) {
	a, b := demoFile(t), demoFile(t)
	if !bytes.Equal(a, b) {
		t.Error("two files differ")
	}
	if !strings.HasPrefix(string(a), "SQLite format 3\x00") || string(a[68:72]) != "GPKG" || !bytes.Equal(a[60:64], []byte{0, 0, 0x28, 0x3c}) {
		t.Errorf("head % x", a[:100])
	}
}

// GDAL's validate_gpkg finds nothing wrong, where it is installed (3.6.2, return
// code 0, when this was written).
func TestValidateGPKG(t *testing.T) {
	const python = "/usr/bin/python3"
	if exec.Command(python, "-c", "import osgeo_utils.samples.validate_gpkg").Run() != nil {
		t.Skip("no GDAL with Python here")
	}
	name := filepath.Join(t.TempDir(), "a.gpkg")
	if err := os.WriteFile(name, demoFile(t), 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command(python, "-m", "osgeo_utils.samples.validate_gpkg", "-k", name).CombinedOutput(); err != nil {
		t.Errorf("%v: %s", err, out)
	}
}

// A statement that fails gives no file.
func TestFails(t *testing.T) {
	list := func(sql string) iter.Seq[geopackage.Statement] {
		return func(yield func(geopackage.Statement) bool) { yield(geopackage.Statement{SQL: sql}) }
	}
	none := func(func(geopackage.Statement) bool) {}
	for _, c := range []struct {
		before, script iter.Seq[geopackage.Statement]
	}{{list("NONSENSE"), none}, {none, list("NONSENSE")}} {
		if b, err := Bytes(c.before, c.script); err == nil || b != nil {
			t.Errorf("%d bytes, %v", len(b), err)
		}
	}
	var day export.Day
	if _, err := Bytes(geopackage.Before(), geopackage.Script(time.Unix(0, 0), day.Skips(), day.Skips())); err == nil || errors.Is(err, os.ErrNotExist) {
		t.Errorf("a table twice: %v", err)
	}
}
