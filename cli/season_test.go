package cli

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"runproof/season"
)

// recordedSeason simulates eight short days: A-3 is blocked three times on each
// of the first four, A-2 once on the fifth.
func recordedSeason(t *testing.T) (fit string, logs []string) {
	t.Helper()
	fit = planned(t)
	dir := t.TempDir()
	for n := range 8 {
		var faults []string
		switch {
		case n < 4:
			for _, at := range []int{150, 550, 950} {
				faults = append(faults, fmt.Sprintf("{kind: blocked, run: A-3, at_s: %d, for_s: 60, fall_s: 1, left: 0.03}", at))
			}
		case n == 4:
			faults = append(faults, "{kind: blocked, run: A-2, at_s: 400, for_s: 60, fall_s: 1, left: 0.03}")
		}
		text := fmt.Sprintf("runproof: scenario/1\nkind: day\nseed: %d\ndrill_seed: 3\nhours: 0.32\nstart: \"2026-05-%02dT08:00:00Z\"\nflow: [{product: seed, per_run_s: 60}]\nfaults: [%s]\n", n+1, n+1, strings.Join(faults, ", "))
		scenario := filepath.Join(dir, "scenario.yaml")
		if err := os.WriteFile(scenario, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if status, _, errw := runproof(t, "", "simulate", scenario, "--fit", fit, "-o", dir, "--format", "csv"); status != ExitDone {
			t.Fatal(errw)
		}
		log := filepath.Join(dir, fmt.Sprintf("may-%d.csv", n+1))
		if err := os.Rename(filepath.Join(dir, "day.csv"), log); err != nil {
			t.Fatal(err)
		}
		logs = append(logs, log)
	}
	return fit, logs
}

func readSeason(t *testing.T, dir string) *season.Document {
	t.Helper()
	f, err := os.Open(filepath.Join(dir, "season.json"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	doc, err := season.Read(f, "season.json")
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

// TestSeason finds the run that was blocked again and again and the repair that
// helped, goes on past a log that cannot be read, and takes the reviews that it
// has made before.
//
// A-3's 12 of 13 flow troubles have a chance below 1e-10 on a drill of a dozen
// runs or more; 12 before and none after, in equal hours, one of 2 x 2^-12.
func TestSeason(t *testing.T) {
	fit, logs := recordedSeason(t)
	repairs := keep(t, "repairs.yaml", "runproof: repairs/1\nrepairs:\n- {run: A-3, date: 2026-05-05T06:00:00Z, what: new boot}\n")
	broken := keep(t, "broken.csv", "time,N1:1\n1,what\n")
	dir := filepath.Join(t.TempDir(), "season")
	args := append([]string{"season", fit, "--repairs", repairs, "-o", dir, broken}, logs...)
	status, out, errw := runproof(t, "", args...)
	if status != ExitAttention || !strings.Contains(errw, "left out: ") || !strings.Contains(errw, "broken.csv:2") {
		t.Fatalf("%d, %s%s", status, out, errw)
	}
	for _, want := range []string{"8 recordings", "stands out: A-3 had 12 of the 13 flow troubles", "new boot: A-3: 12 flow troubles in 4 recordings before, 0 in 4 after", "It helped", "left out: "} {
		if !strings.Contains(out, want) {
			t.Errorf("it does not say %q:\n%s", want, out)
		}
	}
	doc := readSeason(t, dir)
	if len(doc.Days) != 8 || len(doc.Unread) != 1 || len(doc.Offenders) != 1 || doc.Offenders[0].Run != "A-3" || len(doc.Repairs) != 1 || !doc.Repairs[0].Helped() || len(doc.Made.From) != 10 {
		t.Errorf("%+v", doc)
	}
	for name, begins := range map[string]string{"runs.csv": "run,", "season.pdf": "%PDF-", "season.svg": "<svg"} {
		if b, err := os.ReadFile(filepath.Join(dir, name)); err != nil || !bytes.Contains(b[:min(200, len(b))], []byte(begins)) {
			t.Errorf("%s: %v", name, err)
		}
	}
	before := seasonFiles(t, dir)
	if len(before) != 4+8 {
		t.Errorf("%d files", len(before))
	}
	runproof(t, "", args...)
	if diff := differs(before, seasonFiles(t, dir)); diff != "" {
		t.Errorf("the second time %s differs", diff)
	}
	elsewhere := filepath.Join(t.TempDir(), "season")
	runproof(t, "", append([]string{"season", fit, "--repairs", repairs, "-o", elsewhere, broken}, logs...)...)
	if diff := differs(before, seasonFiles(t, elsewhere)); diff != "" {
		t.Errorf("made anew, %s differs", diff)
	}
}

// seasonFiles reads all files below a folder.
func seasonFiles(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	for _, sub := range []string{"", "days"} {
		entries, err := os.ReadDir(filepath.Join(dir, sub))
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			if !e.IsDir() {
				b, err := os.ReadFile(filepath.Join(dir, sub, e.Name()))
				if err != nil {
					t.Fatal(err)
				}
				out[sub+"/"+e.Name()] = string(b)
			}
		}
	}
	return out
}

func differs(a, b map[string]string) string {
	for name := range a {
		if a[name] != b[name] {
			return name
		}
	}
	if len(a) != len(b) {
		return "the number of files"
	}
	return ""
}

// TestSeasonTakesWhatItHas: a day that stands in the folder is taken, unless
// the fit or rules are others, the document is damaged, or --again is said.
func TestSeasonTakesWhatItHas(t *testing.T) {
	fit, logs := recordedSeason(t)
	logs = logs[:2]
	dir := filepath.Join(t.TempDir(), "season")
	run := func(more ...string) float64 {
		args := append([]string{"season", fit, "-o", dir}, more...)
		if status, _, errw := runproof(t, "", append(args, logs...)...); status == ExitInput {
			t.Fatal(errw)
		}
		return readSeason(t, dir).WorkHours
	}
	hours := run()
	days, err := filepath.Glob(filepath.Join(dir, "days", "*.json"))
	if err != nil || len(days) != 2 {
		t.Fatal(days, err)
	}
	// a mark that only a day that was taken can carry
	mark := func() {
		b, err := os.ReadFile(days[0])
		if err != nil {
			t.Fatal(err)
		}
		at := bytes.Index(b, []byte(`"work_hours": `)) + len(`"work_hours": `)
		end := at + bytes.IndexByte(b[at:], ',')
		if err := os.WriteFile(days[0], append(append(bytes.Clone(b[:at]), '7'), b[end:]...), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	mark()
	if got := run(); got < 7 {
		t.Errorf("%g h: the day was reviewed again", got)
	}
	if got := run("--again"); got != hours {
		t.Errorf("%g h with --again", got)
	}
	mark()
	base, rules := filepath.Join(t.TempDir(), "rules.json"), ""
	if status, _, errw := runproof(t, "", "tune", fit, logs[1], "-o", base); status == ExitInput {
		t.Fatal(errw)
	}
	rules = base
	if got := run("--rules", rules); got > 7 {
		t.Errorf("%g h: a day of other rules was taken", got)
	}
	if err := os.WriteFile(days[0], []byte("{"), 0o600); err != nil {
		t.Fatal(err)
	}
	if got := run(); got != hours {
		t.Errorf("%g h from a damaged document", got)
	}
}

// TestSeasonRefuses: exit 2, a message, and no report.
func TestSeasonRefuses(t *testing.T) {
	fit, logs := recordedSeason(t)
	for name, c := range map[string]struct {
		args []string
		says string
	}{
		"no log":                {[]string{fit}, "log"},
		"no log can be read":    {[]string{fit, logs[0] + "x"}, "none of 1 log could be read"},
		"no fit":                {[]string{logs[0], logs[1]}, "may-1.csv"},
		"repairs of no run":     {[]string{fit, logs[0], "--repairs", keep(t, "r.yaml", "runproof: repairs/1\nrepairs: [{run: Z-9, date: 2026-05-05}]\n")}, "Z-9"},
		"rules that are none":   {[]string{fit, logs[0], "--rules", fit}, "fit.json"},
		"no such repairs":       {[]string{fit, logs[0], "--repairs", "none.yaml"}, "none.yaml"},
		"repairs of other form": {[]string{fit, logs[0], "--repairs", keep(t, "r.yaml", "runproof: repairs/9\nrepairs: []\n")}, "repairs/1"},
	} {
		dir := filepath.Join(t.TempDir(), "season")
		status, out, errw := runproof(t, "", append([]string{"season", "-o", dir}, c.args...)...)
		if status != ExitInput || !strings.Contains(errw, c.says) || out != "" {
			t.Errorf("%s: %d, %s%s", name, status, out, errw)
		}
		if _, err := os.Stat(filepath.Join(dir, "season.json")); err == nil {
			t.Errorf("%s: a season was written", name)
		}
	}
}
