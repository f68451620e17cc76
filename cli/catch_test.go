package cli

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"runproof/evenness"
	"runproof/fit"
	"runproof/simulate"
)

// inYard is a planned drill, a catch test of it, and a day with one blocked run.
type inYard struct{ dir, fit, bags, log, day string }

func recordedYard(t *testing.T) inYard {
	t.Helper()
	dir := t.TempDir()
	y := inYard{dir, filepath.Join(dir, "fit.json"), filepath.Join(dir, "catch/bags.csv"), filepath.Join(dir, "catch/catch.parquet"), filepath.Join(dir, "day/day.csv")}
	files := map[string]string{
		"drill.yaml": "runproof: drill/1\nname: yard\nrows: {count: 24, spacing_m: 0.25, ranks_m: [0]}\nproducts: [{id: seed, material: wheat, rate_kg_ha: 110, tkw_g: 38}]\n" +
			"heads: [{id: A, product: seed, at_m: {forward: -0.6, right: -1.5, up: 1.5}, rows: 1-12}, {id: B, product: seed, at_m: {forward: -0.6, right: 1.5, up: 1.5}, rows: 13-24}]\n" +
			"gnss: {at_m: {forward: 4, right: 0}}\nwork: {speed_mps: 2.2}\nsensing: {products: [seed], spare_ports: 1, sensor_from_head_m: 0.4}\nsupply: {volts: 12}\n",
		"catch.yaml": "runproof: scenario/1\nkind: catch\nseed: 6\ncatch: {for_s: 120}\n",
		"day.yaml":   "runproof: scenario/1\nkind: day\nseed: 5\nhours: 0.4\nfaults: [{kind: blocked, run: A-3, at_s: 400, for_s: 150, fall_s: 1, left: 0.03}]\n",
	}
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for _, args := range [][]string{
		{"plan", y.path("drill.yaml"), "-o", y.fit},
		{"simulate", y.path("catch.yaml"), "--fit", y.fit, "-o", y.path("catch"), "--format", "parquet"},
		{"simulate", y.path("day.yaml"), "--fit", y.fit, "-o", y.path("day"), "--format", "csv"},
	} {
		if status, _, errw := runproof(t, "", args...); status == ExitInput {
			t.Fatal(errw)
		}
	}
	return y
}

func (y inYard) path(name string) string { return filepath.Join(y.dir, name) }

func readJSON[T any](t *testing.T, name string) (v T) {
	t.Helper()
	text, err := os.ReadFile(name)
	if err == nil {
		err = json.Unmarshal(text, &v)
	}
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// From bags to the report of a day, by commands and files alone. The true flow
// past each opener is the simulator's own account.
func TestBagsCalibrateTheReview(t *testing.T) {
	y := recordedYard(t)
	truth := readJSON[simulate.Truth](t, y.path("catch/truth.json"))
	var flow []float64
	for _, r := range truth.Runs {
		flow = append(flow, r.FlowPerS)
	}
	own := evenness.CV(flow)
	status, out, errw := runproof(t, "", "catch", y.fit, y.bags, "--log", y.log, "--gains", y.path("gains.json"), "--day", "2026-04-20",
		"--pdf", y.path("catch.pdf"), "--svg", y.path("catch.svg"), "-o", y.path("catch.json"))
	if status == ExitInput || errw != "" || !strings.Contains(out, "CV of 24 runs over 3 repeats") || !strings.Contains(out, "gains of seed: 24 runs, 0 runs without") {
		t.Fatalf("%d, %s%s", status, out, errw)
	}
	status, out, errw = runproof(t, "", "review", y.fit, y.day, "--gains", y.path("gains.json"), "-o", y.path("with"))
	if status != ExitAttention || errw != "" || !strings.Contains(out, "evenness of seed: CV between runs ") {
		t.Fatalf("%d, %s%s", status, out, errw)
	}
	e := readJSON[evenness.FieldDay](t, y.path("with/evenness.json"))
	p := e.Products[0]
	// Gains of 3 x 2 minutes are known to about 1.6 % (sd), the day's own drift of
	// outlets (sd 2 % over 150 s) leaves under 1 %: together e = 2 % at most, and
	// CV is off by sqrt(4 cv^2 e^2 + 2 e^4) / (2 cv sqrt(23)) = 0.4 % (sd); 4 of that.
	if math.Abs(p.CV.Value-own) > 0.017 || *p.CV.Low > own || *p.CV.High < own {
		t.Errorf("CV %v, the outlets' own is %.4f", p.CV.Percent(), own)
	}
	if p.FaultS < 120 || p.FaultS > 200 || p.Parts.Runs != 24 || e.GainsDay != "2026-04-20" || len(e.Made.From) != 3 {
		t.Errorf("%+v, %+v", p, e.Made)
	}
	// The command of its own says the same of the same events.
	status, _, errw = runproof(t, "", "evenness", y.fit, y.day, "--gains", y.path("gains.json"), "--events", y.path("with/events.json"), "--pdf", y.path("e.pdf"), "-o", y.path("e.json"))
	alone := readJSON[evenness.FieldDay](t, y.path("e.json"))
	if status == ExitInput || errw != "" || alone.Products[0].CV.Value != p.CV.Value || alone.Products[0].FaultS != p.FaultS {
		t.Errorf("%d, %s: %+v", status, errw, alone.Products[0].CV)
	}
	for name, begins := range map[string]string{"catch.pdf": "%PDF-", "e.pdf": "%PDF-", "catch.svg": "<svg ", "gains.json": "{", "catch.json": "{"} {
		if b, err := os.ReadFile(y.path(name)); err != nil || !strings.HasPrefix(string(b), begins) {
			t.Errorf("%s: %v", name, err)
		}
	}
	// A run that listens at another port since has no gain.
	f := readJSON[fit.Fit](t, y.fit)
	was, _ := f.PortOf("A-5")
	now := freePort(t, f)
	if status, _, errw := runproof(t, "", "fit", "move", y.fit, "A-5", now, "-o", y.path("moved.json")); status == ExitInput {
		t.Fatal(errw)
	}
	text, err := os.ReadFile(y.day)
	if err == nil {
		err = os.WriteFile(y.path("moved.csv"), []byte(strings.Replace(string(text), ","+was.String()+",", ","+now+",", 1)), 0o600)
	}
	if err != nil {
		t.Fatal(err)
	}
	_, out, _ = runproof(t, "", "review", y.path("moved.json"), y.path("moved.csv"), "--gains", y.path("gains.json"), "-o", y.path("moved"))
	if !strings.Contains(out, "A-5: since 2026-04-20 it moved") {
		t.Error(out)
	}
}

func freePort(t *testing.T, f fit.Fit) string {
	t.Helper()
	taken := map[fit.PortRef]bool{}
	for _, l := range f.Map {
		taken[l.Ref()] = true
	}
	for _, n := range f.Nodes {
		for port := 1; port <= n.Ports; port++ {
			if ref := (fit.PortRef{Node: n.Serial, Port: port}); !taken[ref] {
				return ref.String()
			}
		}
	}
	t.Fatal("no port is free")
	return ""
}

// Without a catch test a review says so, and compares each run with itself only.
func TestReviewWithoutGainsSaysSo(t *testing.T) {
	fit, log := recordedDay(t, strings.Replace(oneBlocked, "for_s: 200", "for_s: 100", 1))
	dir := filepath.Join(t.TempDir(), "review")
	_, out, _ := runproof(t, "", "review", fit, log, "-o", dir)
	if !strings.Contains(out, "evenness of seed: not told across runs, there being no gains from weighed bags (runproof catch --log); 0 of 12 runs changed over the day") {
		t.Error(out)
	}
	p := readJSON[evenness.FieldDay](t, filepath.Join(dir, "evenness.json")).Products[0]
	if p.CV != nil || p.Division != nil || !strings.Contains(p.WhyNo, "counts of different runs say nothing of how even the drill is") || p.Runs[0].Deviation != nil || p.Runs[0].Change == nil {
		t.Errorf("%+v", p)
	}
}

func TestCatchForm(t *testing.T) {
	fit := planned(t)
	for _, name := range []string{"form.pdf", "form.csv"} {
		status, out, errw := runproof(t, "", "catch", fit, "--form", filepath.Join(filepath.Dir(fit), name))
		if status != ExitDone || errw != "" || !strings.Contains(out, "form of 12 runs in 3 repeats") {
			t.Errorf("%s: %d, %s%s", name, status, out, errw)
		}
	}
	status, out, _ := runproof(t, "", "catch", fit, "--form", "-", "--repeats", "1")
	if status != ExitDone || !strings.HasPrefix(out, "run,repeat,grams\nA-1,1,\n") {
		t.Errorf("%d, %q", status, out)
	}
}

func TestCatchBadInput(t *testing.T) {
	fit := planned(t)
	dir := filepath.Dir(fit)
	write := func(name, text string) string {
		name = filepath.Join(dir, name)
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return name
	}
	out := filepath.Join(dir, "out.json")
	bags := write("bags.csv", "run,repeat,grams\nA-1,1,150\nA-2,1,151\nA-3,1,149\n")
	log := write("log.csv", "time,N1:1,N1:2,N1:3\n1,0,0,0\n2,0,0,0\n3,0,0,0\n")
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"catch", fit}, "a file of bags and --out are needed, or --form"},
		{[]string{"catch", fit, bags, "-o", out, "--gains", "g.json"}, "--gains needs the counts of the catch"},
		{[]string{"catch", fit, bags, "-o", out, "--day", "20 April"}, "--day 20 April is no day"},
		{[]string{"catch", fit, bags, "-o", out, "--opener-spread", "25"}, "--opener-spread is in metres"},
		{[]string{"catch", fit, "--form", "form.docx"}, "is neither .pdf nor .csv"},
		{[]string{"catch", fit, "--form", "form.csv", "--product", "sed"}, "did you mean seed?"},
		{[]string{"catch", fit, write("bad.csv", "run,repeat,grams\nA-99,1,5\n"), "-o", out}, `bad.csv:2:1: the drill has no run "A-99"`},
		{[]string{"catch", fit, write("one.csv", "run,repeat,grams\nA-1,1,5\n"), "-o", out}, "one.csv: of seed only run A-1 has a bag"},
		{[]string{"catch", fit, bags, "--log", log, "-o", out}, "log.csv: seed flowed 0 times in the recording, and its bags were weighed in 1 repeat"},
		{[]string{"evenness", fit, log, "--gains", bags, "-o", out}, "bags.csv"},
		{[]string{"evenness", fit, log, "--events", write("e.json", `{"runproof":"events/1","events":[{"id":1,"kind":"blocked","start":"soon","end":"3"}]}`), "-o", out}, "e.json"},
		{[]string{"review", fit, log, "--gains", filepath.Join(dir, "none.json"), "-o", filepath.Join(dir, "r")}, "none.json"},
	} {
		status, stdout, errw := runproof(t, "", c.args...)
		if status != ExitInput || stdout != "" || !strings.Contains(errw, c.want) {
			t.Errorf("%v: %d, %q, want %q", c.args[2:], status, errw, c.want)
		}
		if _, err := os.Stat(out); err == nil {
			t.Errorf("%v left a result behind", c.args[2:])
		}
	}
}
