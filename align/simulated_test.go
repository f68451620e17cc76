package align_test

import (
	"math"
	"strings"
	"testing"

	"runproof/align"
	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/simulate"
)

func contains(s, part string) bool { return strings.Contains(s, part) }

// oneHead is a drill of one head with twelve runs on one node, and the lag that
// its air is reckoned to have.
func oneHead(lagS float64) *fit.Fit {
	d := drill.Drill{
		Runproof: "drill/1", Name: "one head", Rows: drill.Rows{Count: 12, SpacingM: 0.25, RanksM: []float64{0}},
		Products: []drill.Product{{ID: "seed", RateKgHa: 110, TKWG: 38}}, Work: drill.Work{SpeedMPS: 2.2},
		Sensing: drill.Sensing{Products: []drill.ProductID{"seed"}},
	}
	head := drill.Head{ID: "A", Product: "seed"}
	f := &fit.Fit{Runproof: fit.Version, Revision: 1, Nodes: []fit.Node{{Serial: "N1", Ports: 12, Head: "A"}}}
	for r := range 12 {
		head.Rows = append(head.Rows, r+1)
		f.Map = append(f.Map, fit.Link{Run: drill.NewRunID("A", r+1), Node: "N1", Port: r + 1})
	}
	d.Heads = []drill.Head{head}
	f.Drill = d
	f.Air.Heads = []fit.HeadAir{{Head: "A", ToHead: fit.TransportLag{Seconds: fit.Span{Low: lagS, Likely: lagS, High: lagS}}}}
	return f
}

// recorded is a simulated day, split into a flow log with the columns that keep
// wants and a position log whose clock is offsetS ahead and that has every
// thinned-th sample.
func recorded(t *testing.T, seed uint64, f *fit.Fit, offsetS float64, thinned int, keep ...flowlog.Kind) (flow, pos *flowlog.Log) {
	t.Helper()
	s := simulate.Defaults()
	s.Kind, s.Seed, s.IntervalS, s.Hours = simulate.Day, seed, 0.2, 1
	s.Field.PassM, s.Field.SpeedSD, s.Field.StopsPerH = 500, 0.04, 4
	s.Law.StartLagS = f.Air.Heads[0].ToHead.Seconds.Likely
	r, err := simulate.New(&s, f)
	if err != nil {
		t.Fatal(err)
	}
	l, err := flowlog.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	flow = pick(l, 1, 0, func(k flowlog.Kind) bool {
		for _, w := range keep {
			if k == w {
				return true
			}
		}
		return k == flowlog.Port
	})
	pos = pick(l, thinned, int64(offsetS*1e9), func(k flowlog.Kind) bool {
		return k == flowlog.Lat || k == flowlog.Lon || k == flowlog.Speed || k == flowlog.Course
	})
	return flow, pos
}

// pick copies some columns of every n-th sample.
func pick(l *flowlog.Log, n int, moveNS int64, keep func(flowlog.Kind) bool) *flowlog.Log {
	out := &flowlog.Log{Schema: flowlog.Schema{Clock: l.Clock}}
	for c, col := range l.Columns {
		if !keep(col.Kind) {
			continue
		}
		out.Columns = append(out.Columns, col)
		var v []float64
		for i := 0; i < l.Len(); i += n {
			v = append(v, l.Values[c][i])
		}
		out.Values = append(out.Values, v)
	}
	for i := 0; i < l.Len(); i += n {
		out.TimeNS = append(out.TimeNS, l.TimeNS[i]+moveNS)
	}
	return out
}

// TestSimulatedDays: an hour by this house's own simulator, positions at 5 and
// 1 Hz. With a speed of its own in the flow log the offset is right to half an
// interval. From flow, with the lag known, the bound is the one reckoned from the
// sample: speed that wavers by s = 4 % with a correlation time of T = 20 s, in
// flow with noise of n = 14 % a sample of d = 0.2 s (Poisson 12 x 76 x 2.2 / 2.2
// a second gives 7 %, dispersion 5 %, pulsing 11 %), tells the shift with
//
//	1/sd^2 = hours 3600 / pi x (2 s^2 / (T n^2 d)) x w
//
// up to the frequency w = 1 rad/s that the smoothing lets through: 0.07 s for
// three quarters of an hour in work. Four of them, and half an interval, are
// allowed.
func TestSimulatedDays(t *testing.T) {
	const sd = 0.07
	for _, c := range []struct {
		seed    uint64
		offsetS float64
		thinned int
		keep    []flowlog.Kind
		lagS    float64
		allowed float64
	}{
		{1, 431.37, 1, []flowlog.Kind{flowlog.Speed}, 2, 0.1},
		{2, -599.9, 5, []flowlog.Kind{flowlog.Speed}, 1, 0.1},
		// the simulator's positions are half a step behind the end of its speeds
		{3, 12.5, 1, []flowlog.Kind{flowlog.Lat, flowlog.Lon}, 3, 0.2},
		{4, -87.3, 1, nil, 2, 0.1 + 4*sd},
		{5, 599.1, 5, nil, 0.6, 0.1 + 4*sd},
		{6, 0, 5, nil, 3, 0.1 + 4*sd},
	} {
		f := oneHead(c.lagS)
		flow, pos := recorded(t, c.seed, f, c.offsetS, c.thinned, c.keep...)
		got, err := align.Estimate(flow.NewReader(4096), pos.NewReader(4096), align.Options{Lag: align.LagOf(f)})
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got.S-c.offsetS) > c.allowed || got.Verdict == align.Unsure || len(c.keep) > 0 && got.Verdict != align.Sure {
			t.Errorf("seed %d: %+.3f s, %s, want %+.3f; %+v", c.seed, got.S, got.Verdict, c.offsetS, got.Evidence)
		}
	}
}

// TestUnknownLagIsSaid: with nothing but counts, the answer is the clock less the
// lag, and the same as with a lag of 0.
func TestUnknownLagIsSaid(t *testing.T) {
	f := oneHead(2)
	flow, pos := recorded(t, 7, f, 100, 1)
	bare, err := align.Estimate(flow.NewReader(4096), pos.NewReader(4096), align.Options{})
	if err != nil {
		t.Fatal(err)
	}
	known, err := align.Estimate(flow.NewReader(4096), pos.NewReader(4096), align.Options{Lag: align.LagOf(f)})
	if err != nil {
		t.Fatal(err)
	}
	if !bare.WithLag || bare.Verdict != align.Rough || known.WithLag || math.Abs(known.S-bare.S-2) > 1e-6 || !contains(strings.Join(bare.Notes, " "), "less that lag") {
		t.Errorf("%+.3f with lag %v, %+.3f with lag %v; %v", bare.S, bare.WithLag, known.S, known.WithLag, bare.Notes)
	}
}

// TestWorkColumnBoundsTheLag: with a work column the lag is found from where
// lifts and turns lie; the simulator's driver lifts just at the turns.
func TestWorkColumnBoundsTheLag(t *testing.T) {
	f := oneHead(2)
	flow, pos := recorded(t, 8, f, 100, 1, flowlog.Work)
	got, err := align.Estimate(flow.NewReader(4096), pos.NewReader(4096), align.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if got.WithLag || got.Lag == nil || got.LowS > 100 || got.HighS < 100 || got.HighS-got.LowS > 4 {
		t.Errorf("%+.3f s (%+.3f to %+.3f), lag %+v; %v", got.S, got.LowS, got.HighS, got.Lag, got.Notes)
	}
}

func TestLagOf(t *testing.T) {
	f := oneHead(2)
	if l := align.LagOf(f); l == nil || l.S != 2 || l.SDS != 0 {
		t.Error(l)
	}
	f.Air.Heads[0].ToHead.Seconds = fit.Span{Low: 1, Likely: 2, High: 4.92}
	if l := align.LagOf(f); l.S != 2 || math.Abs(l.SDS-1) > 1e-12 { // (4.92 - 1) / 3.92
		t.Error(l)
	}
	f.Map = nil
	if l := align.LagOf(f); l != nil {
		t.Error(l)
	}
	if align.LagOf(nil) != nil {
		t.Error("a lag of no fit")
	}
}
