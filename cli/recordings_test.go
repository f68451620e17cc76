package cli

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

const (
	canSample  = "../flowlog/can/testdata/sample/"
	taskSample = "../flowlog/taskdata/testdata/invented"
)

// TestCANToPorts goes from a candump recording to a flow log as a person would:
// propose a map, convert through it. What each port counted must be what the
// sample's own truth says, but for the second in which node 92 was silent and
// for the restart of node 91.
func TestCANToPorts(t *testing.T) {
	dir := t.TempDir()
	mapFile, out := filepath.Join(dir, "map.yaml"), filepath.Join(dir, "flow.csv")
	log, dbc := canSample+"runcounts.log", canSample+"runcounts.dbc"
	if r := command(t, "log", "map", log, "--dbc", dbc, "-o", mapFile); r.status != 0 {
		t.Fatal(r.errors)
	}
	r := command(t, "log", "convert", log+"#can0", "--dbc", dbc, "--map", mapFile, "-o", out)
	if r.status > 1 {
		t.Fatal(r.errors)
	}
	got := sums(t, out)
	for port, want := range truthSums(t, canSample+"truth.csv") {
		if got[port] != want {
			t.Errorf("%s counted %v particles, want %v", port, got[port], want)
		}
	}
	if !strings.Contains(r.out, "began anew") {
		t.Errorf("nothing said of the restart:\n%s", r.out)
	}
}

// sums are the totals of a log's ports.
func sums(t *testing.T, file string) map[string]float64 {
	t.Helper()
	rows := readCSV(t, file)
	total := map[string]float64{}
	for c, name := range rows[0] {
		if !strings.HasPrefix(name, "N") {
			continue
		}
		for _, row := range rows[1:] {
			v, _ := strconv.ParseFloat("0"+row[c], 64)
			total[name] += v
		}
	}
	return total
}

// truthSums adds up what each run counted from report to report, by the decoded
// truth of the sample.
func truthSums(t *testing.T, file string) map[string]float64 {
	t.Helper()
	last, at, total := map[string]float64{}, map[string]float64{}, map[string]float64{}
	for _, row := range readCSV(t, file)[1:] {
		run, ok := strings.CutPrefix(row[3], "Run")
		node := map[string]string{"18FF4091": "N1:", "18FF4092": "N2:"}[row[1]]
		if !ok || node == "" {
			continue
		}
		n, _ := strconv.Atoi(run)
		port := node + strconv.Itoa(n)
		v, _ := strconv.ParseFloat(row[4], 64)
		s, _ := strconv.ParseFloat(row[0], 64)
		if before, known := last[port]; known && s-at[port] < 0.3 {
			// A run counts at most some thirty in a fifth of a second.
			if d := math.Mod(v-before+16384, 16384); d < 100 {
				total[port] += d
			}
		}
		last[port], at[port] = v, s
	}
	if len(total) != 24 {
		t.Fatalf("%d runs in the truth", len(total))
	}
	return total
}

func readCSV(t *testing.T, file string) [][]string {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// A set of task data is a folder, its TASKDATA.XML, or one log of it.
func TestTaskDataByEveryName(t *testing.T) {
	for name, want := range map[string]int{
		taskSample:                   247,
		taskSample + "/TASKDATA.XML": 247,
		taskSample + "#TLG00003":     10,
		taskSample + "#tlg00001":     177,
	} {
		r := command(t, "log", "convert", name, "-o", filepath.Join(t.TempDir(), "x.parquet"), "--json")
		var doc converted
		if err := json.Unmarshal([]byte(r.out), &doc); err != nil || doc.Samples != want {
			t.Errorf("%s: %d samples, want %d; %v %s", name, doc.Samples, want, err, r.errors)
		}
		if len(doc.Remarks) == 0 || r.status != 0 {
			t.Errorf("%s: exit %d, remarks %v", name, r.status, doc.Remarks)
		}
	}
	if r := command(t, "log", "convert", taskSample+"/broken", "-o", filepath.Join(t.TempDir(), "x.csv")); r.status != 1 || !strings.Contains(r.errors, "cut short inside record 31") {
		t.Errorf("exit %d, %s", r.status, r.errors)
	}
	if r := command(t, "log", "convert", taskSample+"#TLG00009", "-o", filepath.Join(t.TempDir(), "x.csv")); r.status != 2 || !strings.Contains(r.errors, "TLG00001, TLG00002 or TLG00003") {
		t.Errorf("exit %d, %s", r.status, r.errors)
	}
}

// The proposal on standard output is a map itself: what is shown below it are
// comments.
func TestLogMapToStandardOutput(t *testing.T) {
	text := keep(t, "yard.txt", "Datum;Zeit;Geschw. (km/h);Reihe 1;Reihe 2\n12.05.2026;09:15:30,0;7,2;4;5\n12.05.2026;09:15:30,2;7,2;3;6\n13.05.2026;09:15:30,4;7,2;3;6\n")
	r := command(t, "log", "map", text)
	if r.status != 0 {
		t.Fatal(r.errors)
	}
	mapFile := keep(t, "map.yaml", r.out)
	out := filepath.Join(t.TempDir(), "o.csv")
	if r := command(t, "log", "convert", text, "--map", mapFile, "-o", out); r.status != 0 {
		t.Fatal(r.errors)
	}
	want := [][]string{{"time", "speed", "N1:1", "N1:2"}, {"2026-05-12T09:15:30Z", "2", "4", "5"}}
	for i, row := range readCSV(t, out)[:2] {
		if strings.Join(row, ",") != strings.Join(want[i], ",") {
			t.Errorf("%v, want %v", row, want[i])
		}
	}
	if r := command(t, "log", "map", text, "--map", mapFile); r.status != 2 {
		t.Errorf("exit %d for a map of a map", r.status)
	}
	if r := command(t, "log", "convert", text, "--map", keep(t, "bad.yaml", "runproof: mapping/1\ncolums: []\n"), "-o", out); r.status != 2 || !strings.Contains(r.errors, "bad.yaml:2:1") {
		t.Errorf("exit %d, %s", r.status, r.errors)
	}
}

// ended is how a command ended.
type ended struct {
	status      int
	out, errors string
}

func command(t *testing.T, args ...string) ended {
	t.Helper()
	status, out, errw := runproof(t, "", args...)
	return ended{status, out, errw}
}

// A recording is reviewed and proved as it comes, through its map, with the
// result that its flow log gives.
func TestReviewThroughAMap(t *testing.T) {
	dir := t.TempDir()
	if r := command(t, "demo", filepath.Join(dir, "demo")); r.status != ExitDone {
		t.Fatal(r.errors)
	}
	at := func(parts ...string) string { return filepath.Join(append([]string{dir, "demo"}, parts...)...) }
	r := command(t, "review", at("fit-proved.json"), at("recorders", "bus.log"), "--dbc", at("recorders", "bus.dbc"), "--map", at("recorders", "map.yaml"), "--rules", at("rules.json"), "-o", at("again"))
	if r.status == ExitInput {
		t.Fatal(r.errors)
	}
	kinds := func(name string) string {
		b, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		var doc struct {
			Events []struct{ Run, Head, Product, Kind string }
		}
		if err := json.Unmarshal(b, &doc); err != nil {
			t.Fatal(err)
		}
		s := ""
		for _, e := range doc.Events {
			s += strings.Join([]string{e.Run, e.Head, e.Product, e.Kind}, " ") + "\n"
		}
		return s
	}
	if got, want := kinds(at("again", "events.json")), kinds(at("review", "events.json")); got != want {
		t.Errorf("from frames of the bus:\n%s\nfrom the flow log:\n%s", got, want)
	}
}
