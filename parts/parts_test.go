package parts

import (
	"bytes"
	"errors"
	"math"
	"os"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"runproof/input"
)

func with(t *testing.T, text string) (Catalogue, error) {
	t.Helper()
	return BuiltIn().With(strings.NewReader(text), "parts.yaml")
}

// The contract: node parts carry at least ports and tube_max_m, ids are unique.
func TestBuiltIn(t *testing.T) {
	seen := make(map[string]bool)
	for _, p := range BuiltIn().Parts {
		if seen[p.ID] {
			t.Errorf("%s stands twice", p.ID)
		}
		seen[p.ID] = true
		if p.Kind == KindUnsaid || p.Name == "" {
			t.Errorf("%s has no kind or name", p.ID)
		}
		if p.Kind == Node && (p.Ports < 1 || p.TubeMaxM <= 0 || p.IdleA <= 0 || p.VoltsMin <= 0) {
			t.Errorf("node %s lacks a limit", p.ID)
		}
		if p.Price != 0 {
			t.Errorf("%s has a price: generic parts have none", p.ID)
		}
	}
	for _, ports := range []int{8, 12, 16, 24} {
		found := false
		for _, p := range BuiltIn().Of(Node) {
			found = found || p.Ports == ports
		}
		if !found {
			t.Errorf("no node with %d ports", ports)
		}
	}
}

func TestOverride(t *testing.T) {
	text, err := os.ReadFile("testdata/own.yaml")
	if err != nil {
		t.Fatal(err)
	}
	c, err := with(t, string(text))
	if err != nil {
		t.Fatal(err)
	}
	old, _ := BuiltIn().Part("node-12")
	got, _ := c.Part("node-12")
	want := old
	want.TubeMaxM, want.Price = 3.5, 240
	if got != want {
		t.Errorf("override gives %+v, want %+v", got, want)
	}
	if n := len(c.Parts); n != len(BuiltIn().Parts)+1 || c.Parts[n-1].ID != "node-10" {
		t.Error("a new part does not come last")
	}
	if again, _ := BuiltIn().Part("node-12"); again != old {
		t.Error("the built-in catalogue was changed")
	}
}

// A faulty file names every fault with its place and a remedy, in one go.
func TestFaults(t *testing.T) {
	f, err := os.Open("testdata/faulty.yaml")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	_, err = BuiltIn().With(f, "faulty.yaml")
	var faults input.Faults
	if !errors.As(err, &faults) {
		t.Fatalf("no faults: %v", err)
	}
	want := []string{
		`faulty.yaml:1:11: the document is "parts/2", not parts/1; this program reads parts/1`,
		`faulty.yaml:3:25: kind: "nodes" is no kind of part; did you mean node?`,
		`faulty.yaml:4:5: part node-x is a node and lacks tube_max_m; add tube_max_m: ...`,
		`faulty.yaml:5:37: ports is 0; it must be 1 to 128`,
		`faulty.yaml:6:10: part node-y stands twice, first on line 5; keep one of them`,
		`faulty.yaml:7:27: part sensor-25 is a sensor in the catalogue, not a node; give the new part another id`,
		`faulty.yaml:8:10: part id "a b" has ' ' in it; use letters, digits, and _ . - behind the first, at most 40 of them`,
		`faulty.yaml:9:5: part lead is a leg and lacks area_mm2; add area_mm2: ...`,
		`faulty.yaml:9:40: unknown key "colour"; use id`,
		`faulty.yaml:10:5: key id is missing in parts`,
		`faulty.yaml:11:1: unknown key "colours"; use runproof or parts`,
	}
	got := strings.Split(err.Error(), "\n")
	if len(got) != len(want) {
		t.Errorf("%d faults, want %d:\n%s", len(got), len(want), err)
	}
	for i := range min(len(got), len(want)) {
		if !strings.HasPrefix(got[i], want[i]) {
			t.Errorf("fault %d:\n got %s\nwant %s", i, got[i], want[i])
		}
	}
}

func TestNode(t *testing.T) {
	c := BuiltIn()
	for _, tc := range []struct{ id, want, fault string }{
		{"", "node-12", ""},
		{"node-8", "node-8", ""},
		{"node-9", "", `sensing.node names "node-9", which is not in the catalogue of parts; did you mean node-8?`},
		{"Node12", "", `sensing.node names "Node12", which is not in the catalogue of parts; did you mean node-12?`},
		{"tee", "", `sensing.node names "tee", which is a tee, not a node; use node-12, node-8, node-16 or node-24`},
	} {
		got, err := c.Node(tc.id)
		if tc.fault == "" && (err != nil || got.ID != tc.want) || tc.fault != "" && (err == nil || err.Error() != tc.fault) {
			t.Errorf("%q: %s, %v", tc.id, got.ID, err)
		}
	}
	if _, err := (Catalogue{}).Node(""); err == nil {
		t.Error("an empty catalogue has a node")
	}
}

func TestKindWords(t *testing.T) {
	for k := Node; k <= Label; k++ {
		b, _ := k.MarshalText()
		var back Kind
		if err := back.UnmarshalText(b); err != nil || back != k {
			t.Errorf("%s reads back as %s: %v", k, back, err)
		}
	}
	var k Kind
	if err := k.UnmarshalText(nil); err == nil {
		t.Error("no word is a kind")
	}
	if s := Kind(99).String(); s != "Kind(99)" {
		t.Error(s)
	}
}

// A kit counted by hand: 2 nodes of 12 ports with 20 sensors in 25 mm hose and
// tubes of 1 m. Spares: one sensor for each 20 begun, one cap for each 10
// begun, one clamp and one label for each 20 begun. Tubes: 20 x 1.15 m = 23.0 m,
// which a roll of 25 m holds with 5 % to spare. Ties: 20 x (2 + 2) = 80, one bag.
func TestKit(t *testing.T) {
	tubes := make([]float64, 20)
	for i := range tubes {
		tubes[i] = 1
	}
	kit := BuiltIn().Kit(Need{Nodes: []Some{{"node-12", 2}}, FreePorts: 4, Hoses: []HoseNeed{{MM: 25, Sensors: 20}}, TubesM: tubes})
	want := []struct {
		part         string
		count, spare int
	}{
		{"node-12", 2, 0},
		{"sensor-25", 20, 1},
		{"tube-25", 1, 0},
		{"cap", 4, 1},
		{"clamp-25", 40, 2},
		{"terminator", 2, 0},
		{"gateway", 1, 0},
		{"work-switch", 1, 0},
		{"label", 42, 3},
		{"plug", 1, 1},
		{"antenna", 1, 0},
		{"mount", 1, 0},
		{"charger", 1, 0},
		{"fixing", 5, 0}, // two nodes, gateway, antenna, switch
		{"tie-100", 1, 0},
	}
	if len(kit.Lines) != len(want) {
		t.Fatalf("%d lines, want %d: %+v", len(kit.Lines), len(want), kit.Lines)
	}
	for i, w := range want {
		if l := kit.Lines[i]; l.Part != w.part || l.Count != w.count || l.Spare != w.spare {
			t.Errorf("line %d: %s %d + %d, want %v", i, l.Part, l.Count, l.Spare, w)
		}
	}
	if sum, unpriced := kit.Cost(); sum != 0 || unpriced != len(want) {
		t.Errorf("without prices: %g, %d", sum, unpriced)
	}
}

func TestKitSaysWhatIsMissing(t *testing.T) {
	kit := BuiltIn().Kit(Need{Nodes: []Some{{"node-12", 1}}, Hoses: []HoseNeed{{Sensors: 3}, {MM: 28, Sensors: 2}}, TubesM: []float64{1, 1, 1, 1, 200}})
	notes := strings.Join(kit.Notes, "\n")
	for _, want := range []string{"3 sensors go into hoses whose size is not said", "no sensor for 28 mm hose", "no roll in the catalogue is long enough for 1 of the tubes"} {
		if !strings.Contains(notes, want) {
			t.Errorf("notes lack %q:\n%s", want, notes)
		}
	}
}

func TestCost(t *testing.T) {
	c, err := with(t, "parts: [{id: sensor-25, kind: sensor, hose_mm: 25, price: 18.5}]")
	if err != nil {
		t.Fatal(err)
	}
	kit := c.Kit(Need{Hoses: []HoseNeed{{MM: 25, Sensors: 10}}})
	if sum, unpriced := kit.Cost(); sum != 11*18.5 || unpriced == 0 { // 10 and a spare
		t.Errorf("cost %g, %d lines without price", sum, unpriced)
	}
}

// Laws of cutting: no roll holds more than its length, no piece is lost, and
// the rolls are at least as many as the metres need and at most twice that
// (first fit never leaves two rolls both half empty).
func TestPackRolls(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pieces := rapid.SliceOfN(rapid.Float64Range(0.05, 12), 0, 60).Draw(t, "pieces")
		const roll = 10.0
		used, over := packRolls(pieces, roll)
		total, fit := 0.0, 0.0
		for _, m := range pieces {
			if m <= roll {
				fit += m
			}
		}
		for _, u := range used {
			total += u
			if u > roll+1e-6 {
				t.Fatalf("a roll of %g m gives %g m", roll, u)
			}
		}
		if math.Abs(total-fit) > 1e-6 {
			t.Fatalf("%g m cut, %g m wanted (%d too long)", total, fit, over)
		}
		if n := float64(len(used)); n > 1 && n > 2*fit/roll+1 {
			t.Fatalf("%g rolls for %g m", n, fit)
		}
	})
}

func TestStock(t *testing.T) {
	c := BuiltIn()
	for _, tc := range []struct {
		m    float64
		want string
	}{{0.2, "leg-1.0-0.5"}, {0.5, "leg-1.0-0.5"}, {0.51, "leg-1.0-1"}, {3, "leg-1.0-3"}, {4, "leg-1.0-5"}, {9, ""}} {
		if got, _ := c.Stock(Leg, tc.m); got.ID != tc.want {
			t.Errorf("%g m: %q, want %q", tc.m, got.ID, tc.want)
		}
	}
}

func FuzzWith(f *testing.F) {
	for _, name := range []string{"testdata/faulty.yaml", "testdata/own.yaml", "builtin.yaml"} {
		b, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(b)
	}
	f.Add([]byte("parts: []"))
	f.Fuzz(func(t *testing.T, text []byte) {
		c, err := BuiltIn().With(bytes.NewReader(text), "parts.yaml")
		if err != nil {
			var faults input.Faults
			if !errors.As(err, &faults) || len(faults) == 0 {
				t.Fatalf("an error without faults: %v", err)
			}
			return
		}
		seen := make(map[string]bool)
		for _, p := range c.Parts {
			if seen[p.ID] || p.Kind == KindUnsaid {
				t.Fatalf("part %q twice or without kind", p.ID)
			}
			seen[p.ID] = true
			if p.Kind == Node && (p.Ports < 1 || !(p.TubeMaxM > 0)) {
				t.Fatalf("node %q has %d ports and %g m", p.ID, p.Ports, p.TubeMaxM)
			}
		}
	})
}
