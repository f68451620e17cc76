package replay

import (
	"io"
	"math"
	"testing"

	"runproof/alarm"
	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/review"
)

// small is a drill of one head A with so many runs, each on a port of node N1;
// section S1 shuts A-1, and the runs in closed are shut on purpose.
func small(runs int, closed ...drill.RunID) *fit.Fit {
	d := drill.Drill{
		Runproof: drill.Version, Name: "Small", Rows: drill.Rows{Count: runs, SpacingM: 0.25, RanksM: []float64{0}},
		Products: []drill.Product{{ID: "seed"}}, Work: drill.Work{SpeedMPS: 2}, Sensing: drill.Sensing{Products: []drill.ProductID{"seed"}},
		Sections: []drill.Section{{ID: "S1", Runs: []drill.RunID{"A-1"}}}, Closed: closed,
	}
	head := drill.Head{ID: "A", Product: "seed"}
	f := &fit.Fit{Runproof: fit.Version, Revision: 1, Nodes: []fit.Node{{Serial: "N1", Ports: 64, Head: "A"}}}
	for o := 1; o <= runs; o++ {
		head.Rows = append(head.Rows, o)
		f.Map = append(f.Map, fit.Link{Run: drill.NewRunID("A", o), Node: "N1", Port: o})
	}
	d.Heads = []drill.Head{head}
	f.Drill = d
	return f
}

// evenRules gives every run the same share.
func evenRules(f *fit.Fit, floor, holdS, intervalS float64) *alarm.Rules {
	r := &alarm.Rules{Runproof: alarm.Version, IntervalS: intervalS, Allowed: 1, Shares: map[drill.RunID]float64{}}
	for _, p := range f.Drill.Products {
		r.Rules = append(r.Rules, alarm.Rule{Product: p.ID, Floor: floor, HoldS: holdS})
	}
	for _, h := range f.Drill.Heads {
		for o := range h.Rows {
			r.Shares[drill.NewRunID(h.ID, o+1)] = 1 / float64(len(h.Rows))
		}
	}
	return r
}

// strip is a log of a second a sample: one letter a sample and run. A digit is
// the count in tens, - is not reported. Columns work and sec:S1 likewise, of 1
// and 0; speed is 2 m/s.
func strip(f *fit.Fit, work, section string, runs ...string) *flowlog.Log {
	l := &flowlog.Log{Schema: flowlog.Schema{Clock: flowlog.Seconds}}
	n := len(runs[0])
	for i := range n {
		l.TimeNS = append(l.TimeNS, int64(100+i)*1e9)
	}
	add := func(name, text string, unit float64) {
		v := make([]float64, n)
		for i := range v {
			v[i] = unit * float64(text[i]-'0')
			if text[i] == '-' {
				v[i] = math.NaN()
			}
		}
		l.Columns, l.Values = append(l.Columns, flowlog.ColumnNamed(name)), append(l.Values, v)
	}
	for r, text := range runs {
		add(f.Map[r].Ref().String(), text, 10)
	}
	speed := ""
	for range n {
		speed += "2"
	}
	add("speed", speed, 1)
	if work != "" {
		add("work", work, 1)
	}
	if section != "" {
		add("sec:S1", section, 1)
	}
	return l
}

// event is one of the review, at seconds of strip's clock.
func event(id int, run drill.RunID, kind review.Kind, from, to, metres float64) review.Event {
	ev := review.Event{
		ID: id, Run: run, Head: "A", Product: "seed", Kind: kind, Lost: 0.97, Metres: metres,
		Start: flowlog.Seconds.Format(int64(from * 1e9)), End: flowlog.Seconds.Format(int64(to * 1e9)),
	}
	if kind == review.NoData {
		ev.Run, ev.Node = "", "N1"
	}
	return ev
}

func played(t testing.TB, f *fit.Fit, l *flowlog.Log, r *alarm.Rules, events ...review.Event) *Document {
	t.Helper()
	d, err := Run(f, events, []Book{{"rules.json", r}}, l.NewReader(7), Options{})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// rang counts all alarms of the first rules that belong to no event.
func rang(d *Document) int { return d.Rules[0].False.Count + d.Rules[0].False.Starting }

// repeated gives a log over and over, each time later.
type repeated struct {
	*flowlog.Log
	times, size int
	at, round   int
}

func (r *repeated) Schema() flowlog.Schema { return r.Log.Schema }

func (r *repeated) Read(b *flowlog.Batch) error {
	if r.at == r.Len() {
		r.at, r.round = 0, r.round+1
	}
	if r.round == r.times {
		b.Reset(len(r.Columns))
		return io.EOF
	}
	n := min(r.size, r.Len()-r.at)
	b.Grow(len(r.Columns), n)
	span := r.TimeNS[r.Len()-1] - r.TimeNS[0] + flowlog.IntervalNS(r.TimeNS)
	for i := range n {
		b.TimeNS[i] = r.TimeNS[r.at+i] + int64(r.round)*span
	}
	for c := range r.Columns {
		copy(b.Values[c], r.Values[c][r.at:r.at+n])
	}
	r.at += n
	return nil
}
