package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// recordedDay simulates a day of the planned drill with a blocked hose, and
// returns the names of fit and log.
func recordedDay(t *testing.T, faults string) (fit, log string) {
	t.Helper()
	fit = planned(t)
	dir := filepath.Dir(fit)
	scenario := filepath.Join(dir, "day.yaml")
	text := "runproof: scenario/1\nkind: day\nseed: 5\nhours: 0.3\nflow: [{product: seed, per_run_s: 60}]\n" + faults
	if err := os.WriteFile(scenario, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	if status, _, errw := runproof(t, "", "simulate", scenario, "--fit", fit, "-o", dir, "--format", "csv"); status != ExitDone {
		t.Fatal(errw)
	}
	return fit, filepath.Join(dir, "day.csv")
}

const oneBlocked = "faults: [{kind: blocked, run: A-3, at_s: 400, for_s: 200, fall_s: 1, left: 0.03}]\n"

func TestReviewWritesWhatTheContractNames(t *testing.T) {
	fit, log := recordedDay(t, oneBlocked)
	dir := filepath.Join(t.TempDir(), "review")
	status, out, errw := runproof(t, "", "review", fit, log, "-o", dir)
	if status != ExitAttention || errw != "" || !strings.Contains(out, "A-3 fell to") {
		t.Fatalf("%d, %s%s", status, out, errw)
	}
	var doc struct {
		Runproof string
		Events   []struct{ Run, Head, Product, Kind, Start, End string }
	}
	text, err := os.ReadFile(filepath.Join(dir, "events.json"))
	if err == nil {
		err = json.Unmarshal(text, &doc)
	}
	if err != nil || doc.Runproof != "events/1" || len(doc.Events) != 1 {
		t.Fatalf("%v: %s", err, text)
	}
	ev := doc.Events[0]
	start, err := time.Parse(time.RFC3339Nano, ev.Start)
	late := start.Sub(time.Date(2026, 5, 12, 8, 6, 40, 0, time.UTC)) // 400 s after eight
	if err != nil || ev.Run != "A-3" || ev.Kind != "blocked" || ev.Product != "seed" || late.Abs() > 3*time.Second {
		t.Errorf("%+v: %v late", ev, late)
	}
	for name, begins := range map[string]string{"runs.csv": "run,", "skips.geojson": "{", "summary.json": "{", "report.pdf": "%PDF-"} {
		if b, err := os.ReadFile(filepath.Join(dir, name)); err != nil || !bytes.HasPrefix(b, []byte(begins)) {
			t.Errorf("%s: %v", name, err)
		}
	}
	again := filepath.Join(t.TempDir(), "review")
	runproof(t, "", "review", fit, log, "-o", again)
	for _, name := range filesIn(t, dir) {
		a, _ := os.ReadFile(filepath.Join(dir, name))
		b, _ := os.ReadFile(filepath.Join(again, name))
		if !bytes.Equal(a, b) {
			t.Errorf("%s differs the second time", name)
		}
	}
}

func filesIn(t *testing.T, dir string) (names []string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil && !os.IsNotExist(err) {
		t.Fatal(err)
	}
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

func TestReviewOfASoundDay(t *testing.T) {
	fit, log := recordedDay(t, "")
	dir := filepath.Join(t.TempDir(), "review")
	status, out, errw := runproof(t, "", "review", fit, log, "-o", dir)
	if status != ExitDone || !strings.Contains(out, "nothing wrong found") {
		t.Errorf("%d, %s%s", status, out, errw)
	}
}

func TestReviewJSON(t *testing.T) {
	fit, log := recordedDay(t, oneBlocked)
	_, out, _ := runproof(t, "", "--json", "review", fit, log, "-o", filepath.Join(t.TempDir(), "review"))
	if !json.Valid([]byte(out)) || !strings.Contains(out, `"events/1"`) {
		t.Error(out)
	}
}

// TestReviewOfBrokenInput: exit status 2, a message that names the place, and
// nothing written.
func TestReviewOfBrokenInput(t *testing.T) {
	fit, log := recordedDay(t, oneBlocked)
	text, err := os.ReadFile(log)
	if err != nil {
		t.Fatal(err)
	}
	lines := bytes.SplitAfter(text, []byte("\n"))
	put := func(name string, text []byte) string {
		name = filepath.Join(filepath.Dir(log), name)
		if err := os.WriteFile(name, text, 0o600); err != nil {
			t.Fatal(err)
		}
		return name
	}
	half := slices.Clone(lines)
	half[1080] = bytes.Replace(half[1080], []byte(","), []byte(",what"), 1)
	back := slices.Clone(lines)
	back[900] = back[5]
	for _, c := range []struct {
		name, log, says string
		more            []string
	}{
		{"damaged halfway", put("half.csv", bytes.Join(half, nil)), "half.csv:1081", nil},
		{"clock goes back", put("back.csv", bytes.Join(back, nil)), "back.csv:901", nil},
		{"no samples", put("head.csv", lines[0]), "head.csv", nil},
		{"no file", filepath.Join(filepath.Dir(log), "none.csv"), "none.csv", nil},
		{"rules that are none", log, "fit.json", []string{"--rules", fit}},
	} {
		dir := filepath.Join(t.TempDir(), "review")
		status, out, errw := runproof(t, "", append([]string{"review", fit, c.log, "-o", dir}, c.more...)...)
		if status != ExitInput || !strings.Contains(errw, c.says) || out != "" {
			t.Errorf("%s: %d, %s%s", c.name, status, out, errw)
		}
		if left := filesIn(t, dir); len(left) > 0 {
			t.Errorf("%s: left %v", c.name, left)
		}
	}
}
