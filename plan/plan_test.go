package plan_test

import (
	"bytes"
	"fmt"
	"testing"

	"runproof/allocate"
	"runproof/check"
	"runproof/drill"
	"runproof/fit"
	"runproof/parts"
	"runproof/plan"
)

func made(t testing.TB, d *drill.Drill, cat parts.Catalogue) plan.Outcome {
	t.Helper()
	o, err := plan.Make(d, cat, plan.Options{Effort: allocate.Effort}, fit.Provenance{By: "test"})
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// Every drill of the battery gets a whole fit that reads back as it was
// written, and the same one each time.
func TestEveryDrill(t *testing.T) {
	for _, c := range drill.Cases() {
		t.Run(c.Name, func(t *testing.T) {
			o := made(t, c.Drill, parts.BuiltIn())
			var first, second, back bytes.Buffer
			if err := o.Fit.Write(&first); err != nil {
				t.Fatal(err)
			}
			if err := made(t, c.Drill, parts.BuiltIn()).Fit.Write(&second); err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(first.Bytes(), second.Bytes()) {
				t.Error("two plans of one drill differ")
			}
			f, err := fit.Read(bytes.NewReader(first.Bytes()), "fit.json")
			if err != nil {
				t.Fatal(err)
			}
			if err := f.Write(&back); err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(first.Bytes(), back.Bytes()) {
				t.Error("what was read back is written otherwise")
			}
		})
	}
}

// Every result names its rule and its source, and says what to do.
func TestEveryRuleSaysWhatItRestsOn(t *testing.T) {
	for _, c := range drill.Cases() {
		for _, r := range made(t, c.Drill, parts.BuiltIn()).Fit.Checks {
			if r.Rule == "" || r.Source == "" || r.Advice == "" {
				t.Errorf("%s: %+v lacks rule, source or advice", c.Name, r)
			}
		}
	}
}

// What nobody said is not held against a drill.
func TestAssumptionsBreakNoRule(t *testing.T) {
	for _, rows := range []int{24, 48, 72} {
		for _, wings := range []int{0, 2, 4} {
			for _, cart := range []drill.CartPosition{drill.CartBetween, drill.CartBehind} {
				d, _, err := drill.New(drill.Facts{
					Rows: rows, SpacingM: 0.25, Wings: wings, Cart: cart, Shoot: drill.Double,
					Products: []drill.ProductFacts{{Product: drill.Product{ID: "seed", Material: "wheat", RateKgHa: 110, TKWG: 38}}, {Product: drill.Product{ID: "fert"}}},
				})
				if err != nil {
					t.Fatal(err)
				}
				for _, r := range made(t, d, parts.BuiltIn()).Fit.Checks.With(check.Broken) {
					t.Errorf("%d rows, %d wings, cart %s: %s", rows, wings, cart, r)
				}
			}
		}
	}
}

func TestChecksDocument(t *testing.T) {
	o := made(t, drill.Cases()[0].Drill, parts.BuiltIn())
	c := plan.ChecksOf(o.Fit)
	if c.Verdict != o.Fit.Checks.Worst() || len(c.Checks) != len(o.Fit.Checks) {
		t.Errorf("the document says %s of %d checks, the fit %s of %d", c.Verdict, len(c.Checks), o.Fit.Checks.Worst(), len(o.Fit.Checks))
	}
}

// The limits of the contract: 60 heads and 400 runs, all of the plan.
func BenchmarkMake(b *testing.B) {
	for _, c := range drill.Cases() {
		runs := len(c.Drill.Runs())
		if runs < 300 {
			continue
		}
		b.Run(fmt.Sprintf("%dx%d", len(c.Drill.Heads), runs), func(b *testing.B) {
			for b.Loop() {
				made(b, c.Drill, parts.BuiltIn())
			}
		})
	}
}
