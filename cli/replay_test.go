package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	alarmreplay "runproof/replay"
)

// replayDay is a day with a blocked run, the rules tuned on a sound one, and
// the events of its review.
func replayDay(t *testing.T) (fit, log, rules, events string) {
	t.Helper()
	fit, sound := recordedDay(t, "")
	dir := t.TempDir()
	rules = filepath.Join(dir, "rules.json")
	if status, _, errw := runproof(t, "", "tune", fit, sound, "-o", rules); status == ExitInput {
		t.Fatal(errw)
	}
	fit, log = recordedDay(t, oneBlocked)
	if status, _, errw := runproof(t, "", "review", fit, log, "--rules", rules, "-o", dir); status != ExitAttention {
		t.Fatal(errw)
	}
	return fit, log, rules, filepath.Join(dir, "events.json")
}

func TestReplayWritesItsFolder(t *testing.T) {
	fit, log, rules, events := replayDay(t)
	dir := filepath.Join(t.TempDir(), "replay")
	status, out, errw := runproof(t, "", "replay", fit, log, "--rules", rules, "-o", dir)
	if status != ExitDone || errw != "" || !strings.Contains(out, "caught after") {
		t.Fatalf("%d, %s%s", status, out, errw)
	}
	f, err := os.Open(filepath.Join(dir, "replay.json"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	doc, err := alarmreplay.Read(f, "replay.json")
	if err != nil || len(doc.Rules) != 1 || doc.Rules[0].Caught != 1 || doc.Rules[0].Products[0].Caught != 1 || len(doc.Made.From) != 3 {
		t.Fatalf("%v: %+v", err, doc)
	}
	// at 2.2 m/s or so, a hold of some seconds after the fall
	if m := *doc.Rules[0].Events[0].AfterM; m <= 0 || m > 60 {
		t.Errorf("caught after %g m", m)
	}
	for name, begins := range map[string]string{"replay.svg": "<svg", "replay.pdf": "%PDF-"} {
		if b, err := os.ReadFile(filepath.Join(dir, name)); err != nil || !bytes.Contains(b[:min(200, len(b))], []byte(begins)) {
			t.Errorf("%s: %v", name, err)
		}
	}
	// with the events of a review before it, the same but for where they came from
	again := filepath.Join(t.TempDir(), "replay")
	if status, _, errw := runproof(t, "", "replay", fit, log, "--rules", rules, "--events", events, "-o", again); status != ExitDone {
		t.Fatal(errw)
	}
	for _, name := range []string{"replay.svg", "replay.pdf"} {
		a, _ := os.ReadFile(filepath.Join(dir, name))
		b, _ := os.ReadFile(filepath.Join(again, name))
		if !bytes.Equal(a, b) {
			t.Errorf("%s differs", name)
		}
	}
	_, said, _ := runproof(t, "", "--json", "replay", fit, log, "--rules", rules, "--rules", rules, "-o", again)
	if !json.Valid([]byte(said)) || strings.Count(said, `"hold_samples"`) != 2 {
		t.Error(said)
	}
}

// TestReplayRefuses: exit 2, a message that names the place, nothing written.
func TestReplayRefuses(t *testing.T) {
	fit, log, rules, events := replayDay(t)
	for name, c := range map[string]struct {
		args []string
		says string
	}{
		"no rules":             {[]string{fit, log}, "--rules"},
		"rules that are none":  {[]string{fit, log, "--rules", events}, "events.json"},
		"events that are none": {[]string{fit, log, "--rules", rules, "--events", rules}, "rules.json"},
		"no such log":          {[]string{fit, log + "x", "--rules", rules}, "day.csvx"},
		"allowance":            {[]string{fit, log, "--rules", rules, "--allow=-1"}, "--allow"},
		"pipe read twice":      {[]string{fit, "-", "--rules", rules}, "standard input"},
		"events of another clock": {[]string{fit, log, "--rules", rules, "--events", keep(t, "other.json",
			`{"runproof":"events/1","events":[{"id":1,"run":"A-3","head":"A","product":"seed","kind":"blocked","start":"100","end":"200"}]}`)}, "event 1"},
	} {
		dir := filepath.Join(t.TempDir(), "replay")
		status, out, errw := runproof(t, "", append([]string{"replay", "-o", dir}, c.args...)...)
		if status != ExitInput || !strings.Contains(errw, c.says) || out != "" {
			t.Errorf("%s: %d, %s%s", name, status, out, errw)
		}
		if left := filesIn(t, dir); len(left) > 0 {
			t.Errorf("%s: left %v", name, left)
		}
	}
}
