package measure

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestFactors(t *testing.T) {
	for _, c := range []struct {
		source string
		got    float64
		want   float64
		rel    float64
	}{
		// Printed digits of NIST SP 811 (2008), appendix B.8; those in bold there are exact.
		{"SP 811: acre 4.046 873 E+03 m2 is the survey acre; 43560 ft2 of 0.092 903 04 m2 exactly", Acre.Base(1), 43560 * 0.09290304, 1e-15},
		{"SP 811: foot 3.048 E-01 m", Foot.Base(1), 0.3048, 1e-15},
		{"SP 811: inch 2.54 E-02 m", Inch.Base(1), 0.0254, 0},
		{"SP 811: mile 1.609 344 E+03 m", Mile.Base(1), 1609.344, 1e-15},
		{"SP 811: mile per hour 4.4704 E-01 m/s", MilePerHour.Base(1), 0.44704, 1e-15},
		{"SP 811: kilometer per hour 2.777 778 E-01 m/s", KilometrePerHour.Base(1), 0.2777778, 5e-7},
		{"SP 811: pound 4.535 924 E-01 kg", Pound.Base(1), 0.4535924, 5e-7},
		{"SP 811: pound-force per square inch 6.894 757 E+03 Pa", PSI.Base(1), 6894.757, 5e-7},
		{"SP 811: inch of water, conventional 2.490 889 E+02 Pa", InchWater.Base(1), 249.0889, 5e-7},
		{"exact definitions (agronomy unit-lbac)", PoundPerAcre.Base(1), 1.12085115619, 1e-11},
		{"exact definitions (agronomy unit-kgha)", PoundPerAcre.Value(1), 0.89217912162, 1e-11},
		{"exact definitions (agronomy unit-ft2)", PerSquareFoot.Base(1), 10.7639104167, 1e-11},
		{"US bushel (agronomy bushel-60: wheat)", PoundPerBushel.Base(60), 772.311586858, 1e-11},
		{"US bushel (agronomy bushel-32: oats)", PoundPerBushel.Base(32), 411.899512991, 1e-11},
		{"boiling water, by definition of the scales", Fahrenheit.Base(212), 100, 1e-14},
		{"the scales meet", Fahrenheit.Base(-40), -40, 1e-14},
		{"agronomy efc-si: 12 m at 8 km/h and 70 %", HectarePerHour.Value(12 * KilometrePerHour.Base(8) * 0.7), 6.72, 1e-12},
		{"agronomy efc-iowa-40: 40 ft at 6 mph and 70 % (PM 696 prints 20.4)", AcrePerHour.Value(Foot.Base(40) * MilePerHour.Base(6) * 0.7), 20.3636363636, 1e-11},
		{"agronomy pub-ky-row-7: 35 /ft2 in rows of 7 in, seeds per ft", PerFoot.Value(PerSquareFoot.Base(35) * Inch.Base(7)), 20.4166666667, 1e-11},
	} {
		if d := math.Abs(c.got-c.want) / c.want; math.Abs(d) > c.rel {
			t.Errorf("%s: got %.13g, want %.13g", c.source, c.got, c.want)
		}
	}
}

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		system System
		q      Quantity
		base   float64
		want   string
	}{
		{Metric, Length, 12, "12.00 m"},
		{US, Length, 12, "39.4 ft"},
		{Metric, ShortLength, 0.25, "25.0 cm"},
		{US, ShortLength, 0.254, "10.0 in"},
		{US, ShortLength, 0.1905, "7.5 in"},
		{Metric, Bore, 0.025, "25 mm"},
		{Metric, Bore, 0.0254, "25 mm"},
		{Metric, Bore, 0.0053, "5.3 mm"},
		{US, Length, -0.6, "-2.0 ft"},
		{US, Bore, 0.0254, "1.0 in"},
		{Metric, Speed, 2.2, "7.9 km/h"},
		{US, Speed, 2.2, "4.9 mph"},
		{US, Rate, 110, "98 lb/ac"},
		{Metric, Rate, 5, "5 kg/ha"},
		{US, Rate, 5, "4.5 lb/ac"},
		{Metric, Area, 53, "0.0053 ha"},
		{Metric, Area, 647497, "64.75 ha"},
		{US, Area, 647497, "160.00 ac"},
		{Metric, Temperature, -0.2, "-0.2 °C"},
		{US, Temperature, 60, "140 °F"},
		{Metric, Ratio, 0.97, "97.0 %"},
		{Metric, Length, 0, "0.00 m"},
		{Metric, Length, -1e-12, "0.00 m"},
		{Metric, Number, 48, "48"},
		{Metric, Length, math.NaN(), "? m"},
		{Metric, Length, math.Inf(1), "∞ m"},
		{Metric, Length, math.Inf(-1), "-∞ m"},
		{Metric, Quantity(-3), 7, "7"},
		{System(9), Length, 1, "1.00 m"},
	} {
		if got := c.system.Format(c.q, c.base); got != c.want {
			t.Errorf("%v %v %v: got %q, want %q", c.system, c.q, c.base, got, c.want)
		}
	}
}

func TestParse(t *testing.T) {
	for _, c := range []struct {
		q    Quantity
		in   string
		want float64
	}{
		{ShortLength, "0.25", 0.25},
		{ShortLength, "25cm", 0.25},
		{ShortLength, " 10 in ", 0.254},
		{ShortLength, `10"`, 0.254},
		{ShortLength, "7.5 Inches", 0.1905},
		{Length, "40'", 12.192},
		{Length, "2e1 m", 20},
		{Length, "1e-3", 0.001},
		{Speed, "8 km/h", 8 / 3.6},
		{Speed, "5MPH", 5 * 0.44704},
		{Rate, "100 lb/ac", 112.085115619},
		{Temperature, "-40 F", -40},
	} {
		got, err := Parse(c.q, c.in)
		if err != nil || math.Abs(got-c.want) > 1e-9*math.Max(1, math.Abs(c.want)) {
			t.Errorf("Parse(%v, %q) = %v, %v; want %v", c.q, c.in, got, err, c.want)
		}
	}
}

func TestParseFaults(t *testing.T) {
	for _, c := range []struct {
		q        Quantity
		in, want string
	}{
		{Length, "", `"" is no length; write a number and its unit, like "1.00 m"`},
		{Length, "long", `"long" is no length; write a number and its unit, like "1.00 m"`},
		{Length, "0,25", `"0,25" has a decimal comma; write 0.25`},
		{Length, "1.2.3", `"1.2.3" is no length`},
		{Length, "1e999", `"1e999" is no length`},
		{Speed, "8 kmh/h", `"kmh/h" is no unit of speed; did you mean km/h?`},
		{Speed, "8 knots", `"knots" is no unit of speed; use m/s, km/h, kph, kmh, mph or mi/h`},
	} {
		_, err := Parse(c.q, c.in)
		if err == nil || len(err.Error()) < len(c.want) || err.Error()[:len(c.want)] != c.want {
			t.Errorf("Parse(%v, %q): %v; want %s", c.q, c.in, err, c.want)
		}
	}
}

func TestMisread(t *testing.T) {
	for _, c := range []struct {
		q      Quantity
		want   Unit
		v      float64
		lo, hi float64
		units  string
		values []float64
	}{
		{Length, Metre, 25, 0.03, 2, "cm in", []float64{0.25, 0.635}},
		{Length, Metre, 250, 0.03, 2, "mm", []float64{0.25}},
		{Bore, Millimetre, 0.025, 5, 200, "m", []float64{25}},
		{Bore, Millimetre, 1, 5, 200, "in cm", []float64{25.4, 10}},
		{Speed, MetrePerSecond, 8, 0.2, 6, "km/h mph", []float64{8 / 3.6, 8 * 0.44704}},
		{Rate, KgPerHa, 1e6, 0, 5000, "", nil},
	} {
		readings := Misread(c.q, c.want, c.v, c.lo, c.hi)
		var units []string
		for i, r := range readings {
			units = append(units, r.Unit.Symbol())
			if i < len(c.values) && math.Abs(r.Value-c.values[i]) > 1e-12*c.values[i] {
				t.Errorf("%v %v as %s: %v, want %v", c.v, c.want.Symbol(), r.Unit.Symbol(), r.Value, c.values[i])
			}
		}
		if got := strings.Join(units, " "); got != c.units {
			t.Errorf("%v %v may be in %q, want %q", c.v, c.want.Symbol(), got, c.units)
		}
	}
}

func TestSystemWords(t *testing.T) {
	for _, s := range []System{Metric, US} {
		text, err := s.MarshalText()
		var back System
		if err != nil || back.UnmarshalText(text) != nil || back != s {
			t.Errorf("%v came back as %v", s, back)
		}
	}
	var s System
	if err := s.UnmarshalText(nil); err != nil || s != Metric {
		t.Errorf("nothing is %v, %v", s, err)
	}
	if err := s.UnmarshalText([]byte("metrik")); err == nil || err.Error() != `"metrik" is no unit system; did you mean metric?` {
		t.Errorf("misspelt: %v", err)
	}
	if text, err := Rate.MarshalText(); err != nil || string(text) != "rate" || Rate.BaseUnit().Symbol() != "kg/ha" {
		t.Errorf("rate is called %q and stored in %q", text, Rate.BaseUnit().Symbol())
	}
}

// allUnits is every unit of every quantity, so that a law holds for a unit the
// day it is added.
func allUnits() map[Quantity][]Unit {
	all := map[Quantity][]Unit{}
	for q := range quantities {
		all[Quantity(q)] = Quantity(q).units()
	}
	return all
}

// There and back is the identity, to a rounding of the offset scales.
func TestBaseAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-1e6, 1e6).Draw(t, "v")
		for q, units := range allUnits() {
			for _, u := range units {
				if back := u.Value(u.Base(v)); math.Abs(back-v) > 1e-12*math.Max(100, math.Abs(v)) {
					t.Fatalf("%v in %s: %v came back as %v", q, u.Symbol(), v, back)
				}
			}
		}
	})
}

// What Format writes, Parse reads, within the two percent that the text keeps.
func TestFormatThenParse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		base := rapid.Float64Range(1e-4, 1e6).Draw(t, "base")
		for q, units := range allUnits() {
			for _, u := range units {
				got, err := Parse(q, u.Format(base))
				if err != nil {
					t.Fatalf("%v: %q does not parse: %v", q, u.Format(base), err)
				}
				if math.Abs(u.Value(got)-u.Value(base)) > unnoticed*math.Abs(u.Value(base))+1e-12 {
					t.Fatalf("%v: %v came back as %v through %q", q, base, got, u.Format(base))
				}
			}
		}
	})
}

// A column keeps its decimals, and has no minus before a zero.
func TestFixed(t *testing.T) {
	for _, c := range []struct {
		u        Unit
		base     float64
		decimals int
		want     string
	}{
		{Metre, -0.004, 2, "0.00 m"},
		{Metre, math.Copysign(0, -1), 2, "0.00 m"},
		{Metre, -0.006, 2, "-0.01 m"},
		{Metre, 120, 1, "120.0 m"},
		{Foot, 0.3048, 2, "1.00 ft"},
		{Unit{}, 7, 0, "7"},
	} {
		if got := c.u.Fixed(c.base, c.decimals); got != c.want {
			t.Errorf("%g with %d decimals: %q, want %q", c.base, c.decimals, got, c.want)
		}
	}
}

// The greatest numbers there are have an end too: v over a step of hundredths
// is past what a float holds.
func TestFormatGreatest(t *testing.T) {
	for _, v := range []float64{1e300, 1e306, 1e308, -1e308, math.MaxFloat64, -math.MaxFloat64} {
		for q, units := range allUnits() {
			for _, u := range units {
				s := strings.Replace(u.Number(v), "∞", "Inf", 1)
				back, err := strconv.ParseFloat(s, 64)
				if want := u.Value(v); err != nil || back != want && math.Abs(back/want-1) > unnoticed {
					t.Errorf("%v, %s: %g is written %.20s", q, u.Symbol(), want, s)
				}
			}
		}
		if got := Round(v, 6); got != v {
			t.Errorf("%g rounded to 6 decimals is %g", v, got)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"10 in", "1e", "1e+", "--3m", "8 km/h", "\"", "٣ m", "1e308 km"} {
		f.Add(s, 1)
	}
	f.Fuzz(func(t *testing.T, s string, q int) {
		if v, err := Parse(Quantity(q), s); err == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
			t.Errorf("Parse(%q) = %v", s, v)
		}
	})
}
