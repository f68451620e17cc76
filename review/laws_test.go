package review_test

import (
	"math"
	"runtime"
	"slices"
	"testing"

	"runproof/flowlog"
	"runproof/review"
	"runproof/simulate"
)

// TestEveryKindIsToldApart: one fault of each kind, found once, named rightly,
// dated within the 3 s, with the metres really driven within 6 m each
// end (3 s at 2 m/s).
func TestEveryKindIsToldApart(t *testing.T) {
	d, faults := threeHeads(), everyKind()
	f := fitOf(d)
	s := scenario(d, 0.7, faults...)
	rec, err := simulate.New(s, f)
	if err != nil {
		t.Fatal(err)
	}
	l, err := flowlog.ReadAll(rec)
	if err != nil {
		t.Fatal(err)
	}
	res, truth := reviewed(t, f, l, 2048), rec.Truth()
	if len(res.Events) != len(faults) {
		for _, ev := range res.Events {
			t.Log(ev.Kind, ev.Run, ev.Head, ev.Start, ev.End)
		}
		t.Fatalf("%d events of %d faults", len(res.Events), len(faults))
	}
	for i, ev := range res.Events {
		want := truth.Events[i]
		atS := float64(ev.StartNS-l.TimeNS[0])/1e9 + s.IntervalS
		if ev.Kind != faults[i].Kind || ev.Run != want.Run || math.Abs(atS-faults[i].AtS) > 3+s.IntervalS {
			t.Errorf("%s of %s%s%s at %.0f s found as %s of %s%s%s at %.1f s", want.Kind, want.Run, want.Head, want.Node, faults[i].AtS, ev.Kind, ev.Run, ev.Head, ev.Node, atS)
		}
		if ev.Kind != review.Noisy && math.Abs(ev.Metres-want.Metres) > 12 {
			t.Errorf("%s: %.1f m, was %.1f", ev.Kind, ev.Metres, want.Metres)
		}
		if ev.Sentence == "" || ev.Kind.LosesSeed() && ev.Evidence.LogLikelihoodRatio < 18 {
			t.Errorf("%s: %q rests on %.1f nats", ev.Kind, ev.Sentence, ev.Evidence.LogLikelihoodRatio)
		}
	}
}

// what of each event must not change when the same day is told otherwise.
func what(res *review.Result) []string {
	var out []string
	for _, ev := range res.Events {
		out = append(out, ev.Kind.String()+" "+string(ev.Run)+" "+string(ev.Head)+" "+ev.Start[:16])
	}
	return out
}

func TestSameBytesWhateverTheBatches(t *testing.T) {
	d := threeHeads()
	f := fitOf(d)
	l := recorded(t, scenario(d, 0.7, everyKind()...), f)
	want := written(t, reviewed(t, f, l, 2048))
	for _, size := range []int{2048, 1, 7, 100000} {
		if written(t, reviewed(t, f, l, size)) != want {
			t.Errorf("batches of %d samples give another result", size)
		}
	}
}

// TestColumnsMayStandAnyhow: the columns' order in the log says nothing.
func TestColumnsMayStandAnyhow(t *testing.T) {
	d := threeHeads()
	f := fitOf(d)
	l := recorded(t, scenario(d, 0.7, everyKind()...), f)
	want := written(t, reviewed(t, f, l, 2048))
	slices.Reverse(l.Columns)
	slices.Reverse(l.Values)
	if written(t, reviewed(t, f, l, 2048)) != want {
		t.Error("columns in reverse give another result")
	}
}

// TestPortsPermuted: two hoses that end on each other's ports, in fit and log
// alike, change nothing but the ports' numbers.
func TestPortsPermuted(t *testing.T) {
	d := threeHeads()
	f := fitOf(d)
	l := recorded(t, scenario(d, 0.7, everyKind()...), f)
	want := what(reviewed(t, f, l, 2048))
	a, b := l.PortIndex(f.Map[1].Ref()), l.PortIndex(f.Map[4].Ref())
	l.Values[a], l.Values[b] = l.Values[b], l.Values[a]
	f.Map[1].Port, f.Map[4].Port = f.Map[4].Port, f.Map[1].Port
	if got := what(reviewed(t, f, l, 2048)); !slices.Equal(got, want) {
		t.Errorf("%q became %q", want, got)
	}
}

// TestGainOfAHead: sensors of one head that all count twice as much (another
// gain) change no event.
func TestGainOfAHead(t *testing.T) {
	d := threeHeads()
	f := fitOf(d)
	l := recorded(t, scenario(d, 0.7, everyKind()...), f)
	want := what(reviewed(t, f, l, 2048))
	for _, link := range f.Map[:6] {
		v := l.Values[l.PortIndex(link.Ref())]
		for i := range v {
			v[i] *= 2
		}
	}
	if got := what(reviewed(t, f, l, 2048)); !slices.Equal(got, want) {
		t.Errorf("%q became %q", want, got)
	}
}

// TestSoundDaysAreQuiet: six hours of sound work, in parts. At the bar
// of one false event in three hours one would expect two; up to six is the
// 99.5 % quantile of Poisson(2).
func TestSoundDaysAreQuiet(t *testing.T) {
	d := threeHeads()
	f, n := fitOf(d), 0
	for seed := range uint64(4) {
		s := scenario(d, 1.5)
		s.Seed = seed + 100
		s.Rates = []simulate.RateStep{{Product: "seed", AtS: 1200, Factor: 0.6}, {Product: "seed", AtS: 3000, Factor: 1.4}}
		for _, ev := range reviewed(t, f, recorded(t, s, f), 2048).Events {
			t.Log(seed, ev.Kind, ev.Run, ev.Head, ev.Start, ev.End)
			n++
		}
	}
	if n > 6 {
		t.Errorf("%d false events in six hours", n)
	}
}

// TestMemoryIsFlat: what the review holds on to does not grow with the log. The
// heap is looked at in the last batch of a log, and of one eight times as long.
// The trail (a point every 25 m) and the events are all that grow: the bound is
// a quarter more, and half a megabyte.
func TestMemoryIsFlat(t *testing.T) {
	d := threeHeads()
	f := fitOf(d)
	heap := func(hours float64) float64 {
		r, err := simulate.New(scenario(d, hours), f)
		if err != nil {
			t.Fatal(err)
		}
		var m runtime.MemStats
		lines := int(hours * 7200)
		if _, err := review.Run(f, r, review.Options{Progress: func(n int) {
			if n == lines {
				runtime.GC()
				runtime.ReadMemStats(&m)
			}
		}}); err != nil {
			t.Fatal(err)
		}
		return float64(m.HeapAlloc)
	}
	short, long := heap(0.5), heap(4)
	if long > 1.25*short+512e3 {
		t.Errorf("%.1f MB after half an hour, %.1f MB after four", short/1e6, long/1e6)
	}
}
