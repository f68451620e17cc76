package evenness

import (
	"math"
	"os"
	"strings"
	"testing"

	"runproof/drill"
)

// seedPlaced is a drill of canola and phosphate in one stream, on rows of 9 in
// with 1 in knives: the case of the Canola Council's advice (2011).
func seedPlaced(p2o5LbAc float64, outlets int) *drill.Drill {
	const kgHaPerLbAc = 1.12085115619 // exact definitions
	d := &drill.Drill{
		Rows:     drill.Rows{Count: 12, SpacingM: 9 * 0.0254},
		Products: []drill.Product{{ID: "seed", Material: "canola"}, {ID: "fert", Material: "MAP 11-52-0", RateKgHa: p2o5LbAc * kgHaPerLbAc / 0.52}},
		Heads:    []drill.Head{{ID: "A", Product: "seed", Rows: drill.RowList{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}}},
	}
	h := drill.Head{ID: "F", Product: "fert"}
	for row := 1; row <= outlets; row++ {
		h.Rows = append(h.Rows, row)
	}
	d.Heads = append(d.Heads, h)
	return d
}

// 20 to 25 lb P2O5/ac are printed as safe (Canola Council of Canada, 2011). What
// one blocked run adds is n/(n-1): +9 % of 12 outlets stays within ordinary
// scatter, +33 % of 4 passes (agronomy reference, section 2).
func TestSiblingsOfABlockedFertiliserRun(t *testing.T) {
	for _, c := range []struct {
		lbAc    float64
		outlets int
		set     Safety
		rest    Safety
	}{
		{18, 12, Within, Within},     // 19.6
		{19, 12, Within, InTheRange}, // 20.7
		{22, 12, InTheRange, InTheRange},
		{22, 4, InTheRange, Past}, // 29.3
		{15, 4, Within, Within},   // 20.0, to the printed figure
		{26, 12, Past, Past},
	} {
		s := Siblings(seedPlaced(c.lbAc-1e-3, c.outlets), DefaultSafeRates(), 0.0254)
		if len(s) != 1 || s[0].Head != "F" || s[0].Outlets != c.outlets {
			t.Fatalf("%+v", s)
		}
		if s[0].Set != c.set || s[0].Rest != c.rest || s[0].Nutrient != "P2O5" {
			t.Errorf("%g lb/ac on %d outlets: %s, %s; want %s, %s: %s", c.lbAc, c.outlets, s[0].Set, s[0].Rest, c.set, c.rest, s[0].Words)
		}
		near(t, "rise", *s[0].Rise, float64(c.outlets)/float64(c.outlets-1), 1e-6)
		near(t, "rest", *s[0].RestKgHa, *s[0].RateKgHa**s[0].Rise, 1e-6)
		near(t, "SBU", *s[0].SBU, 1./9, 1e-6)
	}
}

func TestSiblingsAreNotJudgedWithoutGrounds(t *testing.T) {
	rates := DefaultSafeRates()
	for name, c := range map[string]struct {
		change  func(*drill.Drill)
		spreadM float64
		want    string
	}{
		"spread not said":          {func(*drill.Drill) {}, 0, "(--opener-spread)"},
		"another spread":           {func(*drill.Drill) {}, 0.0762, "no published rate fits MAP 11-52-0 with canola"},
		"another crop":             {func(d *drill.Drill) { d.Products[0].Material = "wheat" }, 0.0254, "no published rate fits"},
		"wider rows":               {func(d *drill.Drill) { d.Rows.SpacingM = 0.3 }, 0.0254, "no published rate fits"},
		"no rate":                  {func(d *drill.Drill) { d.Products[1].RateKgHa = 0 }, 0.0254, "has no rate"},
		"content not known":        {func(d *drill.Drill) { d.Products[1].Material = "blend" }, 0.0254, "what the fertiliser holds is not known"},
		"nitrogen has no entry":    {func(d *drill.Drill) { d.Products[1].Material = "urea" }, 0.0254, "no published rate fits"},
		"no seed on its rows":      {func(d *drill.Drill) { d.Heads[0].Rows = drill.RowList{9, 10}; d.Heads[1].Rows = drill.RowList{1, 2} }, 0.0254, "no seed goes to the rows"},
		"one outlet":               {func(d *drill.Drill) { d.Heads[1].Rows = drill.RowList{1} }, 0.0254, "there are no others to rise"},
		"closed outlets leave one": {func(d *drill.Drill) { d.Heads[1].Rows = drill.RowList{1, 2}; d.Closed = []drill.RunID{"F-2"} }, 0.0254, "there are no others to rise"},
	} {
		d := seedPlaced(22, 4)
		c.change(d)
		s := Siblings(d, rates, c.spreadM)
		if len(s) != 1 || s[0].Set != NotJudged || s[0].Rest != NotJudged || !strings.Contains(s[0].Words, c.want) {
			t.Errorf("%s: %+v", name, s)
		}
	}
	d := seedPlaced(22, 4)
	d.Products[1] = drill.Product{ID: "fert", Material: "canola"} // by its name, whatever it is
	if s := Siblings(d, rates, 0.0254); len(s) != 1 {
		t.Errorf("%+v", s)
	}
	if s := Siblings(small(), rates, 0.0254); len(s) != 0 {
		t.Errorf("seed is taken for a fertiliser: %+v", s)
	}
}

// The bands are those of the agronomy reference, section 3, with its marks.
func TestBands(t *testing.T) {
	s := DefaultScales()
	for _, c := range []struct {
		cv       float64
		material string
		want     []string
	}{
		{0.031661403, "wheat", []string{"acceptable", "very good", "good"}},
		{0.02, "wheat", []string{"acceptable", "very good", "very good"}},
		{0.0204, "durum wheat", []string{"acceptable", "very good", "very good"}}, // printed to a tenth
		{0.0206, "wheat", []string{"acceptable", "very good", "good"}},
		{0.045, "Barley", []string{"acceptable", "very good", "satisfactory"}},
		{0.063, "oats", []string{"acceptable", "very good", "sufficient"}},
		{0.07, "rye", []string{"acceptable", "very good", "poor"}},
		{0.047, "canola", []string{"acceptable", "very good", "good"}},
		{0.12, "canola", []string{"acceptable", "beyond very good", "poor"}},
		{0.16, "urea", []string{"not acceptable", "beyond very good"}},
	} {
		got := s.Bands(c.cv, c.material)
		var names []string
		for _, b := range got {
			names = append(names, b.Name)
		}
		if strings.Join(names, ",") != strings.Join(c.want, ",") {
			t.Errorf("%g of %s: %v, want %v", c.cv, c.material, names, c.want)
		}
	}
	b := s.Bands(0.0317, "wheat")
	if b[0].Mark != Memory || !strings.Contains(b[0].Sentence(), "from memory, unconfirmed") || b[1].Mark != Press || b[2].Mark != Memory {
		t.Errorf("%+v", b)
	}
	if len(s.Measured) != 5 {
		t.Errorf("%d measured", len(s.Measured))
	}
}

func TestTablesAreReadStrictly(t *testing.T) {
	for text, want := range map[string]string{
		"runproof: scales/1\nscales: [{who: a, of: b, bands: [{to_percent: 5, name: x}, {to_percent: 3, name: y}], over: z, mark: read, source: s}]\n": "does not lie over the one before",
		"runproof: scales/1\nscales: [{who: a, of: b, bands: [], over: z, mark: rad, source: s}]\n":                                                    "did you mean read?",
		"runproof: scales/1\nmeasured: [{what: a, from_percent: 3, to_percent: 2, mark: read, source: s}]\n":                                           "write the lesser first",
		"runproof: saferates/1\n": "scales/1",
	} {
		if _, err := ReadScales(strings.NewReader(text), "s.yaml"); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", text, err)
		}
	}
	text := "runproof: saferates/1\nrates: [{crops: [canola], nutrient: P, spread_m: {from: 2, to: 1}, row_m: {from: 0, to: 1}, safe_kg_ha: {from: 1, to: 2}, mark: read, source: s}]\n"
	if _, err := ReadSafeRates(strings.NewReader(text), "r.yaml"); err == nil || !strings.Contains(err.Error(), `"P" is no nutrient`) || !strings.Contains(err.Error(), "spread_m runs from 2 to 1") {
		t.Error(err)
	}
	for _, name := range []string{"scales.yaml", "saferates.yaml"} {
		if _, err := os.Stat(name); err != nil {
			t.Error(err)
		}
	}
	for _, m := range []Mark{Memory, Press, Abstract, Text} {
		var back Mark
		if b, _ := m.MarshalText(); back.UnmarshalText(b) != nil || back != m {
			t.Errorf("%s", m)
		}
	}
	for _, s := range []Safety{NotJudged, Within, InTheRange, Past} {
		var back Safety
		if b, _ := s.MarshalText(); back.UnmarshalText(b) != nil || back != s {
			t.Errorf("%s", s)
		}
	}
	if got := DefaultSafeRates().Rates[0].Safe; math.Abs(got.From-20*1.12085115619) > 0.001 || math.Abs(got.To-25*1.12085115619) > 0.001 {
		t.Errorf("20 to 25 lb/ac are %+v kg/ha", got)
	}
}
