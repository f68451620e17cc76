package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"runproof/drill"
)

// runproof runs one command line as the shell would.
func runproof(t *testing.T, stdin string, args ...string) (status int, out, errw string) {
	t.Helper()
	var o, e bytes.Buffer
	status = Main(args, strings.NewReader(stdin), &o, &e)
	return status, o.String(), e.String()
}

func TestDrillNewThenCheck(t *testing.T) {
	name := filepath.Join(t.TempDir(), "drill.yaml")
	status, out, errw := runproof(t, "", "drill", "new", "--rows", "48", "--spacing", "25cm", "--products", "seed,fert",
		"--materials", "wheat,urea", "--rates", "110,71.4lb/ac", "--tkw", "38", "--shoot", "double", "--heads", "4", "--wings", "2",
		"--speed", "8km/h", "--hose", "1in", "--gnss", "4m,0,3", "-o", name)
	if status != ExitDone || errw != "" || !strings.Contains(out, "48 rows, 8 heads, 96 runs") {
		t.Fatalf("new: %d, %s%s", status, out, errw)
	}
	status, out, errw = runproof(t, "", "drill", "check", name)
	if status != ExitDone || errw != "" {
		t.Fatalf("check: %d, %s%s", status, out, errw)
	}
	for _, want := range []string{"48 rows at 25.0 cm in 3 ranks, 12.00 m wide; 96 runs, 96 sensed, 0 closed", "wheat     4      48    yes     6.11       161", "0 broken"} {
		if !strings.Contains(out, want) {
			t.Errorf("check does not say %q:\n%s", want, out)
		}
	}
}

func TestDrillNewToStdout(t *testing.T) {
	status, out, _ := runproof(t, "", "drill", "new", "--rows", "12", "--spacing", "0.25", "-o", "-")
	if status != ExitDone {
		t.Fatal(status)
	}
	d, err := drill.Read(strings.NewReader(out), "out")
	if err != nil || len(d.Heads) != 1 {
		t.Errorf("standard output is no description: %v", err)
	}
}

func TestDrillCheckStatus(t *testing.T) {
	sound := "runproof: drill/1\nrows: {count: 2, spacing_m: 0.25}\nproducts: [{id: seed}]\nheads: [{id: A, product: seed, at_m: {forward: 0, right: 0, up: 1.5}, rows: 1-2}]\n"
	for _, c := range []struct {
		name, text string
		status     int
		out, errw  string
	}{
		{"sound", sound, ExitDone, "0 broken", ""},
		{"a row without a run", strings.Replace(sound, "1-2", "1", 1), ExitAttention, "broken: rows that get nothing, rows 2", ""},
		{"a row too many", strings.Replace(sound, "1-2", "1-3", 1), ExitInput, "", "-:4:77: head A feeds row 3, but the drill has 2 rows"},
		{"empty", "", ExitInput, "", "-: is empty"},
	} {
		status, out, errw := runproof(t, c.text, "drill", "check", "-")
		if status != c.status || !strings.Contains(out, c.out) || !strings.HasPrefix(errw, c.errw) {
			t.Errorf("%s: status %d, out %q, err %q", c.name, status, out, errw)
		}
	}
	if status, _, errw := runproof(t, "", "drill", "check", "nowhere.yaml"); status != ExitInput || !strings.HasPrefix(errw, "nowhere.yaml: ") {
		t.Errorf("a file that is not there: %d, %s", status, errw)
	}
}

func TestDrillCheckJSON(t *testing.T) {
	name := filepath.Join(t.TempDir(), "d.yaml")
	if err := os.WriteFile(name, []byte("runproof: drill/1\nrows: {count: 2, spacing_m: 0.25}\nproducts: [{id: seed}]\nheads: [{id: A, product: seed, at_m: {forward: 0, right: 0}, rows: 1}]\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	status, out, _ := runproof(t, "", "--json", "drill", "check", name)
	var o struct {
		WidthM   float64 `json:"width_m"`
		Findings []struct{ Rule, Verdict string }
	}
	if err := json.Unmarshal([]byte(out), &o); err != nil || status != ExitAttention || o.WidthM != 0.5 {
		t.Fatalf("status %d, %v: %s", status, err, out)
	}
	broken := 0
	for _, f := range o.Findings {
		if f.Verdict == "broken" {
			broken++
		}
	}
	if broken != 1 {
		t.Errorf("%d broken findings, want the row that gets nothing", broken)
	}
}

// Faults of flags come together, and no file is left behind.
func TestDrillNewFaults(t *testing.T) {
	name := filepath.Join(t.TempDir(), "drill.yaml")
	for _, c := range []struct {
		args []string
		want []string
	}{
		{[]string{"--rows", "48", "--spacing", "0,25", "--heads", "4,4,4", "--outlets", "12,x"}, []string{
			`--spacing: "0,25" has a decimal comma; write 0.25`, `--outlets: "x" is no number of outlets`, "--heads: 3 values for 1 product",
		}},
		{[]string{"--rows", "48", "--spacing", "25"}, []string{"spacing_m is 25; it must be 0.03 to 2; did you mean 0.25 (25 cm)"}},
		{[]string{"--rows", "48", "--spacing", "25cm", "--shoot", "duble"}, []string{"did you mean double?"}},
		{[]string{"--rows", "48", "--spacing", "25cm", "--gnss", "4"}, []string{"--gnss: 1 numbers; say how far ahead and how far right"}},
		{[]string{"--spacing", "25cm"}, []string{"missing flags: --rows"}},
	} {
		status, _, errw := runproof(t, "", append([]string{"drill", "new", "-o", name}, c.args...)...)
		if status != ExitInput {
			t.Errorf("%v: status %d", c.args, status)
		}
		for _, w := range c.want {
			if !strings.Contains(errw, w) {
				t.Errorf("%v: %q is not in\n%s", c.args, w, errw)
			}
		}
	}
	if files, _ := filepath.Glob(filepath.Join(filepath.Dir(name), "*")); len(files) > 0 {
		t.Errorf("left behind: %v", files)
	}
}
