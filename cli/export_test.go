package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// reviewedDay is a folder that review wrote, and its fit.
func reviewedDay(t *testing.T) (dir, fit string) {
	t.Helper()
	fit, log := recordedDay(t, oneBlocked)
	dir = filepath.Join(t.TempDir(), "review")
	if status, _, errw := runproof(t, "", "review", fit, log, "-o", dir); status != ExitAttention {
		t.Fatal(status, errw)
	}
	return dir, fit
}

// Every form is written, and twice the same bytes; what is said of the files is
// what is there.
func TestExportEveryForm(t *testing.T) {
	dir, fit := reviewedDay(t)
	for _, name := range []string{"a.geojson", "a.gpkg", "a.kml", "a.shp", "a.zip", "a.csv", "a.xlsx", "TASKDATA", "a.taskdata.zip"} {
		var first map[string][]byte
		for range 2 {
			to := t.TempDir()
			status, out, errw := runproof(t, "", "export", dir, "-o", filepath.Join(to, name), "--fit", fit, "--rate", "seed=110", "--json")
			if status != ExitDone || errw != "" {
				t.Fatalf("%s: %d, %s", name, status, errw)
			}
			var doc exportDoc
			if err := json.Unmarshal([]byte(out), &doc); err != nil || doc.Runproof != "export/1" || len(doc.Files) == 0 || len(doc.Layers) == 0 {
				t.Fatalf("%s: %v, %s", name, err, out)
			}
			files := map[string][]byte{}
			for _, f := range doc.Files {
				b, err := os.ReadFile(f.Name)
				if err != nil || len(b) != f.Bytes {
					t.Errorf("%s: %v, %d bytes, said to be %d", f.Name, err, len(b), f.Bytes)
				}
				files[filepath.Base(f.Name)] = b
			}
			if first == nil {
				first = files
				continue
			}
			for n, b := range files {
				if !bytes.Equal(b, first[n]) {
					t.Errorf("%s differs the second time", n)
				}
			}
		}
	}
}

func TestExportRefuses(t *testing.T) {
	dir, fit := reviewedDay(t)
	drawn := filepath.Join(t.TempDir(), "a")
	for _, c := range []struct{ args, want string }{
		{"export " + dir + " -o " + drawn + ".dxf", "the end of the name says no form; end it in .geojson"},
		{"export " + dir + " -o " + drawn + ".geojson --what runs", "GeoJSON holds places, and runs have none; write runs as .csv"},
		{"export " + dir + " -o " + drawn + ".taskdata.zip", "none is named; add --fit fit.json or --drill drill.yaml"},
		{"export " + dir + " -o " + drawn + ".taskdata.zip --fit " + fit + " --client-name XYZ", `"XYZ" is no NAME`},
		{"export " + dir + " -o " + drawn + ".taskdata.zip --fit " + fit + " --rate seed=110 --grid 0.001", "take cells of"},
		{"export " + dir + " -o " + drawn + ".taskdata.zip --fit " + fit, "product seed has no rate; write rate_kg_ha"},
		{"export " + dir + " -o " + drawn + ".taskdata.zip --fit " + fit + " --rate sed=110", `the drill has no product "sed"; did you mean seed?`},
		{"export " + dir + " -o " + drawn + ".taskdata.zip --fit " + fit + " --rate seed=-1", "a rate is more than 0"},
		{"export " + filepath.Dir(fit) + " -o " + drawn + ".kml", "events.json: is not there; name a folder that runproof review wrote"},
	} {
		status, out, errw := runproof(t, "", strings.Fields(c.args)...)
		if status != ExitInput || out != "" || !strings.Contains(errw, c.want) {
			t.Errorf("%s: %d, %q, %q", c.args, status, out, errw)
		}
	}
	if left := filesIn(t, filepath.Dir(drawn)); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

// A day whose recording has no positions still gives its events and runs, and a
// map of it says that it is empty.
func TestExportWithoutPositions(t *testing.T) {
	dir, _ := reviewedDay(t)
	empty := `{"type": "FeatureCollection", "features": []}`
	if err := os.WriteFile(filepath.Join(dir, "skips.geojson"), []byte(empty), 0o600); err != nil {
		t.Fatal(err)
	}
	to := t.TempDir()
	for name, want := range map[string]int{"a.gpkg": ExitAttention, "a.csv": ExitDone, "a.xlsx": ExitDone} {
		status, out, errw := runproof(t, "", "export", dir, "-o", filepath.Join(to, name))
		if status != want || errw != "" || !strings.Contains(out, "the recording carries no positions") {
			t.Errorf("%s: %d, %s%s", name, status, out, errw)
		}
	}
}

// A calm day is an empty map, and a set that describes the drill and asks for
// nothing.
func TestExportCalmDay(t *testing.T) {
	fit, log := recordedDay(t, "")
	dir, to := filepath.Join(t.TempDir(), "review"), t.TempDir()
	if status, _, errw := runproof(t, "", "review", fit, log, "-o", dir); status != ExitDone {
		t.Fatal(status, errw)
	}
	for _, name := range []string{"a.geojson", "a.gpkg", "a.kml", "a.shp", "a.zip", "a.csv", "a.xlsx", "TASKDATA.zip"} {
		status, out, errw := runproof(t, "", "export", dir, "-o", filepath.Join(to, name), "--fit", fit)
		if status != ExitDone || errw != "" || strings.Contains(out, "no positions") {
			t.Errorf("%s: %d, %s%s", name, status, out, errw)
		}
		if strings.HasPrefix(name, "TASKDATA") != strings.Contains(out, "no ground to sow again") {
			t.Errorf("%s: %s", name, out)
		}
	}
}

// A terminal's own task data are never written over; those of an earlier export
// are.
func TestExportKeepsATerminalsData(t *testing.T) {
	dir, fit := reviewedDay(t)
	card := filepath.Join(t.TempDir(), "TASKDATA")
	args := []string{"export", dir, "-o", card, "--fit", fit, "--rate", "seed=110"}
	for range 2 {
		if status, _, errw := runproof(t, "", args...); status != ExitDone {
			t.Fatal(status, errw)
		}
	}
	file := filepath.Join(card, "TASKDATA.XML")
	theirs := `<ISO11783_TaskData VersionMajor="4" ManagementSoftwareManufacturer="Invented terminal"/>`
	if err := os.WriteFile(file, []byte(theirs), 0o600); err != nil {
		t.Fatal(err)
	}
	status, _, errw := runproof(t, "", args...)
	if b, _ := os.ReadFile(file); status != ExitInput || !strings.Contains(errw, "another program wrote it") || string(b) != theirs {
		t.Errorf("%d, %s, file is %s", status, errw, b)
	}
}

// The recording adds the track and gives every event a place.
func TestExportWithTheRecording(t *testing.T) {
	fit, log := recordedDay(t, oneBlocked+"  # and a noisy sensor\n")
	dir := filepath.Join(t.TempDir(), "review")
	runproof(t, "", "review", fit, log, "-o", dir)
	out := filepath.Join(t.TempDir(), "a.gpkg")
	status, text, errw := runproof(t, "", "export", dir, "-o", out, "--log", log, "--json")
	var doc exportDoc
	if err := json.Unmarshal([]byte(text), &doc); err != nil || status != ExitDone || errw != "" {
		t.Fatal(err, status, errw)
	}
	passes := 0
	for _, l := range doc.Layers {
		if l.Unplaced > 0 {
			t.Errorf("%s: %d without a place", l.Name, l.Unplaced)
		}
		if l.Name == "track" {
			passes = l.Features
		}
	}
	if passes == 0 || len(doc.Layers) != 4 {
		t.Errorf("%+v", doc.Layers)
	}
	if status, _, errw := runproof(t, "", "export", dir, "-o", out, "--what", "track"); status != ExitInput || !strings.Contains(errw, "there is no track to write; name the recording") {
		t.Errorf("%d, %s", status, errw)
	}
}

// --form says the form where the name does not, so that standard output can be
// written.
func TestExportToStandardOutput(t *testing.T) {
	dir, _ := reviewedDay(t)
	status, out, errw := runproof(t, "", "export", dir, "-o", "-", "--form", "geojson")
	if status != ExitDone || errw != "" || !strings.HasPrefix(out, `{"type":"FeatureCollection","name":"skips"`) || !json.Valid([]byte(out)) {
		t.Errorf("%d, %s%.300s", status, errw, out)
	}
	if status, _, errw := runproof(t, "", "export", dir, "-o", "-", "--form", "shp"); status != ExitInput || !strings.Contains(errw, "a shapefile is several files; write a .zip") {
		t.Errorf("%d, %s", status, errw)
	}
}
