package bus

import (
	"math"
	"strings"
	"testing"

	"runproof/parts"
)

// The topology rules that were gathered from the sources named in rules.yaml;
// J1939-15's drop is disputed and planned with 1 m.
func TestRules(t *testing.T) {
	for _, c := range []struct {
		set                                        parts.BusRules
		kbitS, busM, stubM, boxes, spacingM, endOh float64
	}{
		{parts.ISO11783Quad, 250, 40, 1, 30, 0.1, 75},
		{parts.ISO11783Pair, 250, 40, 1, 30, 0.1, 120},
		{parts.J1939Shielded, 250, 40, 1, 30, 0.1, 120},
		{parts.J1939Pair, 250, 40, 3, 30, 0.1, 120},
		{parts.J1939Fast, 500, 40, 1, 30, 0.1, 120},
	} {
		r, ok := Rules(c.set, 0)
		got := [...]float64{r.KbitS, r.BusM.Is, r.StubM.Is, r.Boxes.Is, r.SpacingM.Is, r.EndOhm.Is}
		if !ok || got != [...]float64{c.kbitS, c.busM, c.stubM, c.boxes, c.spacingM, c.endOh} {
			t.Errorf("%s: %v %v", c.set, got, ok)
		}
		if s := StubMaxM(c.set, c.kbitS); s != 1 {
			t.Errorf("%s: planned with drops of %g m", c.set, s)
		}
		if _, ok := Rules(c.set, 125); ok {
			t.Errorf("%s has a row for 125 kbit/s", c.set)
		}
	}
}

// CiA's limits of a drop and of all drops, by an engine-control maker's wiring
// page (secondary); lengths by DS-102 V2.0.
func TestRulesOfCiA(t *testing.T) {
	for kbitS, want := range map[float64][3]float64{
		1000: {1.5, 7.5, 25},
		800:  {2.5, 12.5, 50},
		500:  {5.5, 27.5, 100},
		250:  {11, 55, 250},
		125:  {22, 110, 500},
		50:   {55, 275, 1000},
	} {
		r, ok := Rules(parts.CiA, kbitS)
		if got := [3]float64{r.StubM.Is, r.StubsM.Is, r.BusM.Is}; !ok || got != want {
			t.Errorf("%g kbit/s: %v", kbitS, got)
		}
	}
	if r, ok := Rules(parts.CiA, 200); !ok || r.KbitS != 250 || r.AskedKbitS != 200 {
		t.Errorf("200 kbit/s keeps the row of %g", r.KbitS)
	}
	for _, none := range []float64{0, 1001} {
		if _, ok := Rules(parts.CiA, none); ok {
			t.Errorf("CiA has a row for %g kbit/s", none)
		}
	}
	if !math.IsNaN(StubMaxM(parts.BusUnsaid, 250)) {
		t.Error("a bus of no rules limits its drops")
	}
}

// Nothing from memory is passed on as confirmed.
func TestEveryFigureSaysHowWellItIsKnown(t *testing.T) {
	for _, s := range BuiltIn().Sets {
		for _, r := range s.Rates {
			for _, f := range []Figure{r.BusM, r.StubM, r.StubsM, r.Boxes, r.SpacingM, r.EndOhm, r.Load} {
				switch from := f.From(); {
				case f.Is == 0 && (from != "" || !math.IsNaN(f.Limit())):
					t.Errorf("%s: no figure, but %q", s.Set, from)
				case f.Is > 0 && f.Mark == FromMemory && !strings.Contains(from, "from memory"):
					t.Errorf("%s: %q does not say that it is from memory", s.Set, from)
				}
			}
		}
	}
}

func TestReadBookNamesTheFault(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"sets:\n  - set: j1993\n    name: x\n    rates: [{kbit_s: 250, tq: 16, sample: 14}]\n", "b.yaml:2:10: set: \"j1993\""},
		{"sets:\n  - set: cia\n    name: x\n    rates: [{kbit_s: 250, tq: 14, sample: 16}]\n", "b.yaml:4:43: a bit of 14 quanta cannot be read at the end of quantum 16"},
		{"sets:\n  - set: cia\n    name: x\n    rates: [{kbit_s: 250, tq: 16, sample: 14, stub_m: {is: 3, mark: guess, source: x}}]\n", "does not say how well"},
	} {
		if _, err := ReadBook(strings.NewReader(c.text), "b.yaml"); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v lacks %q", err, c.want)
		}
	}
}

func FuzzReadBook(f *testing.F) {
	f.Add(string(builtin))
	f.Add("sets: [{set: cia}]")
	f.Fuzz(func(t *testing.T, text string) {
		if b, err := ReadBook(strings.NewReader(text), "f.yaml"); err == nil {
			for _, s := range b.Sets {
				b.Rule(s.Set, 250)
			}
		}
	})
}
