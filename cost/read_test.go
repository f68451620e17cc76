package cost

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"runproof/drill"
)

const soundAssumptions = `runproof: assumptions/1
currency: EUR
products:
  - {product: seed, crop: winter wheat, yield_t_ha: [7, 8, 8.5], price_per_t: [180, 220], seed_price_per_kg: 0.55, efficiency: 0}
thin_help: [0, 1]
resow: {work_per_ha: 40, yield_part: [0.7, 0.9]}
`

func TestReadAssumptions(t *testing.T) {
	a, err := ReadAssumptions(strings.NewReader(soundAssumptions), "a.yaml", drill8("wheat", 110))
	if err != nil {
		t.Fatal(err)
	}
	p := a.Products[0]
	if *p.YieldTHa != (Range{7, 8, 8.5}) || *p.PricePerT != (Range{180, 200, 220}) || *p.SeedPricePerKg != just(0.55) || p.Efficiency == nil || p.ReachM != nil || *a.ThinHelp != (Range{0, 0.5, 1}) || a.Resow.YieldPart.Low != 0.7 {
		t.Errorf("%+v", a)
	}
}

// TestFaultyAssumptions: each fault has its place, what is wrong and what would
// be right.
func TestFaultyAssumptions(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{"product: seed", "product: sed", "a.yaml:4:15: the drill has no product sed; did you mean seed?"},
		{"crop: winter wheat", "crop: winter weat", `a.yaml:4:27: nothing is known of the crop "winter weat"; did you mean winter wheat?; or give reach_m, efficiency, plants_m2 and half_m2 too`},
		{"[7, 8, 8.5]", "[8, 7]", "a.yaml:4:57: 7 stands behind 8; write the least first"},
		{"[7, 8, 8.5]", "[7, 8, 8.5, 9]", "a.yaml:4:54: a range of 4 numbers; write one number, or [least, most], or [least, likely, most]"},
		{"[7, 8, 8.5]", "eight", `a.yaml:4:53: "eight" is no number; write one number, or [least, most], or [least, likely, most]`},
		{"[7, 8, 8.5]", "nan", `a.yaml:4:53: "nan" is no number; write one number, or [least, most], or [least, likely, most]`},
		{"[7, 8, 8.5]", "0", "a.yaml:4:53: yield_t_ha is 0; it must be over 0, at most 300"},
		{"efficiency: 0", "efficiency: [0.6, 1.2]", "a.yaml:4:128: efficiency is 0.6 to 1.2, likely 0.9; it must be 0 to 1"},
		{"currency: EUR\n", "", "a.yaml:3:5: there are prices, but no currency; write currency: EUR, or yours, on a line of its own"},
		{"currency: EUR", "currency: thousands of EUR", `a.yaml:2:11: currency "thousands of EUR" is longer than 8 characters; write a short sign or code: EUR, $`},
		{"currency: EUR", "currency: 5 EUR", `a.yaml:2:11: currency "5 EUR" holds '5'; write a short sign or code: EUR, $`},
		{"yield_part: [0.7, 0.9]", "yield: 0.9", "a.yaml:6:8: key yield_part is missing in resow"},
		{"yield_part: [0.7, 0.9]", "yield_part: 0.9, width_m: 3, width_ft: 10", "a.yaml:6:65: width_m and width_ft are the same figure; keep one of them"},
		{"work_per_ha: 40, ", "", "a.yaml:6:8: resow does not say what the work costs; write work_per_ha, or work_per_ac: what tractor, drill and driver cost"},
		{"efficiency: 0", "plants_ft2: 2500", "a.yaml:4:128: plants_ft2 is 2500; it must be over 0, at most 278.709"},
		{"crop: winter wheat, yield_t_ha: [7, 8, 8.5], price_per_t: [180, 220]", "crop: rye, price_per_bu: 5", "a.yaml:4:46: the weight of a bushel of product seed is not known; write bushel_lb: its pounds, or price_per_t"},
		{"efficiency: 0", "strip_part: 0", "a.yaml:4:116: "},
		{"thin_help: [0, 1]", "strip_part: [0, 1]", "a.yaml:5:13: strip_part is 0 to 1, likely 0.5; it must be 0.5 to 2"},
		{"assumptions/1", "assumptions/2", `a.yaml:1:11: `},
	} {
		text := strings.Replace(soundAssumptions, c.old, c.new, 1)
		_, err := ReadAssumptions(strings.NewReader(text), "a.yaml", drill8("wheat", 110))
		if got := fmt.Sprint(err); !strings.Contains(got, c.want) {
			t.Errorf("%s:\n got %s\nwant %s", c.new, got, c.want)
		}
	}
}

// TestUnits: the same figures written in United States units come to the same
// estimate. 60 lb a bushel: 1 bu/ac = 67.250 kg/ha and 1 bu = 27.2155 kg (NIST SP
// 811, appendix B.8: 1 lb = 0.453 592 37 kg, 1 ac = 4046.8564224 m2).
func TestUnits(t *testing.T) {
	const bushelT, acreHa = 60 * 0.45359237 / 1000, 0.40468564224
	metric := fmt.Sprintf("runproof: assumptions/1\ncurrency: $\nproducts: [{product: seed, yield_t_ha: [%g, %g], price_per_t: %g, seed_price_per_kg: %g, reach_m: 0.1524, plants_m2: 269.0977604, half_m2: 53.81955208}]\nresow: {width_m: 9.144, work_per_ha: %g, yield_part: 0.9}\n",
		40*bushelT/acreHa, 50*bushelT/acreHa, 7/bushelT, 0.25/0.45359237, 20/acreHa)
	us := "runproof: assumptions/1\ncurrency: $\nproducts: [{product: seed, yield_bu_ac: [40, 50], price_per_bu: 7, seed_price_per_lb: 0.25, reach_in: 6, plants_ft2: 25, half_ft2: 5}]\nresow: {width_ft: 30, work_per_ac: 20, yield_part: 0.9}\n"
	var docs [2]*Document
	d := drill8("wheat", 110)
	d.Display = drill.US
	for i, text := range []string{metric, us} {
		a, err := ReadAssumptions(strings.NewReader(text), "a.yaml", d)
		if err != nil {
			t.Fatal(err)
		}
		docs[i] = of(d, a, madeEvents...)
	}
	for k, m := range docs[0].Total.Sum() {
		if u := docs[1].Total.Sum()[k]; u == nil || m == nil || math.Abs(u.Low/m.Low-1) > 1e-3 || math.Abs(u.High/m.High-1) > 1e-3 {
			t.Errorf("%s: %+v and %+v", k, m, u)
		}
	}
	if m, u := docs[0].Events[0].Resow, docs[1].Events[0].Resow; math.Abs(u.Cost.Middle/m.Cost.Middle-1) > 1e-3 || m.AreaM2 != u.AreaM2 {
		t.Errorf("resow %+v and %+v", m, u)
	}
	shown := map[string]string{}
	for _, a := range docs[1].Assumptions {
		key, r, unit := a.Shown(d.Display, docs[1].BushelKg(a.Product))
		shown[key] = r.String() + " " + unit
	}
	for key, want := range map[string]string{"yield_bu_ac": "40 to 50, likely 45 bu/ac", "price_per_bu": "7 per bu", "seed_price_per_lb": "0.25 per lb", "reach_in": "6 in", "plants_ft2": "25 per ft²", "bushel_lb": "60 lb", "work_per_ac": "20 per ac"} {
		if shown[key] != want {
			t.Errorf("%s is shown as %q, want %q", key, shown[key], want)
		}
	}
	if says := docs[1].Events[0].Says; !strings.HasPrefix(says, "656 ft of travel, 538 ft² short of seed") || !strings.Contains(says, " lb, ") {
		t.Errorf("in feet and pounds: %s", says)
	}
}

// TestBlank: an empty file for every kind of drill is read as it is, and so are
// the figures that stand commented out in it.
func TestBlank(t *testing.T) {
	for _, c := range drill.Cases() {
		var b bytes.Buffer
		if err := WriteBlank(&b, c.Drill); err != nil {
			t.Fatal(err)
		}
		if _, err := ReadAssumptions(bytes.NewReader(b.Bytes()), "blank.yaml", c.Drill); err != nil {
			t.Errorf("%s: %v\n%s", c.Name, err, b.String())
		}
		us := *c.Drill
		us.Display = drill.US
		b.Reset()
		if err := WriteBlank(&b, &us); err != nil {
			t.Fatal(err)
		}
		if _, err := ReadAssumptions(bytes.NewReader(b.Bytes()), "blank.yaml", &us); err != nil || strings.Contains(b.String(), "per m²") {
			t.Errorf("%s: %v\n%s", c.Name, err, b.String())
		}
	}
	var b bytes.Buffer
	d := drill8("winter wheat", 150)
	if err := WriteBlank(&b, d); err != nil {
		t.Fatal(err)
	}
	text := b.String()
	for _, key := range []string{"crop:", "reach_m:", "efficiency:", "plants_m2:", "half_m2:"} {
		text = strings.Replace(text, "    # "+key, "    "+key, 1)
	}
	for _, key := range []string{"thin_help:", "starved_saved:", "resow:", "  width_m:", "  work_per_ha:", "  yield_part:"} {
		text = strings.Replace(text, "# "+key, key, 1)
	}
	text = strings.Replace(text, "currency:   ", "currency: EUR", 1)
	a, err := ReadAssumptions(strings.NewReader(text), "blank.yaml", d)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	crop, _ := BuiltInCrops().Named("winter wheat")
	if p := a.Products[0]; p.Efficiency == nil || *p.Efficiency != crop.Efficiency || *p.HalfM2 != crop.HalfM2 || a.Resow == nil || a.Resow.WidthM != 2 || *a.StarvedSaved != (Range{0, 0.5, 1}) {
		t.Errorf("%+v", a)
	}
}

// TestNamed: the longest word counts, whole words only.
func TestNamed(t *testing.T) {
	for text, want := range map[string]string{
		"winter wheat, dressed": "winter wheat", "Spring Wheat": "spring wheat", "wheat": "wheat, winter or spring not said", "durum": "spring wheat",
		"chickpeas": "chickpea", "field peas": "pea", "CORN": "maize", "soya": "soybean", "oilseed rape": "canola", "fall rye": "winter cereals",
		"winter barley": "winter cereals", "malt barley": "barley", "urea": "", "11-52-0": "", "": "", "peanut": "", "potash": "",
	} {
		if c, _ := BuiltInCrops().Named(text); c.Name != want {
			t.Errorf("%q is %q, want %q", text, c.Name, want)
		}
	}
}

// TestAmount: two digits that mean something, and never one figure for a range.
func TestAmount(t *testing.T) {
	for v, want := range map[float64]string{
		0: "0", 0.004567: "0.0046", 0.4: "0.4", 0.996: "1", 1.04: "1", 1.05: "1.1", 9.96: "10", 12.4: "12", 99.6: "100", 104: "100", 1234: "1\u202f200",
		995_000: "1\u202f000\u202f000", 12_345_678: "12\u202f000\u202f000", -45.2: "\u221245", -0.04: "\u22120.04",
	} {
		if got := Amount(v); got != want {
			t.Errorf("%g: %q, want %q", v, got, want)
		}
	}
	for _, c := range []struct {
		i    Interval
		unit string
		want string
	}{
		{Interval{30, 60, 110}, "EUR", "30 to 110 EUR"},
		{Interval{30, 30.1, 30.2}, "EUR", "about 30 EUR"},
		{Interval{}, "EUR", "0 EUR"},
		{Interval{-12, 2, 20}, "$", "\u221212 to 20 $"},
		{Interval{1100, 1200, 2600}, "zł", "1\u202f100 to 2\u202f600 zł"},
		{Interval{1, 2, 3}, "", "1 to 3"},
	} {
		if got := c.i.Between(c.unit); got != c.want {
			t.Errorf("%+v: %q, want %q", c.i, got, c.want)
		}
	}
}

func FuzzReadAssumptions(f *testing.F) {
	f.Add(soundAssumptions)
	var b bytes.Buffer
	if err := WriteBlank(&b, drill8("pea", 180)); err != nil {
		f.Fatal(err)
	}
	f.Add(b.String())
	f.Add("runproof: assumptions/1\ncurrency: €\nproducts: [{product: seed, crop: x, reach_m: 2, efficiency: [0, 1], plants_m2: 1e-300, half_m2: 3000, yield_t_ha: 300, price_per_t: 1e7}]\n")
	d := drill8("wheat", 110)
	f.Fuzz(func(t *testing.T, text string) {
		a, err := ReadAssumptions(strings.NewReader(text), "a.yaml", d)
		if err != nil {
			return
		}
		doc := Estimate(Input{Drill: d, Days: []Day{{Events: madeEvents}}, Assumptions: a, Seed: 1, Draws: 20})
		for k, i := range doc.Total.Sum() {
			if i != nil && !(i.Low <= i.Middle && i.Middle <= i.High) || i != nil && math.IsInf(i.High, 0) {
				t.Errorf("%s: %+v", k, i)
			}
		}
		if h := doc.Total.HarvestM2; h.Low < 0 || h.High > doc.Total.MissedM2*2.001+0.1 { // strip_part is at most 2
			t.Errorf("the harvest of %+v m2 from %g m2", h, doc.Total.MissedM2)
		}
		doc.Lines(d.Display)
	})
}
