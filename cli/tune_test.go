package cli

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"runproof/alarm"
	"runproof/counts"
)

// soundWork is 25 minutes of sound work at 5 Hz on the ports of smallFit: 20
// particles a sample each, Poisson.
func soundWork(samples int) string {
	rng := rand.New(rand.NewPCG(1, 2))
	var b strings.Builder
	b.WriteString("time,work,4103:1,4103:2,4103:3\n")
	for i := range samples {
		fmt.Fprintf(&b, "%.1f,1", float64(i)/5)
		for range 3 {
			fmt.Fprintf(&b, ",%d", counts.Poisson{Mu: 20}.Rand(rng))
		}
		b.WriteByte('\n')
	}
	return b.String()
}

func TestTune(t *testing.T) {
	log, f := keep(t, "base.csv", soundWork(7500)), smallFit(t)
	out := filepath.Join(t.TempDir(), "rules.json")
	status, said, errw := runproof(t, "", "tune", f, log, "--false-alarms", "2", "--speed", "3", "-o", out)
	if status != ExitDone || errw != "" || !strings.Contains(said, "seed: below ") || !strings.Contains(said, "2 false alarms allowed in 10 h") {
		t.Fatalf("%d, %s%s", status, said, errw)
	}
	file, err := os.Open(out)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	r, err := alarm.Read(file, out)
	if err != nil {
		t.Fatal(err)
	}
	if r.Allowed != 2 || r.SpeedMPS != 3 || len(r.Rules) != 1 || r.Rules[0].FalseAlarmsPerDay > 2 || len(r.Shares) != 3 {
		t.Errorf("%+v", r)
	}
	if len(r.Made.From) != 2 || r.Made.From[0].Name != "fit.json" || r.Made.From[1].Name != "base.csv" || len(r.Made.From[1].SHA256) != 64 {
		t.Errorf("made from %+v", r.Made.From)
	}
}

func TestTuneJSON(t *testing.T) {
	log, f := keep(t, "base.csv", soundWork(7500)), smallFit(t)
	out := filepath.Join(t.TempDir(), "rules.json")
	_, said, _ := runproof(t, "", "--json", "tune", f, log, "-o", out)
	var printed, kept alarm.Rules
	written, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal([]byte(said), &printed); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	if err := json.Unmarshal(written, &kept); err != nil || fmt.Sprint(printed.Shares) != fmt.Sprint(kept.Shares) || printed.IntervalS != 0.2 {
		t.Errorf("%v: %s", err, said)
	}
}

// TestTuneWantsAttention: five minutes are too short to trust.
func TestTuneWantsAttention(t *testing.T) {
	log, f := keep(t, "base.csv", soundWork(1500)), smallFit(t)
	out := filepath.Join(t.TempDir(), "rules.json")
	status, said, _ := runproof(t, "", "tune", f, log, "-o", out)
	if status != ExitAttention || !strings.Contains(said, "note: only 5 minutes of work") {
		t.Errorf("%d, %s", status, said)
	}
	if _, err := os.Stat(out); err != nil {
		t.Error(err)
	}
}

// TestTuneRefuses: exit 2, a remedy, and nothing written.
func TestTuneRefuses(t *testing.T) {
	log, f := keep(t, "base.csv", soundWork(600)), smallFit(t)
	stranger := keep(t, "stranger.csv", strings.Replace(soundWork(600), "4103:1,4103:2,4103:3", "77:1,77:2,77:3", 1))
	for name, c := range map[string]struct {
		args []string
		errw string
	}{
		"no allowance":       {[]string{f, log, "--false-alarms", "0"}, "--false-alarms"},
		"negative allowance": {[]string{f, log, "--false-alarms=-1"}, "--false-alarms"},
		"not a number":       {[]string{f, log, "--false-alarms", "NaN"}, "--false-alarms"},
		"too fast":           {[]string{f, log, "--speed", "80"}, "--speed"},
		"no such flag":       {[]string{f, log, "--floor", "0.4"}, "--floor"},
		"log for a fit":      {[]string{log, log}, "base.csv"},
		"fit for a log":      {[]string{f, f}, "fit.json"},
		"of another drill":   {[]string{f, stranger}, "stranger.csv"},
		"bad cell":           {[]string{f, keep(t, "bad.csv", soundWork(300)+"60.0,1,5,x,5\n")}, "bad.csv:302"},
		"empty log":          {[]string{f, keep(t, "empty.csv", "")}, "empty.csv"},
		"head alone":         {[]string{f, keep(t, "head.csv", soundWork(0))}, "head.csv"},
		"one line":           {[]string{f, keep(t, "one.csv", soundWork(1))}, "one.csv"},
		"missing file":       {[]string{f, filepath.Join(t.TempDir(), "none.csv")}, "none.csv"},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			status, _, errw := runproof(t, "", append([]string{"tune", "-o", filepath.Join(dir, "rules.json")}, c.args...)...)
			if status != ExitInput || !strings.Contains(errw, c.errw) {
				t.Errorf("%d, %q, wanted a word of %s", status, errw, c.errw)
			}
			if left, _ := os.ReadDir(dir); len(left) > 0 {
				t.Errorf("%s was left behind", left[0].Name())
			}
		})
	}
	if status, _, errw := runproof(t, "", "tune", f, log); status != ExitInput || !strings.Contains(errw, "out") {
		t.Errorf("without -o: %d, %s", status, errw)
	}
}
