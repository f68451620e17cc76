package cost

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"runproof/drill"
	"runproof/input/jsondoc"
	"runproof/review"
)

// TestMonteCarlo holds the draws against the model written again in R with two
// million draws of its own (testdata/montecarlo.R): the quantiles of ten
// thousand lie within four standard errors of R's, a chance of 6 in 100 000 each
// that they do not.
func TestMonteCarlo(t *testing.T) {
	soy := Assumptions{Currency: "EUR", Products: []ProductTaken{{Product: "seed", YieldTHa: ranged(3), PricePerT: ranged(400), SeedPricePerKg: ranged(1.1, 1.5)}}}
	wheat := Assumptions{Currency: "EUR", Products: []ProductTaken{{Product: "seed", Crop: "spring wheat", YieldTHa: ranged(4, 5, 5.5), PricePerT: ranged(190, 240)}}}
	starved := review.Event{ID: 1, Kind: review.HeadStarved, Head: "A", Product: "seed", Lost: 0.6, Start: "0", End: "125", Metres: 250, AreaM2: 500}
	docs := map[string]*Document{
		"canola single":     of(drill8("canola", 5), Assumptions{}, blocked(1, 3, 0, 200)),
		"spring wheat pair": of(drill8("wheat", 110), wheat, blocked(1, 3, 0, 150), blocked(2, 4, 0, 150)),
		"pea half":          of(drill8("field peas", 180), Assumptions{}, lost(blocked(1, 5, 0, 250), review.Restricted, 0.5)),
		"soybean starved":   of(drill8("soybean", 60), soy, starved),
	}
	f, err := os.Open("testdata/montecarlo.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil || len(lines) != 8 {
		t.Fatal(len(lines), err)
	}
	for _, l := range lines[1:] {
		var v [9]float64
		for i := range v {
			v[i], _ = strconv.ParseFloat(l[i+2], 64)
		}
		s := docs[l[0]].Total.Sum()
		got := s[l[1]]
		if got == nil {
			t.Errorf("%s: no %s", l[0], l[1])
			continue
		}
		for i, x := range []float64{got.Low, got.Middle, got.High} {
			if x < v[3*i] || x > v[3*i+2] {
				t.Errorf("%s, %s: %g, R %g (%g to %g)", l[0], l[1], x, v[3*i+1], v[3*i], v[3*i+2])
			}
		}
	}
}

// Sum names the intervals as the check figures do.
func (s Sum) Sum() map[string]*Interval {
	return map[string]*Interval{"harvest_m2": &s.HarvestM2, "lost_kg": s.LostKg, "lost": s.Lost, "saved_kg": s.SavedKg, "net": s.Net}
}

// TestByHand: fixed figures have one answer. One row of canola bare for 200 m at
// 0.25 m: 50 m2, of which neighbours make up 0.8: the harvest of 10 m2; at 2.5
// t/ha 2.5 kg; at 480 a tonne 1.20.
func TestByHand(t *testing.T) {
	a := Assumptions{Currency: "EUR", Products: []ProductTaken{{
		Product: "seed", YieldTHa: ranged(2.5), PricePerT: ranged(480), SeedPricePerKg: ranged(12),
		ReachM: ranged(0.2), Efficiency: ranged(0.8), PlantsM2: ranged(90), HalfM2: ranged(10),
	}}, StripPart: ranged(1), ThinHelp: ranged(0), StarvedSaved: ranged(1), Resow: &Resow{WidthM: 2, WorkPerHa: ranged(45), YieldPart: *ranged(0.9)}}
	doc := of(drill8("canola", 5), a, blocked(1, 3, 0, 100))
	want := func(name string, got *Interval, v float64) {
		t.Helper()
		if got == nil || math.Abs(got.Low-v) > 1e-3*math.Abs(v) || math.Abs(got.High-v) > 1e-3*math.Abs(v) {
			t.Errorf("%s: %+v, want %g", name, got, v)
		}
	}
	e := doc.Events[0]
	want("harvest", e.HarvestM2, 10)
	want("kg", e.LostKg, 2.5)
	want("lost", e.Lost, 1.2)
	want("net", e.Net, 1.2)
	if e.SavedKg != nil {
		t.Error("a blocked run saves no seed: its siblings got it")
	}
	// sown again: 200 m x 2 m at 45 + 5 x 12 a ha, and a tenth of the harvest of
	// 50 m2 (12.5 kg at 0.48): 4.20 + 0.60
	if e.Resow == nil || e.Resow.AreaM2 != 400 || math.Abs(e.Resow.Cost.Middle-4.8) > 1e-3 || e.Resow.Cheaper != 0 {
		t.Errorf("resow %+v", e.Resow)
	}
	// a quarter of the flow left: 1 - 0.25 x 100/32.5 = 0.23077 short, no help,
	// over the bare row's 0.2: 10 m2 again; half left: 1 - 0.5 x 100/55 = 1/11
	want("a quarter left", of(drill8("canola", 5), a, lost(blocked(1, 3, 0, 100), review.Restricted, 0.75)).Events[0].HarvestM2, 10)
	want("half left", of(drill8("canola", 5), a, lost(blocked(1, 3, 0, 100), review.Restricted, 0.5)).Events[0].HarvestM2, 50./11)
	// the product out over 100 m x 2 m: 5 kg/ha x 0.02 ha = 0.1 kg at 12
	out := review.Event{ID: 1, Kind: review.ProductOut, Product: "seed", Lost: 0.97, Start: "0", End: "50", Metres: 100, AreaM2: 200}
	doc = of(drill8("canola", 5), a, out)
	want("kg in the tank", doc.Events[0].SavedKg, 0.1)
	want("saved", doc.Events[0].Saved, 1.2)
	// eight rows: 2 m less 2 x 0.8 x 0.2 m
	want("eight rows", doc.Events[0].HarvestM2, 100*(2-0.32))
	want("net", doc.Total.Net, 168*0.25*0.48-1.2)
	if c := doc.Total.NetCorners; math.Abs(c.Least-c.Most) > 1e-9 || math.Abs(c.Least-doc.Total.Net.Middle) > 0.01 {
		t.Errorf("corners %+v", c)
	}
}

// TestFertiliser: a fertiliser run missed has metres and area, no money; the
// row beside it is not the worse for it.
func TestFertiliser(t *testing.T) {
	d := drill8("canola", 5)
	d.Products = append(d.Products, drill.Product{ID: "fert", Material: "urea", RateKgHa: 90})
	d.Heads = append(d.Heads, drill.Head{ID: "F", Product: "fert", Rows: drill.RowList{1, 3, 5, 7}})
	ev := blocked(2, 2, 0, 100)
	ev.Run, ev.Head, ev.Product = "F-2", "F", "fert"
	out := review.Event{ID: 3, Kind: review.ProductOut, Product: "fert", Lost: 0.97, Start: "200", End: "250", Metres: 100, AreaM2: 100}
	a := Assumptions{Currency: "EUR", Products: []ProductTaken{{Product: "seed", YieldTHa: ranged(2.5), PricePerT: ranged(480)}}}
	doc := of(d, a, blocked(1, 4, 0, 100), ev, out)
	if f := doc.Events[1]; f.HarvestM2 != nil || f.Lost != nil || f.Net != nil || len(f.Pieces) != 0 || f.Metres != 200 || f.AreaM2 != 50 || !strings.Contains(f.Says, "no general figure") {
		t.Errorf("%+v", f)
	}
	// 90 kg/ha over the whole 2 m x 100 m
	if f := doc.Events[2]; f.SavedKg == nil || math.Abs(f.SavedKg.Middle-1.8) > 1e-9 || f.Saved != nil {
		t.Errorf("%+v", f)
	}
	if c := doc.Events[0]; len(c.Pieces) != 1 || c.Pieces[0].Rows != 1 {
		t.Errorf("the seed's row: %+v", c.Pieces)
	}
	if doc.Total.Events != 1 || *doc.Total.Net != *doc.Events[0].Net {
		t.Errorf("total %+v", doc.Total)
	}
}

// TestTwoSeeds: rows fed by two products that carry seed count as side by side
// whichever of them is missed, and a row that has one of them left is thin.
func TestTwoSeeds(t *testing.T) {
	d := drill8("canola", 5)
	d.Products = append(d.Products, drill.Product{ID: "peas", Material: "field pea", RateKgHa: 15})
	d.Heads[0].Rows = []int{1, 3, 5, 7}
	d.Heads = append(d.Heads, drill.Head{ID: "P", Product: "peas", Rows: drill.RowList{2, 4, 6, 8}})
	pea := blocked(2, 1, 0, 100)
	pea.Run, pea.Head, pea.Product = "P-1", "P", "peas"
	doc := of(d, Assumptions{}, blocked(1, 2, 0, 100), pea) // rows 3 and 2
	for _, e := range doc.Events {
		if len(e.Pieces) != 1 || e.Pieces[0].Rows != 2 || e.Pieces[0].Left != 0 {
			t.Errorf("%s: %+v", e.Run, e.Pieces)
		}
	}
	d.Heads[1].Rows = []int{1, 3, 5, 7} // both on every row: peas are 15 of 20 kg
	doc = of(d, Assumptions{}, pea)
	if p := doc.Events[0].Pieces; len(p) != 1 || math.Abs(p[0].Left-0.25) > 1e-9 {
		t.Errorf("%+v", p)
	}
}

// TestNothingMissed: no skips cost nothing, nor do events that leave none.
func TestNothingMissed(t *testing.T) {
	a := Assumptions{Currency: "EUR", Products: []ProductTaken{{Product: "seed", YieldTHa: ranged(2.5), PricePerT: ranged(480), SeedPricePerKg: ranged(12)}}}
	for _, events := range [][]review.Event{nil, {lost(blocked(1, 2, 0, 100), review.SensorLost, 1), lost(blocked(2, 2, 0, 100), review.Noisy, 0), lost(blocked(3, 2, 0, 100), review.NoData, 1)}} {
		doc := of(drill8("canola", 5), a, events...)
		if doc.Total.Net == nil || *doc.Total.Net != (Interval{}) || *doc.Total.Lost != (Interval{}) || doc.Total.HarvestM2 != (Interval{}) || len(doc.Events) != 0 {
			t.Errorf("%+v", doc.Total)
		}
		if doc.Total.NetCorners == nil || *doc.Total.NetCorners != (Corners{}) {
			t.Errorf("corners %+v", doc.Total.NetCorners)
		}
	}
	notes := of(drill8("canola", 5), a, lost(blocked(3, 2, 0, 100), review.NoData, 1)).Notes
	if !slices.ContainsFunc(notes, func(n string) bool { return strings.Contains(n, "silent over 200 m") }) {
		t.Errorf("a silent node goes unsaid: %q", notes)
	}
}

// made draws events on the drill of eight rows.
func made(t *rapid.T) []review.Event {
	var events []review.Event
	for i := range rapid.IntRange(0, 6).Draw(t, "events") {
		from := rapid.IntRange(0, 100).Draw(t, "from")
		ev := blocked(i+1, rapid.IntRange(1, 8).Draw(t, "row"), float64(from), float64(from+rapid.IntRange(0, 100).Draw(t, "long")))
		switch rapid.IntRange(0, 3).Draw(t, "kind") {
		case 1:
			ev = lost(ev, review.Restricted, rapid.Float64Range(0.2, 0.9).Draw(t, "lost"))
		case 2:
			ev = lost(ev, review.HeadStarved, rapid.Float64Range(0.2, 1).Draw(t, "lost"))
			ev.Run, ev.AreaM2 = "", ev.AreaM2*8
		}
		events = append(events, ev)
	}
	return events
}

// TestOrder: the order in which events stand changes nothing but sums' last
// digits.
func TestOrder(t *testing.T) {
	a := Assumptions{Currency: "EUR", Products: []ProductTaken{{Product: "seed", YieldTHa: ranged(2, 3), PricePerT: ranged(400, 500), SeedPricePerKg: ranged(12)}}}
	rapid.Check(t, func(t *rapid.T) {
		events := made(t)
		mixed := slices.Clone(events)
		rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "order"), 1)).Shuffle(len(mixed), func(i, j int) { mixed[i], mixed[j] = mixed[j], mixed[i] })
		est := func(ev []review.Event) *Document {
			return Estimate(Input{Drill: drill8("canola", 5), Days: []Day{{Events: ev}}, Assumptions: a, Seed: 3, Draws: 200})
		}
		x, y := est(events), est(mixed)
		for k, i := range x.Total.Sum() {
			j := y.Total.Sum()[k]
			if (i == nil) != (j == nil) || i != nil && (!near(i.Low, j.Low) || !near(i.Middle, j.Middle) || !near(i.High, j.High)) {
				t.Fatalf("%s: %+v, in another order %+v", k, i, j)
			}
		}
		for i := range x.Events {
			if x.Events[i].Event != y.Events[i].Event || !near(x.Events[i].HarvestM2.Middle, y.Events[i].HarvestM2.Middle) {
				t.Fatalf("event %d: %+v, %+v", i, x.Events[i], y.Events[i])
			}
		}
	})
}

func near(a, b float64) bool { return math.Abs(a-b) <= 2e-3*math.Max(math.Abs(a), math.Abs(b)) }

// TestInside: limits stand in order, inside the corners of all combinations;
// what is lost is never more than what was missed; the same seed gives the same
// bytes.
func TestInside(t *testing.T) {
	a := Assumptions{Currency: "EUR", Products: []ProductTaken{{Product: "seed", YieldTHa: ranged(2, 3), PricePerT: ranged(400, 500), SeedPricePerKg: ranged(2, 12)}}}
	rapid.Check(t, func(t *rapid.T) {
		in := Input{Drill: drill8("canola", 5), Days: []Day{{Events: made(t)}}, Assumptions: a, Seed: 3, Draws: 200}
		doc := Estimate(in)
		for k, i := range doc.Total.Sum() {
			if i != nil && !(i.Low <= i.Middle && i.Middle <= i.High) {
				t.Fatalf("%s: %+v", k, i)
			}
		}
		c, n := doc.Total.NetCorners, doc.Total.Net
		slack := 1e-3 * (math.Abs(c.Least) + math.Abs(c.Most))
		if n.Low < c.Least-slack || n.High > c.Most+slack {
			t.Fatalf("net %+v outside %+v", n, c)
		}
		if h := doc.Total.HarvestM2; h.Low < 0 || h.High > doc.Total.MissedM2*1.031+0.1 {
			t.Fatalf("the harvest of %+v m2 from %g m2 missed", h, doc.Total.MissedM2)
		}
		for _, w := range doc.Weighs {
			if s := worse(w.Key); (w.AtHigh-w.AtLow)*float64(s) < -1e-9 {
				t.Fatalf("%s moves the net the other way: %+v", w.Key, w)
			}
		}
		var x, y bytes.Buffer
		if jsondoc.Write(&x, doc) != nil || jsondoc.Write(&y, Estimate(in)) != nil || !bytes.Equal(x.Bytes(), y.Bytes()) {
			t.Fatal("the same input gives other bytes")
		}
		back, err := Read(&x, "c.json")
		if err != nil {
			t.Fatal(err)
		}
		again, _ := json.Marshal(back)
		once, _ := json.Marshal(doc)
		if !bytes.Equal(once, again) {
			t.Fatalf("read back as\n%s\nnot\n%s", again, once)
		}
	})
}

// TestOneMoreAssumptionMovesNoOther: a price added leaves the harvest as it was.
func TestOneMoreAssumptionMovesNoOther(t *testing.T) {
	plain := of(drill8("canola", 5), Assumptions{}, blocked(1, 3, 0, 100))
	priced := of(drill8("canola", 5), Assumptions{Currency: "EUR", Products: []ProductTaken{{Product: "seed", YieldTHa: ranged(2, 3), PricePerT: ranged(400)}}}, blocked(1, 3, 0, 100))
	if plain.Total.HarvestM2 != priced.Total.HarvestM2 {
		t.Errorf("%+v, %+v", plain.Total.HarvestM2, priced.Total.HarvestM2)
	}
	if plain.Total.LostKg != nil || plain.Total.Net != nil || priced.Total.LostKg == nil {
		t.Error("kilograms need a yield")
	}
}

// TestUnknownCrop: metres and area only, and how to mend it.
func TestUnknownCrop(t *testing.T) {
	doc := of(drill8("mustard", 8), Assumptions{}, blocked(1, 3, 0, 100))
	if e := doc.Events[0]; e.HarvestM2 != nil || e.AreaM2 != 50 || !strings.Contains(doc.Notes[0], `"mustard"`) || !strings.Contains(e.Says, "crop is not known") {
		t.Errorf("%+v %q", e, doc.Notes)
	}
	own := Assumptions{Products: []ProductTaken{{Product: "seed", Crop: "mustard", ReachM: ranged(0.2), Efficiency: ranged(0.4, 0.8), PlantsM2: ranged(80), HalfM2: ranged(5)}}}
	doc = of(drill8("mustard", 8), own, blocked(1, 3, 0, 100))
	if e := doc.Events[0]; e.HarvestM2 == nil || e.Crop != "mustard" || doc.Assumptions[0].Mark != Yours {
		t.Errorf("%+v", e)
	}
}

// BenchmarkDayOf60Events is the whole estimate of a day with sixty events.
func BenchmarkDayOf60Events(b *testing.B) {
	var events []review.Event
	for i := range 60 {
		ev := blocked(i+1, i%8+1, float64(100*i), float64(100*i+150))
		if i%6 == 0 {
			ev.Kind, ev.Run = review.HeadStarved, ""
		}
		events = append(events, ev)
	}
	a := Assumptions{Currency: "EUR", Products: []ProductTaken{{Product: "seed", YieldTHa: ranged(2, 3), PricePerT: ranged(400, 500), SeedPricePerKg: ranged(12)}}}
	for b.Loop() {
		of(drill8("canola", 5), a, events...)
	}
}
