package schema

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	validator "github.com/santhosh-tekuri/jsonschema/v6"

	"runproof/alarm"
	"runproof/drill"
	"runproof/fit"
	"runproof/parts"
	"runproof/review"
	"runproof/simulate"
	"runproof/walk"
)

// compiled is a schema in a validator of other hands
// (santhosh-tekuri/jsonschema v6, which passes the official test suite of
// draft 2020-12).
func compiled(t *testing.T, name string) *validator.Schema {
	t.Helper()
	text, ok := Of(name)
	if !ok {
		t.Fatalf("no schema %s", name)
	}
	doc, err := validator.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := validator.NewCompiler()
	if err := c.AddResource(name, doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile(name)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// asJSON turns YAML into the values that a validator takes.
func asJSON(t *testing.T, text string) any {
	t.Helper()
	j, err := yaml.YAMLToJSON([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return jsonValue(t, j)
}

func jsonValue(t *testing.T, j []byte) any {
	t.Helper()
	v, err := validator.UnmarshalJSON(bytes.NewReader(j))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func written(t *testing.T, d *drill.Drill) string {
	t.Helper()
	var b strings.Builder
	if err := d.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// What the program writes and reads, its schema accepts: the battery, the test
// files of drill and parts, and descriptions from random phone calls.
func TestSoundDrills(t *testing.T) {
	s := compiled(t, "drill")
	accept := func(name, text string) {
		t.Helper()
		if err := s.Validate(asJSON(t, text)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, c := range drill.Cases() {
		accept(c.Name, written(t, c.Drill))
	}
	for _, name := range []string{"good.yaml", "new.yaml"} {
		text, err := os.ReadFile("../drill/testdata/" + name)
		if err != nil {
			t.Fatal(err)
		}
		accept(name, string(text))
	}
	rng := rand.New(rand.NewPCG(1, 2))
	for range 20 {
		d, _, err := drill.New(drill.Facts{
			Rows: 2 + rng.IntN(399), SpacingM: 0.15 + rng.Float64()/5, Shoot: drill.Shoot(rng.IntN(3)), Wings: 2 * rng.IntN(4),
			Products: []drill.ProductFacts{{Product: drill.Product{ID: "seed"}}, {Product: drill.Product{ID: "fert"}}},
		})
		if err != nil {
			t.Fatal(err)
		}
		accept("phone call", written(t, d))
	}
}

const sound = `runproof: drill/1
rows: {count: 12, spacing_m: 0.25}
products: [{id: seed}]
heads:
  - {id: A, product: seed, at_m: {forward: 0, right: 0}, rows: 1-6}
  - {id: 2, product: seed, at_m: {forward: 0, right: 0}, rows: [7, 8-10, "11, 12"]}
`

// What is wrong in form, both the schema and the reader refuse; the schema's
// word names the place.
func TestFaultyDrills(t *testing.T) {
	s := compiled(t, "drill")
	if err := s.Validate(asJSON(t, sound)); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ name, old, new, at string }{
		{"other version", "drill/1", "drill/2", "/runproof"},
		{"unknown key", "products:", "colour: red\nproducts:", "colour"},
		{"misspelt key", "spacing_m", "spaceing_m", "/rows"},
		{"missing key", "product: seed, at_m: {forward: 0, right: 0}, rows: 1-6", "product: seed, at_m: {forward: 0, right: 0}", "/heads/0"},
		{"centimetres", "0.25", "25", "/rows/spacing_m"},
		{"no rows", "count: 12", "count: 0", "/rows/count"},
		{"401 rows", "count: 12", "count: 401", "/rows/count"},
		{"half a row", "count: 12", "count: 1.5", "/rows/count"},
		{"text for a number", "0.25", "wide", "/rows/spacing_m"},
		{"id with a space", "id: A", "id: my head", "/heads/0/id"},
		{"list of rows in words", "rows: 1-6", "rows: all", "/heads/0/rows"},
		{"empty list of rows", "rows: 1-6", "rows: []", "/heads/0/rows"},
		{"no heads", sound[strings.Index(sound, "heads:"):], "heads: []\n", "/heads"},
		{"cart in front", "products:", "cart: {position: front}\nproducts:", "/cart/position"},
		{"units unknown", "products:", "display: imperial\nproducts:", "/display"},
		{"closed head", "products:", "closed: [A]\nproducts:", "/closed/0"},
		{"negative rate", "{id: seed}", "{id: seed, rate_kg_ha: -1}", "/products/0/rate_kg_ha"},
		{"rank in front of the front", "spacing_m: 0.25", "spacing_m: 0.25, ranks_m: [0.6]", "/rows/ranks_m/0"},
		{"link without an end", "products:", "frame: {links: [{from: A}]}\nproducts:", "/frame/links/0"},
	} {
		text := strings.Replace(sound, c.old, c.new, 1)
		err := s.Validate(asJSON(t, text))
		if err == nil || !strings.Contains(err.Error(), c.at) {
			t.Errorf("%s: the schema says %v, want a fault at %s", c.name, err, c.at)
		}
		if _, err := drill.Read(strings.NewReader(text), "x"); err == nil {
			t.Errorf("%s: the reader lets it pass", c.name)
		}
	}
}

func TestParts(t *testing.T) {
	s := compiled(t, "parts")
	text, err := os.ReadFile("../parts/builtin.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Validate(asJSON(t, string(text))); err != nil {
		t.Error(err)
	}
	for _, c := range []struct{ text, at string }{
		{"parts: [{id: n, kind: nod, ports: 12, tube_max_m: 3}]", "/parts/0/kind"},
		{"parts: [{id: n, kind: node, ports: 0, tube_max_m: 3}]", "/parts/0/ports"},
		{"part: []", "part"},
	} {
		if err := s.Validate(asJSON(t, c.text)); err == nil || !strings.Contains(err.Error(), c.at) {
			t.Errorf("%s: the schema says %v", c.text, err)
		}
		if _, err := parts.BuiltIn().With(strings.NewReader(c.text), "x"); err == nil {
			t.Errorf("%s: the reader lets it pass", c.text)
		}
	}
}

func TestFit(t *testing.T) {
	s := compiled(t, "fit")
	for _, c := range drill.Cases() {
		f := fit.Fit{
			Runproof: fit.Version, Revision: 1, Made: fit.Provenance{By: "test"}, Drill: *c.Drill,
			Nodes: []fit.Node{{Serial: "N1", Part: "node-12", Ports: 12, Head: "A"}},
			Map:   []fit.Link{{Run: "A-1", Node: "N1", Port: 1, TubeM: 0.4}},
		}
		j, err := json.Marshal(f)
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Validate(jsonValue(t, j)); err != nil {
			t.Errorf("%s: %v", c.Name, err)
		}
		if err := s.Validate(jsonValue(t, bytes.Replace(j, []byte(`"run":"A-1"`), []byte(`"run":"A"`), 1))); err == nil {
			t.Errorf("%s: a run without an outlet passes", c.Name)
		}
	}
}

// Every property of every schema says what it is.
func TestDescribed(t *testing.T) {
	for _, name := range Names() {
		text, _ := Of(name)
		var v any
		if err := json.Unmarshal(text, &v); err != nil {
			t.Fatal(err)
		}
		undescribed(t, name, v)
	}
}

func undescribed(t *testing.T, path string, v any) {
	t.Helper()
	m, ok := v.(map[string]any)
	if !ok {
		return
	}
	props, _ := m["properties"].(map[string]any)
	for key, p := range props {
		if s, _ := p.(map[string]any); s["description"] == nil {
			t.Errorf("%s: property %s has no description; write a comment on its field", path, key)
		}
	}
	for key, inner := range m {
		undescribed(t, path+"/"+key, inner)
	}
}

func TestNames(t *testing.T) {
	var want []string
	for _, d := range documents {
		want = append(want, d.name)
	}
	slices.Sort(want)
	if got := Names(); !slices.Equal(got, want) {
		t.Errorf("schemas of %v, documents are %v", got, want)
	}
	if _, ok := Of("harvest"); ok {
		t.Error("there is a schema of what is no document")
	}
}

// The demo's scenarios are accepted, and what the reader refuses in form is
// not.
func TestScenario(t *testing.T) {
	s := compiled(t, "scenario")
	for _, name := range []string{"baseline", "day", "walk"} {
		text, err := os.ReadFile("../demo/" + name + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Validate(asJSON(t, string(text))); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, c := range []struct{ text, at string }{
		{"runproof: scenario/1\nkind: night", "/kind"},
		{"runproof: scenario/1\nkind: day\nfaults: [{kind: unknown, at_s: 1, for_s: 1}]", "/faults/0/kind"},
		{"runproof: scenario/1\nkind: day\nfaults: [{kind: blocked, at_s: -1, for_s: 1}]", "/faults/0/at_s"},
		{"runproof: scenario/1\nkind: day\nfield: {pass_m: 1}", "/field/pass_m"},
		{"kind: day", "runproof"},
	} {
		if err := s.Validate(asJSON(t, c.text)); err == nil || !strings.Contains(err.Error(), c.at) {
			t.Errorf("%q: the schema says %v, want a fault at %s", c.text, err, c.at)
		}
		if _, err := simulate.Read(strings.NewReader(c.text), "x"); err == nil {
			t.Errorf("%q: the reader lets it pass", c.text)
		}
	}
}

// What the program writes is accepted with everything in it and with nothing
// in it: lists that are null, and runs that an event of a whole head leaves
// empty.
func TestWrittenDocuments(t *testing.T) {
	offset, port := -12.4, fit.PortRef{Node: "1001", Port: 3}
	for _, c := range []struct {
		schema string
		doc    any
	}{
		{"proof", walk.Proof{Runproof: walk.Version}},
		{"proof", walk.Proof{
			Runproof: walk.Version, Method: walk.Tap, ClockOffsetS: &offset,
			Runs: []walk.Run{
				{Run: "A-1", Planned: fit.PortRef{Node: "1001", Port: 1}, Found: &port, Verdict: walk.Moved, Confidence: 0.9999, Evidence: &walk.Evidence{Nats: 40}},
				{Run: "L-1-12", Planned: port, Verdict: walk.NotWalked},
			},
			Moves:    []walk.Move{{Run: "A-1", From: port, To: fit.PortRef{Node: "1001", Port: 1}, Words: "move it"}},
			NotInLog: []fit.PortRef{port},
		}},
		{"rules", alarm.Rules{Runproof: alarm.Version}},
		{"rules", alarm.Rules{
			Runproof: alarm.Version, IntervalS: 0.2, Shares: map[drill.RunID]float64{"A-1": 0.0832},
			Rules:      []alarm.Rule{{Product: "seed", Floor: 0.4, HoldS: 2, FalseAlarmsPerDay: 0.8, Missed: alarm.Missed{Blocked: &offset}}},
			OtherRules: []alarm.OtherRule{{Style: alarm.OfAllRuns, Rule: alarm.Rule{Product: "seed"}, Says: "so"}},
		}},
		{"events", review.Document{Runproof: review.DocumentVersion}},
		{"events", review.Document{Runproof: review.DocumentVersion, Events: []review.Event{
			{ID: 1, Run: "C-7", Head: "C", Product: "seed", Kind: review.Blocked, Start: "1.0", End: "2.0", Lost: 0.97, Metres: 212, AreaM2: 53},
			{ID: 2, Product: "seed", Kind: review.ProductOut, Evidence: review.Evidence{SiblingRise: &offset}},
		}}},
	} {
		j, err := json.Marshal(c.doc)
		if err != nil {
			t.Fatal(err)
		}
		if err := compiled(t, c.schema).Validate(jsonValue(t, j)); err != nil {
			t.Errorf("%v\n%s", err, j)
		}
	}
	for _, c := range []struct{ schema, doc, at string }{
		{"proof", `{"runproof":"proof/1","made":{"by":""},"method":"pinch","clock_offset_s":null,"moves":null,"runs":[{"run":"A-1","planned":{"node":"1","port":1},"verdict":"swapped","confidence":1,"reason":""}]}`, "/runs/0/verdict"},
		{"rules", `{"runproof":"rules/1","rules":[{"product":"seed","floor":"low"}]}`, "/rules/0/floor"},
		{"events", `{"runproof":"events/2","events":[]}`, "/runproof"},
		{"events", `{"runproof":"events/1"}`, "events"},
	} {
		if err := compiled(t, c.schema).Validate(jsonValue(t, []byte(c.doc))); err == nil || !strings.Contains(err.Error(), c.at) {
			t.Errorf("%s: the schema says %v, want a fault at %s", c.doc, err, c.at)
		}
	}
}
