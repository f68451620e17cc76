package drill

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func near(got, want, rel float64) bool { return math.Abs(got-want) <= rel*math.Abs(want) }

// Computed outside in two ways, with exact fractions and in double precision
// (agronomy reference, ids rate-*).
func TestRates(t *testing.T) {
	for _, c := range []struct {
		crop                            string
		rate, tkw, spacing, speed       float64
		perM2, perM, apartMM, perS, gpS float64
	}{
		{"wheat", 110, 38, 0.25, 2.2, 289.473684211, 72.3684210526, 13.8181818182, 159.210526316, 6.05},
		{"canola", 5, 5, 0.25, 2.2, 100, 25, 40, 55, 0.275},
		{"barley", 100, 45, 0.25, 2.2, 222.222222222, 55.5555555556, 18, 122.222222222, 5.5},
		{"pea", 180, 220, 0.25, 2.2, 81.8181818182, 20.4545454545, 48.8888888889, 45, 9.9},
		{"soybean", 60, 180, 0.3, 2.0, 33.3333333333, 10, 100, 20, 3.6},
	} {
		n := ParticlesPerM2(c.rate, c.tkw)
		for _, v := range []struct {
			what      string
			got, want float64
		}{
			{"per m2", n, c.perM2},
			{"per m", ParticlesPerM(n, c.spacing), c.perM},
			{"mm apart", 1000 / ParticlesPerM(n, c.spacing), c.apartMM},
			{"per s", ParticlesPerS(n, c.spacing, c.speed), c.perS},
			{"g/s", GramsPerS(c.rate, c.spacing, c.speed), c.gpS},
		} {
			if !near(v.got, v.want, 1e-10) {
				t.Errorf("%s, %s: got %.12g, want %.12g", c.crop, v.what, v.got, v.want)
			}
		}
	}
}

// Published worked examples, in their own units: plants per square foot,
// pounds per acre. Exact factors stand for the sheets' rounded divisors, so
// that the printed value is met only within the sheet's own rounding.
func TestPublishedRates(t *testing.T) {
	const (
		perFt2  = 1 / 0.09290304             // per m2, exact
		lbPerAc = 0.45359237 / 0.40468564224 // kg/ha, exact
		sheet   = 1000 * 0.0104130479798     // 10.413: what the sheets call 10 (unit-divisor)
		seedsLb = 1000 * 0.45359237 * 1000   // seeds/lb to TKW in g
		perFt35 = 35 * perFt2
		perFt30 = 30 * perFt2
	)
	lbAc := func(plantsFt2, tkw, survival float64) float64 {
		return RateFor(plantsFt2*perFt2, tkw, survival) / lbPerAc
	}
	for _, c := range []struct {
		source    string
		got, want float64
		abs       float64
	}{
		{"Manitoba Crop Chatter: flax 45 /ft2, 5 g, 88 % x (1 - 40 %), exact factors", lbAc(45, 5, 0.88*0.6), 40.9233074181, 1e-8},
		{"the same with the sheet's divisor 10, printed 43", lbAc(45, 5, 0.88*0.6) * sheet / 10, 43, 0.5},
		{"Saskatchewan Agriculture and Food: pea 8 /ft2, 290 g, 95 %, exact", lbAc(8, 290, 0.95), 234.523577333, 1e-8},
		{"the same with the sheet's divisor 10, printed 244", lbAc(8, 290, 0.95) * sheet / 10, 244, 0.5},
		{"Manitoba Crop Alliance: wheat 27 /ft2, 42 g, 97 - 6 %, exact", lbAc(27, 42, 0.91), 119.672342677, 1e-8},
		{"the same, 33 g", lbAc(27, 33, 0.91), 94.0282692465, 1e-8},
		{"Canola Council 2011: 4 lb/ac at 5 g, seeds per ft2, printed 8", ParticlesPerM2(4*lbPerAc, 5) / perFt2, 8, 0.5},
		{"the same, plants at 60 %, printed 5", 0.6 * ParticlesPerM2(4*lbPerAc, 5) / perFt2, 5, 0.5},
		{"University of Kentucky: 12 000 seeds/lb at 35 /ft2, printed 127 lb/ac", RateFor(perFt35, seedsLb/12000, 1) / lbPerAc, 127, 0.5},
		{"the same at 30 /ft2, printed 109", RateFor(perFt30, seedsLb/12000, 1) / lbPerAc, 109, 0.5},
		{"14 000 at 35, printed 109", RateFor(perFt35, seedsLb/14000, 1) / lbPerAc, 109, 0.5},
		{"16 000 at 35, printed 95", RateFor(perFt35, seedsLb/16000, 1) / lbPerAc, 95, 0.5},
		{"18 000 at 30, printed 73", RateFor(perFt30, seedsLb/18000, 1) / lbPerAc, 73, 0.5},
		{"20 000 at 30, printed 65", RateFor(perFt30, seedsLb/20000, 1) / lbPerAc, 65, 0.5},
		{"University of Kentucky: rows of 7 in at 35 /ft2, seeds per ft of row, printed 20", ParticlesPerM(perFt35, 7*0.0254) * 0.3048, 20, 0.5},
		{"rows of 10 in at 30 /ft2, printed 25", ParticlesPerM(perFt30, 10*0.0254) * 0.3048, 25, 0.5},
	} {
		if math.Abs(c.got-c.want) > c.abs {
			t.Errorf("%s: got %.10g, want %.10g", c.source, c.got, c.want)
		}
	}
}

// The drill's own flows agree with the single-row formula, and follow the
// runs that are open.
func TestRunFlow(t *testing.T) {
	d := evenDrill("flow", 48, 0.25, 4)
	if got := d.RunParticlesPerS("seed"); !near(got, 159.210526316, 1e-10) { // rate-wheat
		t.Errorf("a run on every row: %v /s", got)
	}
	d.Closed = []RunID{"A-1", "A-2", "B-3", "C-4"}
	if got := d.RunParticlesPerS("seed"); !near(got, 159.210526316*48/44, 1e-10) {
		t.Errorf("4 of 48 runs closed: %v /s", got)
	}
	m := midRow()
	if got, every := m.RunGramsPerS("fert"), GramsPerS(120, 0.25, 2.2); !near(got, 2*every, 1e-12) {
		t.Errorf("at half the rows: %v g/s, twice %v", got, every)
	}
	for _, p := range []ProductID{"fert", "none"} {
		if got := m.RunParticlesPerS(p); !math.IsNaN(got) {
			t.Errorf("%s has no TKW, yet %v /s", p, got)
		}
	}
	if !math.IsNaN(ParticlesPerM2(0, 38)) || !math.IsNaN(ParticlesPerM2(110, 0)) {
		t.Error("what is not said gives a number")
	}
}

// What goes through all open runs is what the rate puts on the width.
func TestFlowBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := anyDrill().Draw(t, "drill")
		for _, p := range d.Products {
			per := d.RunGramsPerS(p.ID)
			if math.IsNaN(per) {
				continue
			}
			all := per * float64(d.OpenRuns(p.ID))
			if want := p.RateKgHa / 10 * d.WidthM() * d.Work.SpeedMPS; !near(all, want, 1e-12) {
				t.Fatalf("%s: %v g/s through the runs, %v on the ground", p.ID, all, want)
			}
		}
	})
}
