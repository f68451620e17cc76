package power

import (
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
)

// The check values name their sources one by one: standards seen in secondary
// prints, published worked examples, and figures computed twice.
//
//go:embed testdata/wiring.json
var wiringJSON []byte

// nodalJSON are random trees solved by a dense nodal matrix with Newton steps
// (numpy), which knows nothing of trees or sweeps.
//
//go:embed testdata/nodal.json
var nodalJSON []byte

type item struct {
	ID       string          `json:"id"`
	Inputs   json.RawMessage `json:"inputs"`
	Expected json.RawMessage `json:"expected"`
	Source   string          `json:"source"`
}

func items(t *testing.T, prefix string) []item {
	t.Helper()
	var all, some []item
	if err := json.Unmarshal(wiringJSON, &all); err != nil {
		t.Fatal(err)
	}
	for _, it := range all {
		if strings.HasPrefix(it.ID, prefix) {
			some = append(some, it)
		}
	}
	if len(some) == 0 {
		t.Fatalf("no check value is called %s...", prefix)
	}
	return some
}

func (it item) read(t *testing.T, in, want any) {
	t.Helper()
	if err := json.Unmarshal(it.Inputs, in); err != nil {
		t.Fatal(it.ID, err)
	}
	if err := json.Unmarshal(it.Expected, want); err != nil {
		t.Fatal(it.ID, err)
	}
}

func (it item) near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s %s: %.12g, want %.12g (%s)", it.ID, what, got, want, it.Source)
	}
}

func TestCopper(t *testing.T) {
	for _, it := range items(t, "res.ideal.") {
		var in struct {
			LengthM float64 `json:"length_m"`
			AreaMM2 float64 `json:"area_mm2"`
			C       float64 `json:"temp_C"`
		}
		var want float64
		it.read(t, &in, &want)
		it.near(t, "ohm", IdealOhm(in.LengthM, in.AreaMM2, in.C), want, 1e-8)
	}
	for _, it := range items(t, "res.tempfactor.") {
		var in struct {
			C float64 `json:"temp_C"`
		}
		var want float64
		it.read(t, &in, &want)
		it.near(t, "factor", TemperatureFactor(in.C), want, 1e-9)
	}
}

// Each row of a table is the print's, and no row can hide a slipped decimal:
// resistance times area lies between ideal copper and 20 ohm mm2/km.
func TestResistanceTables(t *testing.T) {
	tables := DefaultTables()
	for i, id := range []string{"res.iec60228.class5", "res.iso6722"} {
		it := items(t, id)[0]
		var want map[string]float64
		it.read(t, &struct{}{}, &want)
		col := tables.Resistance[i]
		if len(col.Rows) != len(want) {
			t.Errorf("%s: %d rows, want %d", col.Name, len(col.Rows), len(want))
		}
		for _, r := range col.Rows {
			it.near(t, fmt.Sprint(r.MM2), r.MohmM, want[strconv.FormatFloat(r.MM2, 'g', -1, 64)], 1e-12)
			if rho := r.MohmM * r.MM2; rho < 1000*CopperOhmMM2PerM || rho > 20 {
				t.Errorf("%s, %g mm2: %g ohm mm2/km", col.Name, r.MM2, rho)
			}
			it.near(t, "by area", col.OhmPerM(r.MM2), r.MohmM/1000, 1e-12)
		}
	}
}

func TestGauges(t *testing.T) {
	for _, it := range items(t, "awg.") {
		var in struct{ AWG int }
		var want struct {
			DiameterMM float64 `json:"diameter_mm"`
			AreaMM2    float64 `json:"area_mm2"`
			MohmPerM   float64 `json:"mohm_per_m"`
		}
		it.read(t, &in, &want)
		g := Gauge(in.AWG)
		it.near(t, "diameter", g.DiameterMM(), want.DiameterMM, 1e-8)
		it.near(t, "area", g.AreaMM2(), want.AreaMM2, 1e-8)
		it.near(t, "resistance", 1000*IdealOhm(1, g.AreaMM2(), 20), want.MohmPerM, 1e-8)
	}
	for _, it := range items(t, "nec8.solid.") {
		var in struct {
			AWG     int
			C       float64 `json:"temp_C"`
			Printed float64 `json:"printed_ohm_per_km"`
		}
		var want float64
		it.read(t, &in, &want)
		it.near(t, "as printed", 1000*IdealOhm(1, Gauge(in.AWG).AreaMM2(), in.C), in.Printed, 0.005)
	}
	for mm2, want := range map[float64]Gauge{0.75: 20, 1: 18, 1.5: 16, 2.5: 14, 4: 12, 6: 10, 10: 8} {
		if got := GaugeAtOrBelow(mm2); got-want > 1 || want < got && got%2 == 0 {
			t.Errorf("%g mm2: %v, want %v or the odd gauge above", mm2, got, want)
		}
	}
}

// The marine table of 3 % drop at 12 V: 37 of the 39 cells of its rows of 10,
// 15 and 20 ft come from the formula; the print contradicts itself in two (20 A
// over 10 ft is 10 A over 20 ft, and it names two sizes).
func TestMarineDropTable(t *testing.T) {
	it := items(t, "drop.abyc3")[0]
	var in struct{ Amps []float64 }
	var want map[string][]int
	it.read(t, &in, &want)
	cells, agree := 0, 0
	for feet, sizes := range want {
		ft, _ := strconv.ParseFloat(feet, 64)
		for i, size := range sizes {
			cells++
			if got, ok := SAEFor(CircularMils(in.Amps[i], ft, 0.36)); ok && got == Gauge(size) {
				agree++
			}
		}
	}
	if cells != 39 || agree != 37 {
		t.Errorf("%d of %d cells agree, want 37 of 39", agree, cells)
	}
	ex := items(t, "drop.abyc.example")[0]
	var x struct {
		Amps float64
		Ft   float64 `json:"round_trip_ft"`
	}
	var y struct {
		Three float64 `json:"cmil_3pct"`
		Ten   float64 `json:"cmil_10pct"`
	}
	ex.read(t, &x, &y)
	ex.near(t, "3 %", CircularMils(x.Amps, x.Ft, 0.36), y.Three, 1e-6)
	ex.near(t, "10 %", CircularMils(x.Amps, x.Ft, 1.2), y.Ten, 1e-6)
}

type treeInputs struct {
	SupplyV  float64 `json:"supply_V"`
	C        float64 `json:"temp_C"`
	Contact  float64 `json:"contact_ohm"`
	Contacts float64 `json:"contacts_per_section"`
	Extra    float64 `json:"extra_source_ohm_in_first_section"`
	Sections []struct {
		Parent, Child string
		LengthM       float64 `json:"length_m"`
		MohmPerM      float64 `json:"mohm_per_m"`
	}
	Loads map[string]float64
	Kind  string
}

// The worked tree of six nodes and a gateway at 9, 12 and 14 V, both kinds of
// load, to all printed digits.
func TestWorkedTree(t *testing.T) {
	for _, it := range items(t, "drop.tree.") {
		if it.ID == "drop.tree.sections" {
			continue
		}
		var in treeInputs
		var want map[string]json.RawMessage
		it.read(t, &in, &want)
		tree, at := in.tree(strings.Contains(it.ID, ".P."))
		s, err := Solve(tree)
		if err != nil {
			t.Fatal(it.ID, err)
		}
		seen := 0
		for name, raw := range want {
			var v float64
			if json.Unmarshal(raw, &v) != nil {
				continue
			}
			if i, ok := at[name]; ok {
				it.near(t, name, s.Volts[i], v, 1e-10)
				seen++
			} else if strings.Contains(name, "supply") {
				it.near(t, name, s.SupplyA(tree), v, 1e-9)
			}
		}
		if seen < 8 {
			t.Errorf("%s: only %d voltages compared of %s", it.ID, seen, it.Expected)
		}
	}
}

func (in treeInputs) tree(watts bool) (Tree, map[string]int) {
	at := map[string]int{"S": 0}
	tree := Tree{SupplyV: in.SupplyV}
	for i, sec := range in.Sections {
		r := 2 * (sec.MohmPerM/1000*sec.LengthM*TemperatureFactor(in.C) + in.Contact)
		if i == 0 {
			r += in.Extra
		}
		s := Section{From: at[sec.Parent], Ohm: r}
		amps := 0.0
		switch {
		case sec.Child == "GW":
			amps = 0.5
		case sec.Child != "J1":
			amps = 0.25
		}
		if watts {
			s.Watts = 12 * amps
		} else {
			s.Amps = amps
		}
		tree.Sections = append(tree.Sections, s)
		at[sec.Child] = len(tree.Sections)
	}
	return tree, at
}

func TestSingleLoad(t *testing.T) {
	s, err := Solve(Tree{12, []Section{{Ohm: 0.5, Watts: 24}}})
	if err != nil || math.Abs(s.Volts[1]-10.8989794856) > 1e-9 || math.Abs(s.Amps[0]-2.20204102887) > 1e-9 {
		t.Errorf("24 W behind 0.5 ohm: %v, %v; closed form 10.8989794856 V, 2.20204102887 A", s, err)
	}
	var none NoOperatingPoint
	if _, err := Solve(Tree{12, []Section{{Ohm: 1.6, Watts: 24}}}); !errors.As(err, &none) || none.At != 1 {
		t.Errorf("24 W behind 1.6 ohm, over the 22.5 W that exist: %v", err)
	}
	for _, n := range []int{1, 12, 40} {
		tree := Tree{SupplyV: 24}
		for i := range n {
			tree.Sections = append(tree.Sections, Section{From: i, Ohm: 0.05, Amps: 0.2})
		}
		s, err := Solve(tree)
		want := 0.2 * 0.05 * float64(n*(n+1)) / 2
		if err != nil || math.Abs(24-s.Volts[n]-want) > 1e-9 {
			t.Errorf("%d equal loads: drop %v, I R n(n+1)/2 is %v; %v", n, 24-s.Volts[n], want, err)
		}
	}
}

func TestAgainstNodalMatrix(t *testing.T) {
	var doc struct {
		Trees []struct {
			SupplyV  float64 `json:"supply_v"`
			Sections []Section
			Volts    []float64
		}
	}
	if err := json.Unmarshal(nodalJSON, &doc); err != nil {
		t.Fatal(err)
	}
	if len(doc.Trees) < 20 {
		t.Fatalf("%d trees", len(doc.Trees))
	}
	for k, c := range doc.Trees {
		s, err := Solve(Tree{c.SupplyV, c.Sections})
		if err != nil {
			t.Errorf("tree %d: %v", k, err)
			continue
		}
		for i, v := range c.Volts {
			if math.Abs(s.Volts[i+1]-v) > 2e-9 {
				t.Errorf("tree %d point %d: %.12g V, the matrix says %.12g", k, i+1, s.Volts[i+1], v)
			}
		}
	}
}

func TestFuses(t *testing.T) {
	tables := DefaultTables().Fuse
	ratings := []float64{1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40} // ISO 8820-3 type C as sold
	for _, it := range items(t, "fuse.pick.") {
		var in struct {
			A       float64 `json:"continuous_A"`
			Loading float64
		}
		var want struct {
			Rating float64 `json:"rating_A"`
		}
		it.read(t, &in, &want)
		tables.LoadFactor = in.Loading
		i := 0
		for !tables.Carries(ratings[i], in.A) {
			i++
		}
		it.near(t, "rating", ratings[i], want.Rating, 0)
	}
	for _, it := range items(t, "fuse.farfault.") {
		var in struct {
			SupplyV, Source, OneWay, Mohm, C, Fuse float64
		}
		var raw map[string]float64
		if err := json.Unmarshal(it.Inputs, &raw); err != nil {
			t.Fatal(err)
		}
		in.SupplyV, in.Source, in.OneWay, in.Mohm, in.C, in.Fuse = raw["supply_V"], raw["source_ohm"], raw["one_way_m"], raw["mohm_per_m"], raw["temp_C"], raw["fuse_A"]
		amps := in.SupplyV / (in.Source + 2*in.Mohm/1000*in.OneWay*TemperatureFactor(in.C))
		var want map[string]any
		if err := json.Unmarshal(it.Expected, &want); err != nil {
			t.Fatal(err)
		}
		it.near(t, "fault", amps, want["fault_A"].(float64), 1e-7)
		opens := DefaultTables().Fuse.OpensS(amps / in.Fuse)
		printed := map[string]float64{"fuse.farfault.1": 0, "fuse.farfault.2": 5, "fuse.farfault.3": 5, "fuse.farfault.4": 0.5}[it.ID]
		if opens != printed {
			t.Errorf("%s: opens within %g s, want %g (%s)", it.ID, opens, printed, it.Source)
		}
	}
}

func TestAmpacity(t *testing.T) {
	it := items(t, "wire.ampacity.cfr")[0]
	var in struct {
		Columns []float64 `json:"columns_C"`
	}
	var want map[string][]float64
	it.read(t, &in, &want)
	a := DefaultTables().Ampacity
	for awg, row := range want {
		n, err := strconv.Atoi(awg)
		if err != nil {
			continue
		}
		for i, class := range in.Columns {
			it.near(t, fmt.Sprintf("AWG %s, %g °C", awg, class), a.Amps(Gauge(n).AreaMM2(), class, Surroundings{}), row[i], 1e-12)
		}
	}
	for _, c := range []struct {
		in   Surroundings
		want float64
	}{{Surroundings{}, 35}, {Surroundings{Warm: true}, 29.75}, {Surroundings{Conductors: 3}, 24.5}, {Surroundings{Conductors: 6}, 21}, {Surroundings{Conductors: 24}, 17.5}, {Surroundings{Conductors: 25}, 14}} {
		if got := a.Amps(2.5, 105, c.in); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("2.5 mm2 as AWG 14 of 105 °C, %+v: %v, want %v (33 CFR 183.425 table 5 and its notes)", c.in, got, c.want)
		}
	}
}
