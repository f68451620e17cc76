package check

import (
	"encoding/json"
	"math"
	"testing"

	"pgregory.net/rapid"

	"runproof/measure"
)

func TestVerdict(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name                  string
		bound                 Bound
		value, limit, reserve float64
		margin                float64
		want                  Verdict
	}{
		{"under an upper limit", AtMost, 3, 3.5, 0, 0.5, Kept},
		{"at the limit", AtMost, 3.5, 3.5, 0, 0, Kept},
		{"at the limit, with a reserve wanted", AtMost, 3.5, 3.5, 0.1, 0, Tight},
		{"reserve just there", AtMost, 3.25, 3.5, 0.25, 0.25, Kept},
		{"over", AtMost, 3.75, 3.5, 0.1, -0.25, Broken},
		{"above a lower limit", AtLeast, 11.5, 9, 0, 2.5, Kept},
		{"below a lower limit", AtLeast, 8.5, 9, 0, -0.5, Broken},
		{"no value", AtMost, nan, 3.5, 0, nan, Unknown},
		{"no limit", AtLeast, 3, nan, 0, nan, Unknown},
		{"unbounded on the right side", AtMost, math.Inf(-1), 3, 0, math.Inf(1), Kept},
	} {
		r := Result{Bound: c.bound, Value: c.value, Limit: c.limit, Reserve: c.reserve}
		if m := r.Margin(); m != c.margin && !(math.IsNaN(m) && math.IsNaN(c.margin)) {
			t.Errorf("%s: margin %v, want %v", c.name, m, c.margin)
		}
		if v := r.Verdict(); v != c.want {
			t.Errorf("%s: %v, want %v", c.name, v, c.want)
		}
	}
}

func TestText(t *testing.T) {
	r := Result{
		Rule: "hose reach", Of: "head C", Quantity: measure.Length, Value: 3.62, Limit: 3.5,
		Source: CommonPractice, Advice: "fit longer hoses",
	}
	for _, c := range []struct {
		system measure.System
		want   string
	}{
		{measure.Metric, "hose reach, head C: 3.62 m, at most 3.50 m, off by 0.12 m (common practice, no source); fit longer hoses"},
		{measure.US, "hose reach, head C: 11.9 ft, at most 11.5 ft, off by 0.4 ft (common practice, no source); fit longer hoses"},
	} {
		if got := r.Text(c.system); got != c.want {
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
	}
	r.Limit = 4
	if got, want := r.String(), "hose reach, head C: 3.62 m, at most 4.00 m (common practice, no source)"; got != want {
		t.Errorf("kept: got %s, want %s", got, want)
	}
	r.Reserve = 0.5
	if got, want := r.String(), "hose reach, head C: 3.62 m, at most 4.00 m, only 0.38 m to spare (common practice, no source); fit longer hoses"; got != want {
		t.Errorf("tight: got %s, want %s", got, want)
	}
}

func TestJSON(t *testing.T) {
	b, err := json.Marshal(Result{Rule: "reach", Quantity: measure.Length, Value: math.NaN(), Limit: 2})
	if err != nil {
		t.Fatal(err)
	}
	if want := `{"rule":"reach","quantity":"length","unit":"m","value":null,"bound":"at most","limit":2,"margin":null,"verdict":"unknown"}`; string(b) != want {
		t.Errorf("got %s, want %s", b, want)
	}
}

// What is written comes back, so that a fit with its checks keeps its hash.
func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := Result{
			Rule: rapid.String().Draw(t, "rule"), Quantity: measure.Quantity(rapid.IntRange(0, int(measure.BitRate)).Draw(t, "quantity")),
			Value: rapid.Float64().Draw(t, "value"), Limit: rapid.Float64().Draw(t, "limit"), Bound: Bound(rapid.IntRange(0, 1).Draw(t, "bound")),
			Reserve: rapid.Float64Min(0).Draw(t, "reserve"),
		}
		if rapid.Bool().Draw(t, "unknown") {
			r.Value = math.NaN()
		}
		first, err := json.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		var back Result
		if err := json.Unmarshal(first, &back); err != nil {
			t.Fatal(err)
		}
		if second, _ := json.Marshal(back); string(second) != string(first) {
			t.Fatalf("wrote %s, then %s", first, second)
		}
	})
}

func TestWords(t *testing.T) {
	for v := Unknown; v <= Broken; v++ {
		var back Verdict
		if err := back.UnmarshalText([]byte(v.String())); err != nil || back != v {
			t.Errorf("%v came back as %v, %v", v, back, err)
		}
	}
	var b Bound
	if err := b.UnmarshalText([]byte("at leest")); err == nil || err.Error() != `"at leest" is no bound; did you mean at least?` {
		t.Errorf("misspelt bound: %v", err)
	}
}

// A rule and its mirror image (all figures negated, the bound turned) say the same.
func TestMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := Result{
			Value: rapid.Float64().Draw(t, "value"), Limit: rapid.Float64().Draw(t, "limit"),
			Reserve: rapid.Float64Min(0).Draw(t, "reserve"),
		}
		m := Result{Value: -r.Value, Limit: -r.Limit, Reserve: r.Reserve, Bound: AtLeast}
		if r.Verdict() != m.Verdict() {
			t.Fatalf("%v and its mirror: %v, %v", r, r.Verdict(), m.Verdict())
		}
	})
}

func TestResults(t *testing.T) {
	kept, tight, broken := Result{Limit: 1}, Result{Limit: 1, Reserve: 2}, Result{Value: 2, Limit: 1}
	unknown := Result{Value: math.NaN()}
	for _, c := range []struct {
		rs   Results
		want Verdict
	}{
		{nil, Kept},
		{Results{unknown}, Unknown},
		{Results{kept, unknown, kept}, Unknown},
		{Results{unknown, tight}, Tight},
		{Results{kept, broken, tight}, Broken},
		{Results{tight, kept}, Tight},
	} {
		if got := c.rs.Worst(); got != c.want {
			t.Errorf("worst of %v: %v, want %v", c.rs, got, c.want)
		}
	}
	if n := (Results{broken, kept, broken}).Count(Broken); n != 2 {
		t.Errorf("%d broken, want 2", n)
	}
}
