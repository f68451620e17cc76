package evenness

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"runproof/drill"
)

// drawBags draws a catch test of the small drill's open runs, bags missing here
// and there, no run wholly.
func drawBags(t *rapid.T, d *drill.Drill) Bags {
	var b Bags
	repeats := rapid.IntRange(1, 4).Draw(t, "repeats")
	for _, r := range d.Runs() {
		if r.Closed {
			continue
		}
		for n := 1; n <= repeats; n++ {
			if n > 1 && rapid.IntRange(0, 9).Draw(t, "gone") == 0 {
				continue
			}
			b.Bags = append(b.Bags, Bag{r.ID, n, float64(rapid.IntRange(800, 1800).Draw(t, "g")) / 10})
		}
	}
	return b
}

func judged1(t *rapid.T, d *drill.Drill, b Bags) ProductCatch {
	c, err := Judge(d, b, Options{Scales: DefaultScales()})
	if err != nil {
		t.Fatal(err)
	}
	return c.Products[0]
}

// same compares figures of two tests that must be alike but for the last digits.
func same(t *rapid.T, what string, a, b float64) {
	if math.Abs(a-b) > 1e-5*math.Max(math.Abs(a), math.Abs(b))+1e-9 {
		t.Fatalf("%s: %g and %g", what, a, b)
	}
}

func sameCV(t *rapid.T, a, b ProductCatch) {
	same(t, "CV", a.CV.Value, b.CV.Value)
	same(t, "low", *a.CV.Low, *b.CV.Low)
	if (a.Parts.Repeat == nil) != (b.Parts.Repeat == nil) || len(a.OutOfLine) != len(b.OutOfLine) || len(a.Tilts) != len(b.Tilts) {
		t.Fatalf("%+v\n%+v", a, b)
	}
	if a.Parts.Repeat != nil {
		same(t, "between", a.Parts.Between.Value, b.Parts.Between.Value)
		same(t, "repeat", a.Parts.Repeat.Value, b.Parts.Repeat.Value)
	}
	for i := range a.Tilts {
		same(t, "amplitude", a.Tilts[i].Amplitude, b.Tilts[i].Amplitude)
	}
}

// Scaling every mass, as by another scale or a longer run, changes no CV.
func TestScalingChangesNoCV(t *testing.T) {
	d := small()
	d.Products[0].TKWG = 0 // the counting floor is the one figure that knows grams
	rapid.Check(t, func(t *rapid.T) {
		b := drawBags(t, d)
		by := rapid.Float64Range(0.1, 20).Draw(t, "by")
		scaled := Bags{Bags: append([]Bag(nil), b.Bags...)}
		for i := range scaled.Bags {
			scaled.Bags[i].Grams *= by
		}
		x, y := judged1(t, d, b), judged1(t, d, scaled)
		sameCV(t, x, y)
		same(t, "mean", x.MeanG*by, y.MeanG)
	})
}

// One repeat that ran longer than the others changes no CV and no mean's
// deviation: its factor takes it up.
func TestALongerRepeatChangesNothing(t *testing.T) {
	d := small()
	d.Products[0].TKWG = 0
	rapid.Check(t, func(t *rapid.T) {
		b := drawBags(t, d)
		by := rapid.Float64Range(0.5, 2).Draw(t, "by")
		longer := Bags{Bags: append([]Bag(nil), b.Bags...)}
		for i := range longer.Bags {
			if longer.Bags[i].Repeat == 1 {
				longer.Bags[i].Grams *= by
			}
		}
		x, y := judged1(t, d, b), judged1(t, d, longer)
		// With all bags weighed this is exact; with gaps the margins weigh the
		// longer repeat more, and the CV moves within its own scatter.
		if len(x.Missing) == 0 {
			sameCV(t, x, y)
			for i := range x.Runs {
				same(t, "deviation", x.Runs[i].Deviation, y.Runs[i].Deviation)
			}
		}
	})
}

// Numbering the repeats otherwise, or listing the bags in another order, changes
// nothing but the order of the repeats.
func TestOrderChangesNothing(t *testing.T) {
	d := small()
	rapid.Check(t, func(t *rapid.T) {
		b := drawBags(t, d)
		x := judged1(t, d, b)
		turned := Bags{Bags: rapid.Permutation(b.Bags).Draw(t, "bags")}
		if y := judged1(t, d, turned); !reflect.DeepEqual(x, y) {
			t.Fatal("the order of lines matters")
		}
		number := map[int]int{1: 9, 2: 4, 3: 7, 4: 2}
		for i := range turned.Bags {
			turned.Bags[i].Repeat = number[turned.Bags[i].Repeat]
		}
		y := judged1(t, d, turned)
		sameCV(t, x, y)
	})
}

// Turning a head's outlets by k places turns its tilt by k places and leaves its
// amplitude.
func TestTurningAHeadTurnsItsTilt(t *testing.T) {
	d, runs, used := threeHeads(12)
	rapid.Check(t, func(t *rapid.T) {
		x := make([]float64, len(runs))
		for i := range x {
			x[i] = rapid.Float64Range(50, 150).Draw(t, "x")
		}
		k := rapid.IntRange(0, 11).Draw(t, "k")
		turned := append([]float64(nil), x...)
		for o := range 12 {
			turned[(o+k)%12] = x[o]
		}
		a, b := tilts(x, runs, used, d, 100)[0], tilts(turned, runs, used, d, 100)[0]
		same(t, "amplitude", a.Amplitude, b.Amplitude)
		same(t, "p", a.Test.P, b.Test.P)
		if a.Amplitude > 0.01 {
			moved := math.Mod(b.TowardDeg-a.TowardDeg-30*float64(k)+3*360, 360)
			if math.Min(moved, 360-moved) > 0.01 {
				t.Fatalf("turned by %g degrees too many", moved)
			}
		}
	})
}

// A second, equal drill beside the first changes no head's figures, and every
// interval holds its own value.
func TestIntervalsHoldTheirValues(t *testing.T) {
	d := small()
	rapid.Check(t, func(t *rapid.T) {
		p := judged1(t, d, drawBags(t, d))
		for _, e := range []*Estimate{&p.CV, &p.InLine, p.Parts.Between, p.Parts.Repeat} {
			if e != nil && (e.Low != nil && *e.Low > e.Value || e.High != nil && *e.High < e.Value) {
				t.Fatalf("%+v", *e)
			}
		}
		for _, r := range p.Runs {
			if m := r.MeanG; m.Low != nil && !(*m.Low <= m.Value && m.Value <= *m.High) {
				t.Fatalf("%+v", m)
			}
		}
	})
}

// Every drill of the battery can be caught: a form filled with one mass is an
// even drill.
func TestEveryDrillCanBeCaught(t *testing.T) {
	for _, c := range drill.Cases() {
		var form strings.Builder
		if err := WriteForm(&form, c.Drill, nil, 3); err != nil {
			t.Fatal(err)
		}
		bags, err := ReadBags(strings.NewReader(strings.ReplaceAll(form.String(), ",\n", ",100\n")), "f.csv", c.Drill)
		if err != nil {
			t.Fatalf("%s: %v", c.Name, err)
		}
		doc, err := Judge(c.Drill, bags, Options{Scales: DefaultScales(), SafeRates: DefaultSafeRates(), OpenerSpreadM: 0.025})
		if len(c.Drill.Runs()) < 2 {
			if err == nil || !strings.Contains(err.Error(), "evenness is between runs") {
				t.Errorf("%s: %v", c.Name, err)
			}
			continue
		}
		if err != nil {
			t.Fatalf("%s: %v", c.Name, err)
		}
		for _, p := range doc.Products {
			if p.CV.Value != 0 || len(p.OutOfLine)+len(p.Remarks) > 0 || p.Parts.Between.Value != 0 {
				t.Errorf("%s, %s: %v", c.Name, p.Product, p.Says)
			}
		}
	}
}

// What is wrong with bags is said: missing, zero in one repeat, zero in all,
// mixed up, closed and yet flowing.
func TestRemarks(t *testing.T) {
	d := small()
	var b Bags
	for _, r := range d.Runs() {
		for n := 1; n <= 3; n++ {
			g := 100 + float64((7*r.Outlet+5*n)%4)/2
			switch {
			case r.ID == "A-3" && n == 2:
				continue
			case r.ID == "A-5" && n == 1:
				g = 0
			case r.ID == "A-7":
				g = 0
			case r.ID == "A-9" && n == 3:
				g = 72
			}
			b.Bags = append(b.Bags, Bag{r.ID, n, g})
		}
	}
	c, err := Judge(d, b, Options{})
	if err != nil {
		t.Fatal(err)
	}
	p := c.Products[0]
	all := strings.Join(p.Remarks, "\n")
	for _, want := range []string{
		"A-12 is closed in the drill's description, and gave", "1 of 33 bags were not weighed: A-3 repeat 2",
		"A-5 gave nothing in 1 of 3 repeats", "A-7 gave nothing in any repeat: blocked", "A-9, repeat 3: 72 g does not go",
	} {
		if !strings.Contains(all, want) {
			t.Errorf("%q is not said:\n%s", want, all)
		}
	}
	if len(p.OutOfLine) == 0 || p.OutOfLine[0].Run != "A-7" || !c.Attention() {
		t.Errorf("%+v", p.OutOfLine)
	}
	if p.Runs[6].Deviation != -1 {
		t.Errorf("%+v", p.Runs[6])
	}
	// Heads that never had bags at the same time cannot be compared.
	two := &madeFit(2).Drill
	var apart Bags
	for _, r := range two.Runs() {
		n := 1
		if r.Head == "B" {
			n = 2
		}
		apart.Bags = append(apart.Bags, Bag{r.ID, n, 100})
	}
	if _, err := Judge(two, apart, Options{}); err == nil || !strings.Contains(err.Error(), "never filled together") {
		t.Error(err)
	}
}

// One repeat: the counting floor of the particles is taken off, by agronomy's
// CV_true^2 = CV^2 - 1/N.
func TestOneRepeatTakesTheFloorOff(t *testing.T) {
	d := small()
	var b Bags
	for i, r := range d.Runs()[:11] {
		b.Bags = append(b.Bags, Bag{r.ID, 1, 10 * (1 + 0.1*float64(i%3-1))}) // 250 particles a bag
	}
	c, err := Judge(d, b, Options{})
	if err != nil {
		t.Fatal(err)
	}
	p := c.Products[0]
	n := p.MeanG / 0.04
	near(t, "floor", *p.Parts.FloorMean, 1/math.Sqrt(n), 1e-6)
	near(t, "between", p.Parts.Between.Value, math.Sqrt(sq(p.CV.Value)-1/n), 1e-5)
	if p.Parts.How != "counting floor" || p.Parts.Repeat != nil || p.Runs[0].MeanG.Low == nil {
		t.Errorf("%+v", p.Parts)
	}
	if s := fmt.Sprint(p.Says); !strings.Contains(s, "Three repeats tell them apart") {
		t.Error(s)
	}
}
