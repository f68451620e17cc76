package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"runproof/drill"
	"runproof/fit"
	"runproof/walk"
)

// walked records one of the demo's walks, on the demo's drill with no run
// closed, and returns the names of fit, log and marks.
func walked(t *testing.T, scenario string) (dir, fitName, log, marks string) {
	t.Helper()
	dir = t.TempDir()
	text, err := os.ReadFile("../demo/drill.yaml")
	if err != nil {
		t.Fatal(err)
	}
	lines := slices.DeleteFunc(strings.Split(string(text), "\n"), func(l string) bool { return strings.HasPrefix(l, "closed:") })
	drillName := filepath.Join(dir, "drill.yaml")
	if err := os.WriteFile(drillName, []byte(strings.Join(lines, "\n")), 0o600); err != nil {
		t.Fatal(err)
	}
	fitName = filepath.Join(dir, "fit.json")
	for _, args := range [][]string{
		{"plan", drillName, "--serials", "../demo/serials.txt", "-o", fitName},
		{"simulate", scenario, "--fit", fitName, "-o", dir, "--format", "csv"},
	} {
		if status, _, errw := runproof(t, "", args...); status != ExitDone {
			t.Fatal(errw)
		}
	}
	return dir, fitName, filepath.Join(dir, "walk.csv"), filepath.Join(dir, "marks.csv")
}

// The demo's first walk: have changed places, D-8's sensor is dead.
func TestProveFindsTheDemosFaults(t *testing.T) {
	dir, fitName, log, marks := walked(t, "../demo/walk.yaml")
	out1, fit2 := filepath.Join(dir, "proof.json"), filepath.Join(dir, "fit2.json")
	status, out, errw := runproof(t, "", "prove", fitName, log, "--marks", marks, "-o", out1, "--write", fit2)
	if status != ExitAttention || errw != "" {
		t.Fatalf("%d %s", status, errw)
	}
	for _, want := range []string{"by pinch", "behind the notes'", "D-8      silent", "to restore the plan, 2 tubes:", "Put the loose tube of A-4"} {
		if !strings.Contains(out, want) {
			t.Errorf("the summary lacks %q:\n%s", want, out)
		}
	}
	b, err := os.ReadFile(out1)
	if err != nil {
		t.Fatal(err)
	}
	p, err := walk.Read(bytes.NewReader(b), out1)
	if err != nil {
		t.Fatal(err)
	}
	want := map[drill.RunID]walk.Verdict{"A-4": walk.Moved, "A-9": walk.Moved, "D-8": walk.Silent}
	for _, r := range p.Runs {
		if r.Verdict != want[r.Run] && (want[r.Run] != walk.Unsure || r.Verdict != walk.AsPlanned) {
			t.Errorf("%s: %v", r.Run, r.Verdict)
		}
	}
	if len(p.Made.From) != 3 || p.ClockOffsetS == nil {
		t.Errorf("made from %v, offset %v", p.Made.From, p.ClockOffsetS)
	}
	was, now := fitAt(t, fitName), fitAt(t, fit2)
	a, _ := was.PortOf("A-4")
	if b, ok := now.PortOf("A-9"); !ok || a != b || now.Revision != was.Revision+1 || len(now.Map) != len(was.Map) {
		t.Errorf("A-9 is at %v of revision %d, A-4 was at %v", b, now.Revision, a)
	}

	// Without the notes the walk went in plan order: the same is found. With
	// the map as found, only the dead sensor is left.
	for _, args := range [][]string{{"prove", fitName, log, "-o", out1}, {"prove", fit2, log, "--marks", marks, "-o", out1}} {
		status, out, _ := runproof(t, "", args...)
		if status != ExitAttention || !strings.Contains(out, "D-8      silent") || strings.Contains(out, "unsure") {
			t.Errorf("%v: %d %s", args, status, out)
		}
	}
}

func fitAt(t *testing.T, name string) *fit.Fit {
	t.Helper()
	b, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	f, err := fit.Read(bytes.NewReader(b), name)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// The demo's second walk, when all is put right.
func TestProveAllAsPlanned(t *testing.T) {
	dir, fitName, log, marks := walked(t, "../demo/walk-again.yaml")
	name := filepath.Join(dir, "proof.json")
	status, out, errw := runproof(t, "", "prove", fitName, log, "--marks", marks, "-o", name)
	if status != ExitDone || !strings.Contains(out, "all as planned") {
		t.Fatalf("%d %s%s", status, out, errw)
	}
	first, _ := os.ReadFile(name)
	status, out, _ = runproof(t, "", "--json", "prove", fitName, log, "--marks", marks, "-o", name)
	again, _ := os.ReadFile(name)
	var p walk.Proof
	if status != ExitDone || json.Unmarshal([]byte(out), &p) != nil || !p.AllAsPlanned() || !bytes.Equal(first, again) {
		t.Errorf("%d %.200s", status, out)
	}
}

func TestProveBadInput(t *testing.T) {
	dir, fitName, log, marks := walked(t, "../demo/walk.yaml")
	write := func(name, text string) string {
		name = filepath.Join(dir, name)
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return name
	}
	for _, c := range []struct {
		name string
		args []string
		want string
	}{
		{"unknown run", []string{log, "--marks", write("m1.csv", "time,run\n2026-04-28T09:10:30Z,A-44\n")}, "m1.csv:2:22: the fit senses no run \"A-44\"; did you mean A-4?"},
		{"no time", []string{log, "--marks", write("m2.csv", "time,run\nsoon,A-4\n")}, "m2.csv:2:1: \"soon\" is no time"},
		{"other form", []string{log, "--marks", write("m3.csv", "time,run\n30,A-4\n")}, "m3.csv:2: the marks have their times in decimal seconds, the recording in RFC 3339"},
		{"another day", []string{log, "--marks", write("m4.csv", "time,run\n2026-04-27T09:10:30Z,A-4\n")}, "check the day, the time zone"},
		{"empty marks", []string{log, "--marks", write("m5.csv", "")}, "m5.csv: the marks file is empty"},
		{"only a head", []string{log, "--marks", write("m6.csv", "time,run\n")}, "m6.csv: there is no mark in it"},
		{"one line", []string{write("w1.csv", "time,4201:1\n0,3\n"), "--marks", marks}, ""},
		{"one line, no marks", []string{write("w2.csv", "time,4201:1\n0,3\n")}, "w2.csv: the recording has 1 samples"},
		{"bad method", []string{log, "--method", "shake"}, `"shake" is no method; use auto, pinch or tap`},
		{"no such folder", []string{log, "--write", filepath.Join(dir, "nowhere", "fit.json")}, "cannot be written"},
	} {
		out := filepath.Join(dir, "out.json")
		status, _, errw := runproof(t, "", append([]string{"prove", fitName, "-o", out}, c.args...)...)
		if status != ExitInput || !strings.Contains(errw, c.want) {
			t.Errorf("%s: %d %s", c.name, status, errw)
		}
		if _, err := os.Stat(out); err == nil {
			t.Errorf("%s: a proof was written", c.name)
		}
	}
}
