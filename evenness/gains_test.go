package evenness

import (
	"bytes"
	"math"
	"reflect"
	"strings"
	"testing"

	"runproof/fit"
	"runproof/flowlog"
)

// A gain's interval holds the true gain in 95 % of runs, the gains together may
// be off by what weighing and TKW are off; here neither is. 36 runs of 12 tests:
// 99.9 % of Binomial(432, 0.95), and pooling makes runs of one test hang
// together a little, so twice that.
func TestGainsAreFound(t *testing.T) {
	hits, n, worst := 0, 0, 0.0
	for seed := range uint64(12) {
		w := newWorld(seed, 3, 0.05)
		_, g, err := w.gains()
		if err != nil {
			t.Fatal(err)
		}
		p := g.Products[0]
		if len(p.Runs) != 36 || len(p.Without) != 0 || p.DF != 70 {
			t.Fatalf("%d runs, %d without, %d degrees", len(p.Runs), len(p.Without), p.DF)
		}
		for i, r := range p.Runs {
			n++
			if *r.Gain.Low <= w.gain[i] && w.gain[i] <= *r.Gain.High {
				hits++
			}
			worst = math.Max(worst, math.Abs(r.Gain.Value/w.gain[i]-1))
		}
	}
	share, half := float64(hits)/float64(n), 2*3.29*math.Sqrt(0.95*0.05/float64(n))
	t.Logf("covered %.4f, farthest off %.4f", share, worst)
	if math.Abs(share-0.95) > half {
		t.Errorf("%.4f of the intervals hold the gain, want 0.95 +- %.3f", share, half)
	}
}

func TestGainsSayWhatIsMissing(t *testing.T) {
	w := newWorld(3, 1, 0.05)
	b, l := w.catch(2, 60)
	for i := range l.Values[4] { // A-5 counts nothing
		l.Values[4][i] = 0
	}
	for i := range l.Values[6] { // A-7 reported nothing for a while in repeat 1
		if i > 20 && i < 30 {
			l.Values[6][i] = math.NaN()
		}
	}
	l.Columns, l.Values = append(l.Columns[:9:9], l.Columns[10:]...), append(l.Values[:9:9], l.Values[10:]...) // A-10's port is not there
	var bags Bags
	for _, x := range b.Bags {
		if x.Run != "A-2" {
			bags.Bags = append(bags.Bags, x)
		}
	}
	c, err := Judge(&w.f.Drill, bags, Options{})
	if err != nil {
		t.Fatal(err)
	}
	g, err := Calibrate(w.f, c, []*flowlog.Log{l})
	if err != nil {
		t.Fatal(err)
	}
	why := map[string]string{}
	for _, x := range g.Products[0].Without {
		why[string(x.Run)] = x.Why
	}
	for run, want := range map[string]string{"A-5": "counted nothing", "A-10": "not in the recording", "A-2": "no bag"} {
		if !strings.Contains(why[run], want) {
			t.Errorf("%s: %q, want %q", run, why[run], want)
		}
	}
	for _, r := range g.Products[0].Runs {
		if r.Run == "A-7" && (math.Abs(r.Gain.Value/w.gain[6]-1) > 0.1 || r.Grams > 200) {
			t.Errorf("A-7 from the whole repeat alone: %+v", r)
		}
	}
	if len(why) != 3 || !g.Attention() {
		t.Error(why)
	}
}

// A repeat too many in the recording is not guessed at.
func TestFlowsAndRepeatsMustAgree(t *testing.T) {
	w := newWorld(3, 1, 0.05)
	b, l := w.catch(3, 30)
	var two Bags
	for _, x := range b.Bags {
		if x.Repeat < 3 {
			two.Bags = append(two.Bags, x)
		}
	}
	c, err := Judge(&w.f.Drill, two, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if _, err = Calibrate(w.f, c, []*flowlog.Log{l}); err == nil || !strings.Contains(err.Error(), "flowed 3 times in the recording, and its bags were weighed in 2 repeats") {
		t.Error(err)
	}
	// A nudge of the meter, a tenth of a repeat, is no repeat.
	nudged := w.empty()
	w.record(nudged, 15, 0, 1)
	w.record(nudged, 3, 1, 1)
	w.record(nudged, 15, 0, 1)
	if got := spells(nudged, []int{0, 1, 2}); len(got) != 1 {
		t.Errorf("%+v", got)
	}
	w.record(nudged, 40, 1, 1)
	w.record(nudged, 15, 0, 1)
	if got := spells(nudged, []int{0, 1, 2}); len(got) != 1 || math.Abs(got[0].seconds-40) > 1.5 {
		t.Errorf("%+v", got)
	}
}

// One recording for each repeat gives what one of all gives.
func TestOneLogForEachRepeat(t *testing.T) {
	w := newWorld(8, 1, 0.05)
	b, l := w.catch(3, 40)
	c, err := Judge(&w.f.Drill, b, Options{})
	if err != nil {
		t.Fatal(err)
	}
	all, err := Calibrate(w.f, c, []*flowlog.Log{l})
	if err != nil {
		t.Fatal(err)
	}
	var parts []*flowlog.Log
	for r := range 3 {
		part := &flowlog.Log{Schema: l.Schema}
		from, to := 8+r*55, 8+(r+1)*55
		part.TimeNS = l.TimeNS[from:to]
		for _, v := range l.Values {
			part.Values = append(part.Values, v[from:to])
		}
		parts = append(parts, part)
	}
	each, err := Calibrate(w.f, c, parts)
	if err != nil || !reflect.DeepEqual(all, each) {
		t.Errorf("%v\n%+v\n%+v", err, all.Products[0].Runs[0], each.Products[0].Runs[0])
	}
}

func TestGainsAreReadAsWritten(t *testing.T) {
	_, g, err := newWorld(4, 1, 0.05).gains()
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := g.Write(&b); err != nil {
		t.Fatal(err)
	}
	back, err := ReadGains(bytes.NewReader(b.Bytes()), "gains.json")
	if err != nil || !reflect.DeepEqual(back, g) {
		t.Errorf("%v", err)
	}
	if _, err := ReadGains(strings.NewReader(`{"runproof":"catch/1"}`), "c.json"); err == nil || !strings.Contains(err.Error(), `"catch/1", not "gains/1"`) {
		t.Error(err)
	}
}

// The CV that gains give is that of the outlets: with the drill's own outlets
// drawn from a law of cv 6 %, the interval holds 6 % in 95 % of the days. 200
// days: 99.9 % of Binomial(200, 0.95) is 0.95 +- 0.051.
func TestFieldIntervalCovers(t *testing.T) {
	hits := 0
	const days = 200
	for seed := range uint64(days) {
		w := newWorld(seed+100, 1, 0.06)
		w.gusts = 0.02
		_, g, err := w.gains()
		if err != nil {
			t.Fatal(err)
		}
		e, err := Field(w.f, w.day(4, 130).NewReader(100), FieldOptions{Gains: g})
		if err != nil {
			t.Fatal(err)
		}
		if cv := e.Products[0].CV; cv.Low != nil && *cv.Low <= 0.06 && *cv.High >= 0.06 {
			hits++
		}
	}
	inBinomial(t, "days", hits, days, 0.95)
}

// Even outlets, sensors that differ by a quarter: without gains the program
// gives no CV; with them, next to none. Chance in counts is estimated from the
// blocks: gusts of gamma variance 0.05 at about 60 a sample make the variance of
// a second's count (1 + 0.05 x 60) = 4 times Poisson.
func TestFloorAndGainErrorAreTakenOff(t *testing.T) {
	w := newWorld(21, 3, 0)
	w.gusts = 0.05
	_, g, err := w.gains()
	if err != nil {
		t.Fatal(err)
	}
	log := w.day(6, 300)
	e, err := Field(w.f, log.NewReader(512), FieldOptions{Gains: g, Scales: DefaultScales()})
	if err != nil {
		t.Fatal(err)
	}
	p := e.Products[0]
	if *p.CV.Low != 0 || p.CV.Value > 0.01 || p.CV.High == nil || *p.CV.High > 0.02 {
		t.Errorf("CV %+v", p.CV)
	}
	// 24 blocks of 36 runs: the dispersion is a variance of 35 x 23 degrees, sd 5 %;
	// gains of 0.8 to 1.3 make it 3.4 to 4.9, the mean of that about 4.1.
	if p.Parts.Dispersion < 3.4 || p.Parts.Dispersion > 4.9 {
		t.Errorf("dispersion %g", p.Parts.Dispersion)
	}
	if p.SteadyS < 6*250 || p.SteadyS > 6*300 {
		t.Errorf("%g s of steady work", p.SteadyS)
	}
	if len(p.OutOfLine) != 0 || e.Attention() {
		t.Errorf("%+v", p.Says)
	}
	bare, err := Field(w.f, log.NewReader(512), FieldOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if q := bare.Products[0]; q.CV != nil || q.Parts != nil || q.Division != nil || !strings.Contains(q.WhyNo, "differ in gain by tens of percent") || !strings.Contains(q.Says[0], "No CV across runs") || q.Runs[0].Deviation != nil || q.Runs[0].Change == nil {
		t.Errorf("%+v", q)
	}
}

// A run that moved to another port, or whose node was changed, has no gain.
func TestGainIsVoidAfterASwap(t *testing.T) {
	w := newWorld(5, 1, 0.05)
	_, g, err := w.gains()
	if err != nil {
		t.Fatal(err)
	}
	next, err := w.f.Move("A-4", fit.PortRef{Node: "410", Port: 13}, fit.Provenance{})
	if err != nil {
		t.Fatal(err)
	}
	log := w.day(3, 120)
	for i := range log.Columns {
		if ref, ok := next.PortOf("A-4"); ok && log.Columns[i].Name == "410:4" {
			log.Columns[i] = flowlog.PortColumn(ref)
		}
	}
	e, err := Field(next, log.NewReader(512), FieldOptions{Gains: g})
	if err != nil {
		t.Fatal(err)
	}
	p := e.Products[0]
	want := "since 2026-04-20 it moved from 410:4 to 410:13 (fit revision 2): its gain is void"
	if len(p.Void) != 1 || p.Void[0].Run != "A-4" || p.Void[0].Why != want || p.Parts.Runs != 11 || p.Parts.Of != 12 || !e.Attention() {
		t.Errorf("%+v, %+v", p.Void, p.Parts)
	}
	for _, r := range p.Runs {
		if (r.Deviation == nil) != (r.Run == "A-4") {
			t.Errorf("%+v", r)
		}
	}
	// Gains of another product, or of most runs void, give no CV.
	w.f.Drill.Products[0].Material = "canola"
	e, err = Field(w.f, w.day(3, 120).NewReader(512), FieldOptions{Gains: g})
	if err != nil || e.Products[0].CV != nil || !strings.Contains(e.Products[0].WhyNo, "taken with wheat, and the fit says canola") {
		t.Errorf("%v, %+v", err, e.Products[0].WhyNo)
	}
	w.f.Drill.Products[0].Material = "wheat"
	for i := range g.Products[0].Runs[:8] {
		g.Products[0].Runs[i].Node = "999"
	}
	e, err = Field(w.f, w.day(3, 120).NewReader(512), FieldOptions{Gains: g})
	if err != nil || e.Products[0].CV != nil || len(e.Products[0].Void) != 8 || !strings.Contains(e.Products[0].WhyNo, "4 of 12 runs") {
		t.Errorf("%v, %+v", err, e.Products[0])
	}
}

// A run that falls to 70 % half-way is told without any gain, and its siblings'
// small rise is not.
func TestChangeOverTheDay(t *testing.T) {
	w := newWorld(6, 3, 0.05)
	log := w.empty()
	for pass := range 8 {
		if pass == 4 {
			w.part[16] *= 0.7 // B-5
		}
		w.record(log, 150, 1, 1)
		w.record(log, 8, 0, 0)
	}
	e, err := Field(w.f, log.NewReader(512), FieldOptions{})
	if err != nil {
		t.Fatal(err)
	}
	p := e.Products[0]
	c := p.Runs[16].Change
	// its part of a head of 12: 0.7/(12-0.3) against 1/12, that is 0.718
	if p.Changed != 1 || c == nil || *c.Low > -0.282 || *c.High < -0.282 || *p.Runs[16].ChangeP > 1e-6 {
		t.Errorf("%d changed, %+v", p.Changed, c)
	}
	if last := p.Says[len(p.Says)-1]; !strings.HasPrefix(last, "B-5: its part of its head changed by -2") {
		t.Error(last)
	}
}

// Cells of lifting, closed sections, starts and pauses are not used; a node that
// is silent for a while costs its time, one that is always silent its runs.
func TestSteadyWork(t *testing.T) {
	w := newWorld(7, 3, 0.05)
	log := w.day(3, 120)
	for i := range log.Values[0] {
		if i > 30 && i < 60 {
			log.Values[0][i] = math.NaN()
		}
		log.Values[35][i] = math.NaN() // C-12
	}
	e, err := Field(w.f, log.NewReader(100), FieldOptions{})
	if err != nil {
		t.Fatal(err)
	}
	p := e.Products[0]
	if len(p.Runs) != 35 || !strings.Contains(p.Remarks[0], "C-12: not reported") {
		t.Errorf("%d runs, %v", len(p.Runs), p.Remarks)
	}
	if p.SteadyS < 250 || p.SteadyS > 330 {
		t.Errorf("%g s of steady work", p.SteadyS)
	}
	if _, err := Field(w.f, w.empty().NewReader(10), FieldOptions{}); err != nil {
		t.Errorf("an empty log: %v", err)
	}
	strange := &flowlog.Log{Schema: flowlog.Schema{Columns: []flowlog.Column{flowlog.ColumnNamed("9:1")}}}
	strange.Reset(1)
	if _, err := Field(w.f, strange.NewReader(10), FieldOptions{}); err == nil || !strings.Contains(err.Error(), "no port of the log") {
		t.Error(err)
	}
}
