package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
)

// smallLog is 200 samples at 5 Hz with a gap, a lifted spell, a port that goes
// quiet, a spare port and one of a stranger.
func smallLog() string {
	var b strings.Builder
	b.WriteString("time,lat,lon,work,4103:1,4103:2,4103:6,9999:1,note\n")
	for i := range 200 {
		if i >= 100 && i < 110 {
			continue
		}
		work, second := 1, fmt.Sprint(8+i%3)
		if i < 50 {
			work = 0
		}
		if i >= 150 {
			second = ""
		}
		fmt.Fprintf(&b, "%s,51.2,-106.3,%d,%d,%s,0,1,%d\n", flowlog.UTC.Format(1778577300e9+int64(i)*2e8), work, 10*work, second, i)
	}
	return b.String()
}

func smallFit(t *testing.T) string {
	f := &fit.Fit{
		Runproof: fit.Version, Revision: 1,
		Drill: drill.Drill{
			Runproof: drill.Version, Rows: drill.Rows{Count: 3, SpacingM: 0.25, RanksM: []float64{0}},
			Products: []drill.Product{{ID: "seed"}}, Work: drill.Work{SpeedMPS: 2}, Supply: drill.Supply{Volts: 12},
			Heads:   []drill.Head{{ID: "A", Product: "seed", Rows: drill.RowList{1, 2, 3}}},
			Sensing: drill.Sensing{Node: "node-12", Products: []drill.ProductID{"seed"}},
		},
		Nodes: []fit.Node{{Serial: "4103", Part: "node-12", Ports: 12, Head: "A"}},
		Map:   []fit.Link{{Run: "A-1", Node: "4103", Port: 1}, {Run: "A-2", Node: "4103", Port: 2}, {Run: "A-3", Node: "4103", Port: 3}},
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return keep(t, "fit.json", b.String())
}

func keep(t *testing.T, name, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestLogInfo(t *testing.T) {
	status, out, errw := runproof(t, "", "log", "info", keep(t, "small.csv", smallLog()), smallFit(t))
	// A run without a port and a port without a run want attention. The picture:
	// lifted, A-1 is still and A-2 counts 9, a mean of 4.5; at work they count
	// 10 and 9, later 10 alone, of which 4.5 and 9.5 are four and eight eighths.
	// The gap of 2.2 s leaves one bin of 1.024 s wholly empty.
	if status != ExitAttention || errw != "" {
		t.Fatalf("%d, %s", status, errw)
	}
	const want = `190 samples, 2026-05-12T09:15:00Z to 2026-05-12T09:15:39.8Z, 39.8s
interval 0.2 s, nine in ten from 0.2 to 0.2 s
1 gap, about 10 samples lost; the longest:
  2.2 s after 2026-05-12T09:15:19.8Z
4 ports, 6.6 % of their samples not reported; most from 4103:2 (A-2), 26.3 %
work state known in 100 % of samples, in the ground in 73.7 % of those
position known in 100 % of samples
1 other column without a meaning here
not in the fit: 9999:1
spare in the fit: 4103:6
not in the log: A-3 (4103:3)

flow over time, one sign for 1.02s; each line is as high as its own greatest flow
(_ no flow, ? not reported, . no samples)
A ▄▄▄▄▄▄▄▄▄▆██████████.██████████████████
`
	if out != want {
		t.Errorf("got\n%s\nwant\n%s", out, want)
	}
}

func TestLogInfoDocument(t *testing.T) {
	name := keep(t, "small.csv", smallLog())
	status, out, errw := runproof(t, "", "--json", "log", "info", name)
	if status != ExitDone || errw != "" {
		t.Fatalf("%d, %s", status, errw)
	}
	var doc logInfo
	if err := json.Unmarshal([]byte(out), &doc); err != nil {
		t.Fatal(err)
	}
	if doc.Runproof != "loginfo/1" || doc.Samples != 190 || doc.SpanS != 39.8 || doc.IntervalS != 0.2 || doc.Gaps != 1 || doc.LostSamples != 10 || len(doc.SHA256) != 64 {
		t.Errorf("%+v", doc)
	}
	if g := doc.LongestGaps[0]; g.After != "2026-05-12T09:15:19.8Z" || g.LengthS != 2.2 {
		t.Errorf("%+v", g)
	}
	if p := doc.Ports[0]; p.Name != "4103:1" || p.Missing != 0 || p.Total != 1400 {
		t.Errorf("%+v", p)
	}
}

func TestLogInfoOfOneLine(t *testing.T) {
	status, out, errw := runproof(t, "time,1:1\n5,7\n", "log", "info", "-")
	if status != ExitDone || errw != "" || !strings.Contains(out, "1 sample, 5 to 5, 0s\n1 port, every sample reported\n") {
		t.Errorf("%d, %s%s", status, out, errw)
	}
}

func TestLogInfoOfADamagedLog(t *testing.T) {
	dir := t.TempDir()
	gz := filepath.Join(dir, "small.csv.gz")
	if status, _, errw := runproof(t, smallLog(), "log", "convert", "-", "-o", gz); status != ExitDone {
		t.Fatal(errw)
	}
	b, err := os.ReadFile(gz)
	if err != nil {
		t.Fatal(err)
	}
	cut := keep(t, "cut.log", string(b[:len(b)/2]))
	status, out, errw := runproof(t, "", "log", "info", cut)
	if status != ExitInput || !strings.Contains(out, "The log is damaged; this is what stands before the damage.\n") ||
		!strings.Contains(errw, "the file is cut short: its gzip data end in the middle; the ") {
		t.Errorf("info: %d, %s%s", status, out, errw)
	}
	whole := filepath.Join(dir, "whole.parquet")
	status, out, errw = runproof(t, "", "log", "convert", cut, "-o", whole)
	if _, err := os.Stat(whole); status != ExitInput || out != "" || err == nil || !strings.Contains(errw, "nothing was written; with --salvage, the ") {
		t.Errorf("convert: %d, %s%s, %v", status, out, errw, err)
	}
	status, out, errw = runproof(t, "", "log", "convert", "--salvage", cut, "-o", whole)
	if _, err := os.Stat(whole); status != ExitAttention || err != nil || !strings.Contains(out, "samples of 8 columns in") || !strings.Contains(errw, "cut short") {
		t.Errorf("salvage: %d, %s%s, %v", status, out, errw, err)
	}
	left, err := os.ReadDir(dir)
	if err != nil || len(left) != 2 {
		t.Errorf("left behind: %v %v", left, err)
	}
}

// There and back through every format gives the text that was there before.
func TestLogConvert(t *testing.T) {
	dir := t.TempDir()
	want := smallLog()
	name := keep(t, "small.csv", want)
	for _, suffix := range []string{".csv", ".csv.gz", ".csv.zst", ".parquet"} {
		next := filepath.Join(dir, "log"+suffix)
		status, out, errw := runproof(t, "", "log", "convert", name, "-o", next)
		if status != ExitDone || errw != "" || out != "190 samples of 8 columns in "+next+"\n" {
			t.Fatalf("%s: %d, %s%s", suffix, status, out, errw)
		}
		name = next
	}
	status, out, errw := runproof(t, "", "log", "convert", name, "-o", "-")
	if status != ExitDone || errw != "" || out != want {
		t.Errorf("%d, %s, got\n%s", status, errw, out)
	}
}

func TestLogFaults(t *testing.T) {
	good := keep(t, "good.csv", smallLog())
	for _, c := range []struct {
		name string
		args []string
		want string
	}{
		{"no such file", []string{"log", "info", "missing.csv"}, "missing.csv: no such file or directory; check the file's name"},
		{"a folder", []string{"log", "info", t.TempDir()}, "there is no log in it; name the log itself"},
		{"bad cell", []string{"log", "info", keep(t, "bad.csv", "time,1:1\n0,x\n")}, `bad.csv:2:3: column 2 (1:1): "x" is no number`},
		{"no format", []string{"log", "convert", good, "-o", filepath.Join(t.TempDir(), "out.txt")}, "end it in .csv, .csv.gz, .csv.zst or .parquet"},
		{"no folder", []string{"log", "convert", good, "-o", filepath.Join(t.TempDir(), "no", "out.csv")}, "cannot be written"},
		{"two on standard output", []string{"--json", "log", "convert", good, "-o", "-"}, "both want standard output"},
		{"no fit", []string{"log", "info", good, good}, "not a fit document"},
	} {
		status, out, errw := runproof(t, "", c.args...)
		if status != ExitInput || out != "" || !strings.Contains(errw, c.want) {
			t.Errorf("%s: %d, %s%s, want %q", c.name, status, out, errw, c.want)
		}
	}
}
