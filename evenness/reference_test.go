package evenness

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"runproof/drill"
)

// reference is testdata/reference.json, made by R 4.2.2 with reference.R beside
// it.
var reference = func() map[string]json.RawMessage {
	text, err := os.ReadFile("testdata/reference.json")
	if err != nil {
		panic(err)
	}
	var r map[string]json.RawMessage
	if err := json.Unmarshal(text, &r); err != nil {
		panic(err)
	}
	return r
}()

func fromR[T any](t *testing.T, name string) T {
	t.Helper()
	var v T
	if err := json.Unmarshal(reference[name], &v); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return v
}

// near fails where got is farther from want than rel of it.
func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s is %.12g, want %.12g", what, got, want)
	}
}

type analysisR struct {
	Grams                    [][]*float64
	Factors, Means           []float64
	Grand, CV, F, P, Between float64
	WithinMS                 float64 `json:"within_ms"`
	WithinDF                 float64 `json:"within_df"`
	BetweenLow               float64 `json:"between_low"`
	BetweenHigh              float64 `json:"between_high"`
	PerRun                   float64 `json:"per_run"`
}

func gridFrom(rows [][]*float64) *grid {
	g := &grid{runs: make([]drill.Run, len(rows)), repeats: make([]int, len(rows[0]))}
	for _, row := range rows {
		out := make([]float64, len(row))
		for i, v := range row {
			out[i] = math.NaN()
			if v != nil {
				out[i] = *v
			}
		}
		g.g = append(g.g, out)
	}
	return g
}

// Variance components and their interval, with all bags and with gaps: repeat
// factors by R's Poisson regression, mean squares by lm, the interval of Ting
// and others written anew in R.
func TestAnalysisAgainstR(t *testing.T) {
	for _, name := range []string{"whole", "gaps"} {
		want := fromR[analysisR](t, name)
		g := gridFrom(want.Grams)
		f, ok := g.factors()
		if !ok {
			t.Fatal("no factors")
		}
		for r := range f {
			near(t, name+" factor", f[r], want.Factors[r], 1e-9)
		}
		a := analyse(g.level(f))
		for i := range a.mean {
			near(t, name+" mean", a.mean[i], want.Means[i], 1e-9)
		}
		near(t, name+" grand mean", a.grand, want.Grand, 1e-9)
		near(t, name+" CV", CV(a.mean), want.CV, 1e-8)
		near(t, name+" within", a.within.value, want.WithinMS, 1e-8)
		near(t, name+" degrees", a.within.df, want.WithinDF, 0)
		near(t, name+" bags", a.perRun, want.PerRun, 1e-12)
		v, low, high := difference(a.between, a.ofMean(), tail)
		near(t, name+" between", v, want.Between, 1e-8)
		near(t, name+" between, low", low, want.BetweenLow, 1e-7)
		near(t, name+" between, high", high, want.BetweenHigh, 1e-7)
		test, ok := fTest(a.between.value*a.perRun, int(a.between.df), a.within.value, int(a.within.df))
		if !ok {
			t.Fatal("no test")
		}
		near(t, name+" F", test.Statistic, want.F, 1e-6)
		near(t, name+" p", test.P, want.P, 1e-6)
	}
}

// The plain one-way table of R's anova: no repeat is levelled, so its degrees of
// freedom are k-1 and N-k.
func TestOneWayTableAgainstR(t *testing.T) {
	want := fromR[struct {
		MSRun    float64 `json:"ms_run"`
		MSWithin float64 `json:"ms_within"`
		F, P     float64
	}](t, "oneway")
	rows := fromR[analysisR](t, "whole").Grams
	for i := range rows {
		rows[i] = rows[i][:2]
	}
	a := analyse(gridFrom(rows))
	near(t, "between runs", a.between.value*2, want.MSRun, 1e-10)
	// analyse takes one degree off for the second repeat.
	near(t, "within", a.within.value*a.within.df/(a.within.df+1), want.MSWithin, 1e-10)
	near(t, "p", upperF(want.F, 11, 12), want.P, 1e-9)
}

func TestNoncentralTAgainstR(t *testing.T) {
	want := fromR[struct{ T, V, D, P []float64 }](t, "noncentral_t")
	for i := range want.T {
		near(t, "P(T <= t)", noncentralT(want.T[i], want.V[i], want.D[i]), want.P[i], 1e-9)
	}
	limits := fromR[struct{ K, N, Low, High []float64 }](t, "noncentral")
	for i, k := range limits.K {
		low, high := CVInterval(k, int(limits.N[i]), tail)
		near(t, "low", low, limits.Low[i], 1e-7)
		near(t, "high", high, limits.High[i], 1e-7)
	}
}

type patternR struct {
	Head       []drill.HeadID
	Outlet, Of []int
	Reach, Y   []float64
	HeadsF     float64 `json:"heads_f"`
	HeadsP     float64 `json:"heads_p"`
	WithinSD   float64 `json:"within_sd"`
	Slope      float64
	SlopeLow   float64 `json:"slope_low"`
	SlopeHigh  float64 `json:"slope_high"`
	SlopeP     float64 `json:"slope_p"`
}

// patternDrill has the heads of the pattern, its openers reached as far as R's
// figures say.
func patternDrill(p patternR) (*drill.Drill, []drill.Run, []bool) {
	d := &drill.Drill{Rows: drill.Rows{Count: 22, SpacingM: 0.25}}
	from := 1
	for i, n := range []int{8, 8, 6} {
		h := drill.Head{ID: drill.HeadID(rune('A' + i))}
		for j := range n {
			h.Rows = append(h.Rows, from+j)
		}
		from += n
		d.Heads = append(d.Heads, h)
	}
	var runs []drill.Run
	used := make([]bool, len(p.Y))
	for i := range p.Y {
		runs = append(runs, drill.Run{ID: drill.NewRunID(p.Head[i], p.Outlet[i]), Head: p.Head[i], Outlet: p.Outlet[i]})
		used[i] = true
	}
	return d, runs, used
}

func TestPatternsAgainstR(t *testing.T) {
	p := fromR[patternR](t, "pattern")
	d, runs, used := patternDrill(p)
	v := divide(p.Y, runs, used, headOrder(d))
	near(t, "F of heads", v.Test.Statistic, p.HeadsF, 1e-6)
	near(t, "p of heads", v.Test.P, p.HeadsP, 1e-6)
	near(t, "within heads", *v.WithinCV, p.WithinSD, 1e-6)
	type tiltR struct{ Amplitude, Deg, F, P, SE float64 }
	tilts := tilts(p.Y, runs, used, d, meanOf(p.Y))
	for _, c := range []struct {
		got  Tilt
		want tiltR
	}{{tilts[0], fromR[tiltR](t, "tilt_a")}, {tilts[3], fromR[tiltR](t, "tilt_all")}} {
		near(t, "amplitude", c.got.Amplitude, c.want.Amplitude, 1e-6)
		near(t, "direction", c.got.TowardDeg, c.want.Deg, 1e-6)
		near(t, "F", c.got.Test.Statistic, c.want.F, 1e-6)
		near(t, "p", c.got.Test.P, c.want.P, 1e-6)
		near(t, "standard error", c.got.SE, c.want.SE, 1e-6)
	}
	if tilts[0].Head != "A" || tilts[3].Head != "" || tilts[3].Toward != 0 {
		t.Errorf("%+v", tilts)
	}
	h := slope(p.Y, p.Reach, runs, used, meanOf(p.Y))
	near(t, "slope", h.PerM.Value, p.Slope, 1e-6)
	near(t, "slope, low", *h.PerM.Low, p.SlopeLow, 1e-6)
	near(t, "slope, high", *h.PerM.High, p.SlopeHigh, 1e-6)
	near(t, "slope, p", h.P, p.SlopeP, 1e-6)
}

func TestOutletPlacesAgainstR(t *testing.T) {
	want := fromR[struct {
		Y      [][]float64
		F, P   float64
		Effect []float64
	}](t, "places")
	d := &drill.Drill{}
	var runs []drill.Run
	var x []float64
	for i, row := range want.Y {
		h := drill.Head{ID: drill.HeadID(rune('A' + i))}
		for j, v := range row {
			h.Rows = append(h.Rows, 8*i+j+1)
			runs = append(runs, drill.Run{Head: h.ID, Outlet: j + 1})
			x = append(x, v)
		}
		d.Heads = append(d.Heads, h)
	}
	used := make([]bool, len(x))
	for i := range used {
		used[i] = true
	}
	o := outletPlaces(x, runs, used, d)
	if len(o) != 1 || o[0].Heads != 3 || o[0].Of != 8 {
		t.Fatalf("%+v", o)
	}
	near(t, "F", o[0].Test.Statistic, want.F, 1e-6)
	near(t, "p", o[0].Test.P, want.P, 1e-6)
	for j, e := range want.Effect {
		near(t, "place", o[0].Places[j].Deviation*meanOf(x), e, 1e-5)
	}
}
