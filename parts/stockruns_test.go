package parts

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// By hand: ten runs of 32 mm, four sensors of 32 mm on the shelf, 25 mm sensors
// for the rest. Each stand-in takes a sensor of 25 mm, two adapters (and one
// spare for each 20 begun) and two clamps of 25 mm (likewise): nine adapters
// are enough for four stand-ins (8 + 1), not for five.
func TestSensorsFrom(t *testing.T) {
	shelf := Shelf{{Part: "sensor-32", Pieces: 4}, {Part: "sensor-25", Pieces: 20}, {Part: "adapter-32-25", Pieces: 9}, {Part: "clamp-25", Pieces: 40}, {Part: "clamp-32", Pieces: 40}}
	need := Need{Hoses: []HoseNeed{{MM: 32, Sensors: 10}}}
	got := need.RunsFrom(shelf, BuiltIn())
	if want := []HoseNeed{{MM: 32, Sensors: 6}, {MM: 32, Sensors: 4, SensorMM: 25}}; !slices.Equal(got.Hoses, want) {
		t.Errorf("%+v, want %+v", got.Hoses, want)
	}
	kit := BuiltIn().Kit(got)
	if a, c := kit.Count(Adapter), kit.Count(Clamp); a != 8 || c != 6*2+4*4 || kit.Count(Sensor) != 10 {
		t.Errorf("%d adapters, %d clamps, %d sensors", a, c, kit.Count(Sensor))
	}
	if full := need.RunsFrom(Shelf{{Part: "sensor-32", Pieces: 11}, {Part: "clamp-32", Pieces: 30}}, BuiltIn()); !slices.Equal(full.Hoses, need.Hoses) {
		t.Errorf("nothing is short, yet %+v", full.Hoses)
	}
}

// By hand: 20 tubes of 1 m are 23.0 m with the lay and 24.15 m with the spare
// length; a roll of 25 m holds them, wherever it comes from.
func TestRollsFrom(t *testing.T) {
	tubes := slices.Repeat([]float64{1}, 20)
	for _, c := range []struct {
		name  string
		tubes []float64
		shelf Shelf
		want  []Some
	}{
		{"the short roll does", tubes, Shelf{{Part: "tube-100", Pieces: 1}, {Part: "tube-25", Pieces: 1}}, []Some{{"tube-25", 1}}},
		{"the long roll is there", tubes, Shelf{{Part: "tube-100", Pieces: 1}}, []Some{{"tube-100", 1}}},
		{"nothing is there", tubes, nil, []Some{{"tube-25", 1}}},
		{"short rolls for a long one", slices.Repeat([]float64{1}, 60), Shelf{{Part: "tube-25", Pieces: 6}}, []Some{{"tube-25", 3}}},
		{"no tubes", nil, Shelf{{Part: "tube-25", Pieces: 6}}, nil},
	} {
		if got := (Need{TubesM: c.tubes}).RunsFrom(c.shelf, BuiltIn()).Rolls; !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// Whatever is on the shelf: every run keeps its sensor, the rolls hold all tubes
// and the spare length, and no more must be ordered than without stand-ins.
func TestRunsFromKeepsEveryRun(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cat := BuiltIn()
		var shelf Shelf
		for _, p := range cat.Parts {
			shelf = append(shelf, Stocked{Part: p.ID, Pieces: rapid.IntRange(0, 12).Draw(t, p.ID)})
		}
		var need Need
		for _, mm := range []float64{25, 32} {
			need.Hoses = append(need.Hoses, HoseNeed{MM: mm, Sensors: rapid.IntRange(1, 12).Draw(t, fmt.Sprint(mm))})
		}
		need.TubesM = rapid.SliceOfN(rapid.Float64Range(0.2, 4), 1, 60).Draw(t, "tubes")
		got := need.RunsFrom(shelf, cat)
		for _, h := range need.Hoses {
			n := 0
			for _, g := range got.Hoses {
				if g.MM == h.MM {
					n += g.Sensors
				}
			}
			if n != h.Sensors {
				t.Fatalf("%d sensors for %d runs of %g mm: %+v", n, h.Sensors, h.MM, got.Hoses)
			}
		}
		if a, b := orderOf(got.Hoses, shelf, cat), orderOf(need.Hoses, shelf, cat); b.less(a) {
			t.Fatalf("stand-ins leave %d to order, without them %d", a.pieces, b.pieces)
		}
		_, total := cutLengths(need.TubesM)
		held := 0.0
		for _, r := range got.Rolls {
			p, _ := cat.Part(r.Part)
			held += p.LengthM * float64(r.Pieces)
		}
		if held < (1+spareTubeShare)*total-1e-6 {
			t.Fatalf("rolls of %g m for %g m", held, total)
		}
	})
}

// Legs change where that saves an order, and only then.
func TestLegsFrom(t *testing.T) {
	cat := sized(1, 2, 5)
	need := Need{Harness: true, Legs: []LegNeed{{ID: "L1", NeedM: 4.5, AreaMM2: 1, Pieces: []string{"leg-1-5"}}, {ID: "L2", NeedM: 0.8, AreaMM2: 1, Pieces: []string{"leg-1-1"}}}}
	for _, c := range []struct {
		name    string
		shelf   Shelf
		changed []string
		order   int
		surplus float64
	}{
		{"all as planned", Shelf{{Part: "leg-1-5", Pieces: 1}, {Part: "leg-1-1", Pieces: 1}}, nil, 0, 0.7},
		{"short pieces for a long leg", Shelf{{Part: "leg-1-2", Pieces: 2}, {Part: "leg-1-1", Pieces: 2}}, []string{"L1"}, 0, 0.7},
		{"a thicker one", Shelf{{Part: "leg-2.5-5", Pieces: 1}, {Part: "leg-1-1", Pieces: 1}}, []string{"L1"}, 0, 0.7},
		{"nothing there", nil, nil, 2, 0.7},
	} {
		got, plan := need.LegsFrom(c.shelf, cat)
		if !slices.Equal(plan.Changed(), c.changed) || plan.Order != c.order || math.Abs(plan.SurplusM-c.surplus) > 1e-9 {
			t.Errorf("%s: changed %v, order %d, surplus %g", c.name, plan.Changed(), plan.Order, plan.SurplusM)
		}
		kit := cat.Kit(got).From(c.shelf, plan, nil)
		order := 0
		for _, l := range kit.Lines {
			if l.Kind == Leg {
				order += l.Order
			}
		}
		if order != c.order {
			t.Errorf("%s: the lines order %d legs, the plan %d", c.name, order, c.order)
		}
	}
}
