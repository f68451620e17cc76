package drill

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// north is a call as it comes: most is said, some is not.
func north() Facts {
	return Facts{
		Name: "North farm", Rows: 48, SpacingM: 0.25, Shoot: MidRow, Wings: 2, Sections: 3, HoseMM: 25,
		Products: []ProductFacts{
			{Product: Product{ID: "seed", Material: "wheat", RateKgHa: 110, TKWG: 38}, Heads: 5},
			{Product: Product{ID: "fert", Material: "urea"}},
		},
	}
}

func TestNewText(t *testing.T) {
	d, remarks, err := New(north())
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := d.WriteRemarked(&b, remarks); err != nil {
		t.Fatal(err)
	}
	golden(t, "new.yaml", b.String())
	if _, err := Read(&b, "new.yaml"); err != nil {
		t.Errorf("what drill new writes is not read: %v", err)
	}
}

func TestNewShoots(t *testing.T) {
	two := []ProductFacts{{Product: Product{ID: "seed"}, Heads: 4}, {Product: Product{ID: "fert"}, Outlets: []int{20, 28}}}
	for _, c := range []struct {
		name  string
		shoot Shoot
		rows  int
		ids   string
		runs  int
	}{
		{"single: the second product rides along", Single, 48, "A B C D", 48},
		{"double: hoses of its own to every row", Double, 48, "A B C D F1 F2", 96},
		{"mid-row: a band between each pair of rows", MidRow, 96, "A B C D F1 F2", 96 + 48},
		{"mid-row: the odd row out has no band", MidRow, 97, "A B C D F1 F2", 97 + 48},
	} {
		d, _, err := New(Facts{Rows: c.rows, SpacingM: 0.2, Shoot: c.shoot, Products: two})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		var ids []string
		for _, h := range d.Heads {
			ids = append(ids, string(h.ID))
		}
		if got := strings.Join(ids, " "); got != c.ids || len(d.Runs()) != c.runs {
			t.Errorf("%s: heads %s, %d runs; want %s, %d", c.name, got, len(d.Runs()), c.ids, c.runs)
		}
	}
}

// Products with one initial do not share head ids.
func TestNewHeadIDs(t *testing.T) {
	d, _, err := New(Facts{Rows: 12, SpacingM: 0.25, Shoot: Double, Products: []ProductFacts{
		{Product: Product{ID: "seed"}}, {Product: Product{ID: "fert"}}, {Product: Product{ID: "foliar"}},
	}})
	if err != nil {
		t.Fatal(err)
	}
	if got := d.Heads[2].ID; got != "foliar1" {
		t.Errorf("third product's head is %s", got)
	}
}

func TestNewFaults(t *testing.T) {
	seed := ProductFacts{Product: Product{ID: "seed"}}
	for _, c := range []struct {
		name  string
		facts Facts
		want  string
	}{
		{"nothing said", Facts{}, "0 rows; a drill has 1 to 400; count the openers\nthe row spacing is not known; measure from one opener to the next across the drill"},
		{"spacing NaN", Facts{Rows: 2, SpacingM: math.NaN()}, "the row spacing is not known"},
		{"spacing in cm", Facts{Rows: 2, SpacingM: 25}, "spacing_m is 25; it must be 0.03 to 2; did you mean 0.25 (25 cm)"},
		{"one wing", Facts{Rows: 2, SpacingM: 0.2, Wings: 1}, "1 wings: they come in pairs"},
		{"ranks", Facts{Rows: 2, SpacingM: 0.2, Ranks: 3}, "3 ranks for 2 rows"},
		{"sections", Facts{Rows: 2, SpacingM: 0.2, Sections: 3}, "3 sections for 2 rows"},
		{"double with one product", Facts{Rows: 2, SpacingM: 0.2, Shoot: Double, Products: []ProductFacts{seed}}, "double seeding needs a second product; name two, such as seed and fert"},
		{"band on one row", Facts{Rows: 1, SpacingM: 0.2, Shoot: MidRow, Products: []ProductFacts{seed, {Product: Product{ID: "fert"}}}}, "a band lies between two rows, but there is 1"},
		{"outlets do not add up", Facts{Rows: 48, SpacingM: 0.2, Products: []ProductFacts{{Product: seed.Product, Outlets: []int{12, 12, 12, 10}}}}, "the heads of seed have 46 outlets together, but there are 48 rows to feed; say the outlets in use; blind ones do not count"},
		{"head without outlets", Facts{Rows: 4, SpacingM: 0.2, Products: []ProductFacts{{Product: seed.Product, Outlets: []int{4, 0}}}}, "a head of seed with 0 outlets"},
		{"more heads than rows", Facts{Rows: 4, SpacingM: 0.2, Products: []ProductFacts{{Product: seed.Product, Heads: 5}}}, "5 heads for seed cannot share 4 rows; say 1 to 4 heads"},
		{"bad product id", Facts{Rows: 4, SpacingM: 0.2, Products: []ProductFacts{{Product: Product{ID: "my seed"}}}}, `product id "my seed" has a space in it`},
	} {
		d, _, err := New(c.facts)
		if d != nil || err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%s:\ngot  %v\nwant %s", c.name, err, c.want)
		}
	}
}

// Whatever is said on the phone, as long as it can be a drill: every row is
// fed, no head stands on a hinge, the frame is of one piece, and nothing needs
// attention but what nobody said.
func TestNewProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := Facts{
			Rows:     rapid.IntRange(2, 400).Draw(t, "rows"),
			SpacingM: metres(0.1, 0.3).Draw(t, "spacing"),
			Wings:    2 * rapid.IntRange(0, 3).Draw(t, "pairs of wings"),
			Shoot:    rapid.SampledFrom([]Shoot{Single, Double, MidRow}).Draw(t, "shoot"),
			Products: []ProductFacts{{Product: Product{ID: "seed"}}, {Product: Product{ID: "fert"}}},
		}
		f.Products[0].Heads = rapid.IntRange(0, f.Rows).Draw(t, "heads")
		f.Sections = rapid.IntRange(0, f.Rows).Draw(t, "sections")
		d, _, err := New(f)
		if err != nil {
			t.Fatal(err)
		}
		if n := len(d.UnfedRows()); n > 0 {
			t.Fatalf("%d rows get nothing", n)
		}
		for _, r := range Check(d) {
			if r.Margin() < 0 {
				t.Fatal(r)
			}
		}
		clear := min(headOffHingeM, f.partM(d)/2) - 0.002 // places are rounded to millimetres
		for _, h := range d.Heads {
			for _, hinge := range f.hinges(d) {
				if math.Abs(h.At.Right-hinge) < clear {
					t.Fatalf("head %s at %v stands on the hinge at %v", h.ID, h.At.Right, hinge)
				}
			}
		}
		var inSections []RunID
		for _, s := range d.Sections {
			inSections = append(inSections, d.SectionRuns(s)...)
		}
		if f.Sections > 0 && len(inSections) != len(d.Runs()) {
			t.Fatalf("%d of %d runs are in a section", len(inSections), len(d.Runs()))
		}
		slices.Sort(inSections)
		if len(slices.Compact(inSections)) != len(inSections) {
			t.Fatal("a run is in two sections")
		}
	})
}

// What did not come from Read is checked as Read would.
func TestValidate(t *testing.T) {
	for _, c := range Cases() {
		if err := c.Drill.Validate(); err != nil {
			t.Errorf("%s: %v", c.Name, err)
		}
	}
	d := oneRow()
	d.Heads[0].Rows, d.Supply.Volts = RowList{2}, math.NaN()
	want := "head A feeds row 2, but the drill has 1 rows; check rows.count or the head's list\n" +
		`volts must be a number, not the text "NaN"; write a number like 12 or 0.25, without a unit`
	if err := d.Validate(); err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
}
