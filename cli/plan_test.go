package cli

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"runproof/fit"
)

const planDrill = `runproof: drill/1
name: Plan test
rows: {count: 36, spacing_m: 0.25}
products: [{id: seed}]
heads:
  - {id: A, product: seed, at_m: {forward: -0.4, right: -3, up: 1.5}, rows: 1-12}
  - {id: B, product: seed, at_m: {forward: -0.4, right: 0, up: 1.5}, rows: 13-24}
  - {id: C, product: seed, at_m: {forward: -0.4, right: 3, up: 1.5}, rows: 25-36}
closed: [A-3]
sensing: {node: node-12}
`

// folder writes files into a new folder and goes there.
func folder(t *testing.T, files map[string]string) {
	t.Helper()
	t.Chdir(t.TempDir())
	for name, text := range files {
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func TestPlanAndMap(t *testing.T) {
	folder(t, map[string]string{"drill.yaml": planDrill, "serials.txt": "4120\n980\n# spare\n4103\n4102\n"})
	status, out, errw := runproof(t, "", "plan", "drill.yaml", "--serials", "serials.txt", "-o", "fit.json")
	if status != ExitDone || errw != "" {
		t.Fatalf("plan: %d, %s%s", status, out, errw)
	}
	for _, want := range []string{"36 sensed runs of 3 heads on 3 nodes of part node-12", "3 pairs of node and head, 14.4 m of tube, 0 ports free", "proved optimal", "1 serial left over: 4120"} {
		if !strings.Contains(out, want) {
			t.Errorf("plan does not say %q:\n%s", want, out)
		}
	}
	if status, _, errw := runproof(t, "", "map", "fit.json", "-o", "map.csv"); status != ExitDone {
		t.Fatalf("map: %d, %s", status, errw)
	}
	f, err := os.Open("map.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) != 37 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	// The contract: columns; serials ascend from left to right in a rank; ports
	// by outlet; a closed run is sensed.
	for i, want := range map[int]string{0: "run,product,head,outlet,row,node,port", 3: "A-3,seed,A,3,3,980,3", 13: "B-1,seed,B,1,13,4102,1", 36: "C-12,seed,C,12,36,4103,12"} {
		if got := strings.Join(rows[i], ","); got != want {
			t.Errorf("line %d: %s, want %s", i+1, got, want)
		}
	}
}

func TestPlanIsTheSameEachTime(t *testing.T) {
	folder(t, map[string]string{"drill.yaml": planDrill})
	_, first, _ := runproof(t, "", "plan", "drill.yaml", "-o", "-")
	_, again, _ := runproof(t, "", "plan", "drill.yaml", "-o", "-")
	if first != again || !strings.HasPrefix(first, "{\n  \"runproof\": \"fit/1\"") {
		t.Error("two plans of one drill differ, or standard output is no fit")
	}
}

func TestPlanRefuses(t *testing.T) {
	swapNode := func(s string) string { return strings.Replace(planDrill, "{node: node-12}", s, 1) }
	for _, c := range []struct {
		name  string
		files map[string]string
		args  []string
		want  string
	}{
		{
			"unknown node",
			map[string]string{"d.yaml": swapNode("{node: node-21}")},
			nil,
			`d.yaml:10:17: sensing.node names "node-21", which is not in the catalogue of parts; did you mean node-12?`,
		},
		{
			"no port left",
			map[string]string{"d.yaml": swapNode("{node: node-8, spare_ports: 8}")},
			nil,
			"d.yaml:10:38: node node-8 has 8 ports and 8 of them are to stay free: none is left; leave at most 7 free, or use a node with more ports",
		},
		{
			"sensor too far",
			map[string]string{"d.yaml": swapNode("{node: node-12, sensor_from_head_m: 3.2}")},
			nil,
			"d.yaml:10:46: no node can serve any run: the sensor is 3.2 m from its head, and tubes of node node-12 reach 3 m; put the sensors nearer",
		},
		{
			"too few serials",
			map[string]string{"d.yaml": planDrill, "s.txt": "1\n2\n"},
			[]string{"--serials", "s.txt"},
			"s.txt: the plan needs 3 serials, and there are 2; add 1, or leave serials out to call the nodes N1, N2, ...",
		},
		{
			"no serials",
			map[string]string{"d.yaml": planDrill, "s.txt": "# none yet\n"},
			[]string{"--serials", "s.txt"},
			"s.txt: the plan needs 3 serials, and there are 0",
		},
		{
			"a serial twice",
			map[string]string{"d.yaml": planDrill, "s.txt": "1\n2\n1\n"},
			[]string{"--serials", "s.txt"},
			"s.txt:3:1: serial 1 stands on line 1 already; write each node's own",
		},
		{
			"faulty parts",
			map[string]string{"d.yaml": planDrill, "p.yaml": "parts: [{id: x, kind: node, ports: 12}]"},
			[]string{"--parts", "p.yaml"},
			"p.yaml:1:9: part x is a node and lacks tube_max_m; add tube_max_m: ...",
		},
		{"no such file", map[string]string{"d.yaml": planDrill}, []string{"--parts", "q.yaml"}, "q.yaml: "},
	} {
		t.Run(c.name, func(t *testing.T) {
			folder(t, c.files)
			status, out, errw := runproof(t, "", append([]string{"plan", "d.yaml", "-o", "fit.json"}, c.args...)...)
			if status != ExitInput || !strings.HasPrefix(errw, c.want) {
				t.Errorf("status %d, %s\nwant %s", status, errw, c.want)
			}
			if _, err := os.Stat("fit.json"); err == nil || out != "" {
				t.Error("something was written all the same")
			}
		})
	}
}

func TestFitDiffAndShow(t *testing.T) {
	folder(t, map[string]string{"drill.yaml": planDrill})
	runproof(t, "", "plan", "drill.yaml", "-o", "a.json")
	text, err := os.ReadFile("a.json")
	if err != nil {
		t.Fatal(err)
	}
	f, err := fit.Read(strings.NewReader(string(text)), "a.json")
	if err != nil {
		t.Fatal(err)
	}
	links := slices.Clone(f.Map)
	links[0].Port, links[1].Port = 2, 1
	g, err := f.WithMap(links[:35], fit.Provenance{By: "by hand"})
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	if err := g.Write(&b); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile("b.json", []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	status, out, _ := runproof(t, "", "fit", "diff", "a.json", "b.json")
	want := "A-1 and A-2 changed places: A-1 is at N1 port 2 now, A-2 at port 1\nC-12 is no longer sensed\n"
	if status != ExitAttention || out != want {
		t.Errorf("status %d, %q, want %q", status, out, want)
	}
	status, out, _ = runproof(t, "", "fit", "diff", "a.json", "a.json")
	if status != ExitDone || out != "no difference\n" {
		t.Errorf("against itself: %d, %q", status, out)
	}
	status, out, _ = runproof(t, "", "--json", "fit", "diff", "a.json", filepath.Join(".", "b.json"))
	var doc diffDoc
	if err := json.Unmarshal([]byte(out), &doc); err != nil || status != ExitAttention || len(doc.Changes) != 2 || doc.Changes[0].Runs[1] != "A-2" {
		t.Errorf("json: %d, %v, %s", status, err, out)
	}
	if status, out, _ = runproof(t, "", "fit", "show", "b.json"); status != ExitDone || !strings.Contains(out, "node N3, node-12, at head C: 11 of 12 ports in use\n") {
		t.Errorf("show: %d, %s", status, out)
	}
	if status, _, errw := runproof(t, "", "fit", "diff", "a.json", "drill.yaml"); status != ExitInput || !strings.HasPrefix(errw, "drill.yaml:1:1: not a fit document") {
		t.Errorf("not a fit: %d, %s", status, errw)
	}
}
