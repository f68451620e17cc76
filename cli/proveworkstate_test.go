package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The demo's good walk with a work column: held at 0 while product flows it
// needs a person though every run is as planned; held at 1 it proves nothing,
// and is no fault.
func TestProveJudgesTheWorkColumn(t *testing.T) {
	dir, fitName, log, marks := walked(t, "../demo/walk-again.yaml")
	text, err := os.ReadFile(log)
	if err != nil {
		t.Fatal(err)
	}
	head, rows, _ := strings.Cut(strings.TrimRight(string(text), "\n"), "\n")
	for _, c := range []struct {
		value  string
		status int
		said   string
	}{
		{"0", ExitAttention, "work state stuck: The work column says lifted all the time"},
		{"1", ExitDone, "work state unsure: The work column never changes in this recording"},
		{"", ExitDone, "work state absent"},
	} {
		name := filepath.Join(dir, "with-work.csv")
		with := head + ",work\n" + strings.ReplaceAll(rows, "\n", ","+c.value+"\n") + "," + c.value + "\n"
		if err := os.WriteFile(name, []byte(with), 0o600); err != nil {
			t.Fatal(err)
		}
		out := filepath.Join(dir, "proof.json")
		status, said, errw := runproof(t, "", "prove", fitName, name, "--marks", marks, "-o", out)
		if status != c.status || !strings.Contains(said, c.said) || !strings.Contains(said, "all as planned") {
			t.Errorf("work %q: %d %s%s", c.value, status, said, errw)
		}
		if proof, err := os.ReadFile(out); err != nil || !strings.Contains(string(proof), `"work_state"`) {
			t.Errorf("work %q: the proof lacks the work state, %v", c.value, err)
		}
	}
}
