package drill

import (
	"bytes"
	"errors"
	"flag"
	"os"
	"reflect"
	"strings"
	"testing"

	"runproof/input"
)

var update = flag.Bool("update", false, "renew the golden files")

// golden compares text that people read with a file they can review.
func golden(t *testing.T, name, got string) {
	t.Helper()
	name = "testdata/" + name
	if *update {
		if err := os.WriteFile(name, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s is different now; look at the difference, then renew with -update\ngot:\n%s", name, got)
	}
}

func readFile(t *testing.T, name string) (*Drill, error) {
	t.Helper()
	b, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return Read(bytes.NewReader(b), name)
}

func TestReadEveryKey(t *testing.T) {
	got, err := readFile(t, "good.yaml")
	if err != nil {
		t.Fatal(err)
	}
	want := &Drill{
		Runproof: "drill/1", Name: "Demo, 48 rows", Display: Metric,
		Rows:     Rows{48, 0.25, []float64{0, -0.6, -1.2}},
		Products: []Product{{ID: "seed", Material: "wheat", RateKgHa: 110, TKWG: 38}, {ID: "fert", Material: "urea", RateKgHa: 80}},
		Heads: []Head{
			{ID: "A", Product: "seed", At: Point{-0.4, -4.5, 1.5}, Rows: RowList{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}, HoseM: 2.4, HoseMM: 25},
			{ID: "B", Product: "seed", At: Point{-0.4, -1.5, 1.5}, Rows: RowList{13, 14, 15, 16, 17, 18, 20, 22, 23, 24, 25, 26}, HoseM: 0, HoseMM: 0},
			{ID: "C", Product: "seed", At: Point{-0.4, 3, 0}, Rows: RowList{30, 27, 28, 29, 31, 33}, HoseM: 0, HoseMM: 0},
			{ID: "L-1", Product: "fert", At: Point{-1, 0, 0}, Rows: RowList{1, 3, 5}, HoseM: 0, HoseMM: 0},
			{ID: "D", Product: "fert", At: Point{-1, 5, 0}, Rows: RowList{48}, HoseM: 0, HoseMM: 0},
		},
		Sections: []Section{{"S1", []HeadID{"A"}, nil}, {"S2", []HeadID{"C"}, []RunID{"B-1", "B-2"}}},
		Closed:   []RunID{"A-3", "A-5"},
		Cart:     Cart{Position: CartBehind},
		GNSS:     GNSS{Point{Forward: 4}},
		Work:     Work{2.2},
		Sensing:  Sensing{"node-12", []ProductID{"seed"}, 1, 0.4},
		Supply:   Supply{Volts: 12},
		Frame: Frame{
			[]FramePoint{{"P1", Point{0, -6, 0}}, {"P2", Point{0, 6, 1.2}}},
			[]FrameLink{{"P1", "P2", 0.3}},
		},
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
}

// What a short description leaves out, as the doc comments promise.
func TestReadDefaults(t *testing.T) {
	d, err := Read(strings.NewReader(`
runproof: drill/1
rows: {count: 2, spacing_m: 0.25}
products: [{id: seed}, {id: small}]
heads: [{id: A, product: seed, at_m: {forward: 0, right: 0}, rows: 1-2}]
`), "short.yaml")
	if err != nil {
		t.Fatal(err)
	}
	want := &Drill{
		Runproof: "drill/1",
		Rows:     Rows{2, 0.25, []float64{0}},
		Products: []Product{{ID: "seed"}, {ID: "small"}},
		Heads:    []Head{{ID: "A", Product: "seed", Rows: RowList{1, 2}}},
		Work:     Work{2.2}, Supply: Supply{Volts: 12},
		Sensing: Sensing{Products: []ProductID{"seed"}, SensorFromHeadM: 0.4},
	}
	if !reflect.DeepEqual(d, want) {
		t.Errorf("got  %+v\nwant %+v", d, want)
	}
}

// All faults of one document at once, each with place, fault and remedy.
func TestReadFaulty(t *testing.T) {
	d, err := readFile(t, "faulty.yaml")
	if d != nil || err == nil {
		t.Fatal("a faulty description was read")
	}
	golden(t, "faulty.txt", err.Error()+"\n")
}

// minimal is a sound description into which a table puts one fault each.
const minimal = `runproof: drill/1
rows: {count: 12, spacing_m: 0.25}
products: [{id: seed}]
heads:
  - {id: A, product: seed, at_m: {forward: 0, right: 0}, rows: 1-6}
  - {id: B, product: seed, at_m: {forward: 0, right: 0}, rows: 7-12}
`

func TestReadFaults(t *testing.T) {
	for _, c := range []struct{ name, old, new, want string }{
		{"other version", "drill/1", "drill/2", `x:1:11: the document is the text "drill/2", not drill/1; this program reads drill/1`},
		{"a fit", "drill/1", "fit/1", `x:1:11: the document is the text "fit/1", not drill/1; this program reads drill/1`},
		{"no version", "runproof: drill/1", "name: x", "x: the document does not say what it is: key runproof is missing; begin with runproof: drill/1"},
		{"centimetres", "0.25", "25", "x:2:30: spacing_m is 25; it must be 0.03 to 2; did you mean 0.25 (25 cm) or 0.635 (25 in)?"},
		{"inches with unit", "0.25", "10 in", `x:2:30: spacing_m must be a number, not the text "10 in"; write 0.254: the key says m`},
		{"millimetres", "0.25", "250", "x:2:30: spacing_m is 250; it must be 0.03 to 2; did you mean 0.25 (250 mm)?"},
		{"nonsense", "0.25", "1000000", "x:2:30: spacing_m is 1000000; it must be 0.03 to 2; write it in m"},
		{"no rows", "count: 12", "count: 0", "x:2:15: count is 0; it must be 1 to 400"},
		{"401 rows", "count: 12", "count: 401", "x:2:15: count is 401; it must be 1 to 400"},
		{"row 13 of 12", "7-12", "7-13", "x:6:64: head B feeds row 13, but the drill has 12 rows; check rows.count or the head's list"},
		{"row 0", "1-6", "0-6", "x:5:64: row 0 is out of range; rows count from 1 at the left to at most 400"},
		{"row twice for one product", "7-12", "6-12", "x:6:64: row 6 gets seed from run A-6 already, and here again from B-1; a row takes one run of each product; check both lists"},
		{"row twice in one head", "1-6", `"1-6, 4"`, `x:5:64: row 4 stands twice in the list "1-6, 4"; name each row once`},
		{"empty range", "1-6", "1-", `x:5:64: "1-" lacks a row number; write rows like "1-12, 15, 20-24"`},
		{"no number", "1-6", `"1-6, all"`, `x:5:64: "all" is no row number; write rows like "1-12, 15, 20-24"`},
		{"rows as keys", "1-6", "{from: 1}", "x:5:64: rows must be a list of values, and keys with values is none; write plain values between commas"},
		{"rows null", "rows: 1-6", "rows: ", "x:5:5: key rows is missing in heads"},
		{"no heads", "heads:\n  - {id: A, product: seed, at_m: {forward: 0, right: 0}, rows: 1-6}\n  - {id: B, product: seed, at_m: {forward: 0, right: 0}, rows: 7-12}\n", "heads: []", "x:4:8: there are no heads; describe at least one"},
		{"no products", "[{id: seed}]", "[]", "x:3:11: there are no products; name at least one: - {id: seed}\nx:5:22: there is no product \"seed\"; describe it first"},
		{"product unknown", "A, product: seed", "A, product: sede", `x:5:22: there is no product "sede"; did you mean seed?`},
		{"head twice", "id: B", "id: A", "x:6:10: head id A is taken on line 5; give each its own"},
		{"head with a colon", "id: B", `id: "B:1"`, `x:6:10: head id "B:1" has : in it; use letters, digits, and _ . - behind the first, at most 24 of them`},
		{"head with an empty id", "id: B", `id: ""`, `x:6:10: head id "" is empty; use letters`},
		{"head with a long id", "id: B", "id: " + strings.Repeat("B", 25), "x:6:10: head id \"" + strings.Repeat("B", 25) + `" is too long; use letters`},
		{"ranks ahead", "spacing_m: 0.25", "spacing_m: 0.25, ranks_m: [0, 0.6]", "x:2:49: ranks_m is 0.6; it must be -20 to 0; did you mean -0.6?"},
		{"no front rank", "spacing_m: 0.25", "spacing_m: 0.25, ranks_m: [-0.5, -1]", "x:2:45: no rank is at 0, but all places are measured from the front rank; measure the ranks from the front one: 0.0, then minus the distances"},
		{"no ranks", "spacing_m: 0.25", "spacing_m: 0.25, ranks_m: []", "x:2:45: rows.ranks_m names no rank; write ranks_m: [0.0] for one rank"},
		{"closed run unknown", "products:", "closed: [A-7]\nproducts:", `x:3:10: closed: there is no run "A-7": head A has 6 outlets; check the list of rows of that head`},
		{"closed run of no head", "products:", "closed: [C-1]\nproducts:", `x:3:10: closed: there is no run "C-1", for there is no head "C"; a run is a head and its outlet, like C-7`},
		{"closed head", "products:", "closed: [B]\nproducts:", `x:3:10: closed: "B" is a head, not a run; a run is a head and its outlet, like B-1`},
		{"section of nothing", "products:", "sections: [{id: S1}]\nproducts:", "x:3:12: section S1 has no runs; write heads: [...] or runs: [...]"},
		{"section of unknown head", "products:", "sections: [{id: S1, heads: [AB]}]\nproducts:", `x:3:29: section S1: there is no head "AB"; did you mean A?`},
		{"km/h", "products:", "work: {speed_mps: 9}\nproducts:", "x:3:19: speed_mps is 9; it must be 0.2 to 6; did you mean 2.5 (9 km/h) or 4.023 (9 mph)?"},
		{"hose in metres", "rows: 1-6", "hose_mm: 0.025, rows: 1-6", "x:5:67: hose_mm is 0.025; it must be 5 to 200; did you mean 25 (0.025 m)?"},
		{"name of two lines", "products:", "name: \"a\\nb\"\nproducts:", "x:3:7: the name has a line break, tab or control character in it; write it on one line"},
		{"long name", "products:", "name: " + strings.Repeat("ü", 121) + "\nproducts:", "x:3:7: the name is too long; keep it under 120 letters"},
		{"sensed product unknown", "products:", "sensing: {products: [fert]}\nproducts:", `x:3:22: sensing: there is no product "fert"; use seed`},
		{"sensed twice", "products:", "sensing: {products: [seed, seed]}\nproducts:", "x:3:28: product seed stands twice; name it once"},
		{"frame link to nowhere", "products:", "frame: {links: [{from: P, to: Q}]}\nproducts:", "x:3:24: there is no frame point \"P\"; describe it first\nx:3:31: there is no frame point \"Q\"; describe it first"},
		{"frame point twice", "products:", "frame: {points: [{id: P, at_m: {forward: 0, right: 0}}, {id: P, at_m: {forward: 0, right: 1}}]}\nproducts:", "x:3:62: frame point id P is taken on line 3; give each its own"},
	} {
		text := strings.Replace(minimal, c.old, c.new, 1)
		d, err := Read(strings.NewReader(text), "x")
		var faults input.Faults
		if d != nil || !errors.As(err, &faults) {
			t.Errorf("%s: read without faults (%v)", c.name, err)
			continue
		}
		if !strings.HasPrefix(err.Error(), c.want) || !strings.Contains(c.want, "\n") && len(faults) != 1 {
			t.Errorf("%s:\ngot  %v\nwant %s", c.name, err, c.want)
		}
	}
}
