package power_test

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"runproof/allocate"
	"runproof/check"
	"runproof/drill"
	"runproof/fit"
	"runproof/harness"
	"runproof/parts"
	"runproof/power"
)

// wired is a fit with its harness, and the catalogue it was made from.
func wired(t testing.TB, d *drill.Drill, cat parts.Catalogue) (*fit.Fit, fit.Harness) {
	t.Helper()
	f, _, err := allocate.Fit(d, cat, nil, fit.Provenance{By: "test"})
	if err != nil {
		t.Fatal(err)
	}
	h, _, err := harness.Plan(f, cat, d.Places().Hitch, harness.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return f, h
}

// nodal is the greatest error of Kirchhoff's laws in a case as the document has
// it: what flows into each point less what flows out and what is drawn there, A.
func nodal(t testing.TB, c fit.PowerCase) float64 {
	t.Helper()
	volts := map[string]float64{"supply": c.SupplyV}
	for k, v := range c.Volts {
		volts[k] = v
	}
	sum := make(map[string]float64)
	for _, l := range c.Legs {
		a, okA := volts[l.From]
		b, okB := volts[l.To]
		if !okA || !okB {
			t.Fatalf("leg %s to %s ends at a point without volts", l.From, l.To)
		}
		i := (a - b) / (2*l.OhmPerM*l.LengthM + l.ContactOhm)
		sum[l.From] -= i
		sum[l.To] += i
	}
	for _, l := range c.Loads {
		sum[l.At] -= l.Amps
		if l.Watts > 0 {
			sum[l.At] -= l.Watts / volts[l.At]
		}
	}
	worst := 0.0
	for at, i := range sum {
		if at != "supply" {
			worst = math.Max(worst, math.Abs(i))
		}
	}
	return worst
}

// The volts of a document satisfy the equations of its legs and loads: on every
// drill, with boxes of constant current and of constant power.
func TestEveryDrill(t *testing.T) {
	watts, err := parts.BuiltIn().With(strings.NewReader("parts: [{id: node-12, kind: node, watts: 1.4, volts_min: 9}, {id: gateway, kind: gateway, watts: 3, joins: through}]"), "parts.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, cat := range []parts.Catalogue{parts.BuiltIn(), watts} {
		for _, c := range drill.Cases() {
			f, h := wired(t, c.Drill, cat)
			r, rs := power.Plan(f, h, cat)
			if len(h.Legs) == 0 {
				continue
			}
			for _, k := range r.Cases {
				// A microvolt of rounding over the loop of the shortest leg.
				if e := nodal(t, k); e > 2e-3 {
					t.Errorf("%s, %s: currents at a point are off by %g A", c.Name, k.Case, e)
				}
				if len(k.Volts) != len(h.Legs) {
					t.Errorf("%s: volts at %d points of %d", c.Name, len(k.Volts), len(h.Legs))
				}
				if len(k.Loads)+len(k.Off) != len(f.Nodes)+1 {
					t.Errorf("%s: %d loads and %d boxes off, want %d boxes", c.Name, len(k.Loads), len(k.Off), len(f.Nodes)+1)
				}
			}
			for _, x := range rs {
				if x.Rule == "" || x.Source == "" || x.Advice == "" {
					t.Errorf("%s: %+v lacks rule, source or advice", c.Name, x)
				}
			}
		}
	}
}

// folded is a drill of a usual width.
func folded(t testing.TB, volts float64) *drill.Drill {
	t.Helper()
	d, _, err := drill.New(drill.Facts{Rows: 72, SpacingM: 0.25, Wings: 4, Volts: volts, Products: []drill.ProductFacts{{Product: drill.Product{ID: "seed"}}}})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func results(t testing.TB, volts float64, cat parts.Catalogue) check.Results {
	f, h := wired(t, folded(t, volts), cat)
	_, rs := power.Plan(f, h, cat)
	return rs
}

// A usual drill breaks nothing; a weak supply, and boxes that want more than it
// gives, break the rule about volts, with advice that names a leg.
func TestVerdicts(t *testing.T) {
	if rs := results(t, 12, parts.BuiltIn()); rs.Worst() == check.Broken {
		t.Errorf("a usual drill: %v", rs.With(check.Broken))
	}
	wanting, err := parts.BuiltIn().With(strings.NewReader("parts: [{id: node-12, kind: node, volts_min: 11.9}]"), "parts.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for name, rs := range map[string]check.Results{"9.2 V": results(t, 9.2, parts.BuiltIn()), "boxes that want 11.9 V": results(t, 12, wanting)} {
		broken := rs.With(check.Broken)
		if len(broken) == 0 || !strings.HasPrefix(broken[0].Rule, "volts at the boxes") || !strings.Contains(broken[0].Advice, "leg L") {
			t.Errorf("%s: %v", name, broken)
		}
	}
}

// Less supply is never better for the boxes.
func TestLessSupplyIsNeverBetter(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		high := rapid.Float64Range(6, 30).Draw(rt, "volts")
		low := high * rapid.Float64Range(0.5, 1).Draw(rt, "part")
		low = math.Max(6, low)
		if low > high {
			return
		}
		margin := func(volts float64) float64 {
			for _, r := range results(t, volts, parts.BuiltIn()) {
				if r.Rule == "volts at the boxes, engine off" {
					return r.Margin()
				}
			}
			rt.Fatal("no rule about volts")
			return 0
		}
		if a, b := margin(low), margin(high); a > b+1e-6 {
			rt.Fatalf("margin %g V at %g V, %g V at %g V", a, low, b, high)
		}
	})
}

// Thin stock is not made thicker than there is; what is missing is said.
func TestThinStock(t *testing.T) {
	var thin parts.Catalogue
	for _, p := range parts.BuiltIn().Parts {
		if p.Kind != parts.Leg {
			thin.Parts = append(thin.Parts, p)
		}
	}
	cat, err := thin.With(strings.NewReader("parts: [{id: thin-5, kind: leg, length_m: 5, area_mm2: 0.5, rated_a: 5}, {id: node-12, kind: node, idle_a: 0.6}]"), "parts.yaml")
	if err != nil {
		t.Fatal(err)
	}
	f, h := wired(t, folded(t, 12), cat)
	r, rs := power.Plan(f, h, cat)
	if rs.Worst() != check.Broken {
		t.Errorf("0.5 mm2 for %g A breaks nothing: %v", r.Protection.ContinuousA, rs)
	}
	for _, w := range r.Wires {
		if w.AreaMM2 != 0.5 || w.WishMM2 < 0.5 {
			t.Errorf("leg %s: %+v", w.Leg, w)
		}
	}
	if r.Wires[0].WishMM2 <= 0.5 {
		t.Errorf("the feed needs no more than it has, though boxes brown out: %+v", r.Wires[0])
	}
}

// A harness without an operating point is told, in figures that a document can
// hold.
func TestCollapse(t *testing.T) {
	cat, err := parts.BuiltIn().With(strings.NewReader("parts: [{id: node-12, kind: node, watts: 500, volts_min: 0}, {id: node-8, kind: node, idle_a: 50}]"), "parts.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, node := range []string{"node-12", "node-8"} {
		d := folded(t, 12)
		d.Sensing.Node = node
		f, h := wired(t, d, cat)
		r, rs := power.Plan(f, h, cat)
		f.Power, f.Protection, f.Wires, f.Checks = r.Cases, r.Protection, r.Wires, rs
		var b bytes.Buffer
		if err := f.Write(&b); err != nil {
			t.Errorf("%s: %v", node, err)
		}
		if rs.Worst() != check.Broken || len(r.Cases[0].Off) == 0 {
			t.Errorf("%s: %v, off %v", node, rs, r.Cases[0].Off)
		}
		for _, x := range rs {
			if math.IsInf(x.Value, 0) || math.IsInf(x.Limit, 0) {
				t.Errorf("%s: %s", node, x)
			}
		}
	}
}

// No fuse of the catalogue carries the load: none is chosen, and it is said.
func TestNoFuse(t *testing.T) {
	cat, err := parts.BuiltIn().With(strings.NewReader("parts: [{id: node-12, kind: node, idle_a: 20}]"), "parts.yaml")
	if err != nil {
		t.Fatal(err)
	}
	f, h := wired(t, folded(t, 24), cat)
	r, rs := power.Plan(f, h, cat)
	if r.Protection.RatingA != 0 || rs.Worst() != check.Broken {
		t.Errorf("%+v, %v", r.Protection, rs)
	}
}

func ExamplePlan() {
	d, _, _ := drill.New(drill.Facts{Rows: 48, SpacingM: 0.25, Products: []drill.ProductFacts{{Product: drill.Product{ID: "seed"}}}})
	cat := parts.BuiltIn()
	f, _, _ := allocate.Fit(d, cat, nil, fit.Provenance{By: "example"})
	h, _, _ := harness.Plan(f, cat, d.Places().Hitch, harness.Options{})
	r, _ := power.Plan(f, h, cat)
	c := r.Cases[0]
	fmt.Printf("%s: %.2f A from %g V, %.2f V at the first node; fuse %g A\n", c.Case, c.SupplyA, c.SupplyV, c.Volts[f.Nodes[0].Serial], r.Protection.RatingA)
	// Output: engine off: 0.73 A from 12 V, 11.60 V at the first node; fuse 3 A
}

func BenchmarkPlan(b *testing.B) {
	for _, c := range drill.Cases() {
		f, h := wired(b, c.Drill, parts.BuiltIn())
		if len(h.Legs) < 30 {
			continue
		}
		b.Run(fmt.Sprintf("%d legs", len(h.Legs)), func(b *testing.B) {
			for b.Loop() {
				power.Plan(f, h, parts.BuiltIn())
			}
		})
	}
}

func BenchmarkSolve(b *testing.B) {
	t := power.Tree{SupplyV: 12}
	for i := range 40 {
		t.Sections = append(t.Sections, power.Section{From: i, Ohm: 0.01, Watts: 1.4})
	}
	b.Run("40", func(b *testing.B) {
		for b.Loop() {
			if _, err := power.Solve(t); err != nil {
				b.Fatal(err)
			}
		}
	})
}
