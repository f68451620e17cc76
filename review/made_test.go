package review_test

import (
	"bytes"
	"errors"
	"io"
	"testing"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/input/jsondoc"
	"runproof/review"
	"runproof/simulate"
)

// fitOf gives each head of a drill its own node, ports in order of outlets.
func fitOf(d *drill.Drill) *fit.Fit {
	f := &fit.Fit{Runproof: fit.Version, Revision: 1, Drill: *d}
	nodes := map[drill.HeadID]string{}
	ports := map[drill.HeadID]int{}
	for _, r := range d.Runs() {
		if r.Closed {
			continue
		}
		if nodes[r.Head] == "" {
			nodes[r.Head] = fit.NumberedSerials(len(d.Heads))[len(nodes)]
			f.Nodes = append(f.Nodes, fit.Node{Serial: nodes[r.Head], Ports: 64, Head: r.Head})
		}
		ports[r.Head]++
		f.Map = append(f.Map, fit.Link{Run: r.ID, Node: nodes[r.Head], Port: ports[r.Head]})
	}
	return f
}

// threeHeads is a drill of 18 rows: heads A, B and C of six.
func threeHeads() *drill.Drill {
	d := &drill.Drill{
		Runproof: drill.Version, Name: "Three heads", Rows: drill.Rows{Count: 18, SpacingM: 0.25, RanksM: []float64{0, -0.6}},
		Products: []drill.Product{{ID: "seed", Material: "wheat", RateKgHa: 110, TKWG: 38}},
		Work:     drill.Work{SpeedMPS: 2}, Sensing: drill.Sensing{Products: []drill.ProductID{"seed"}},
	}
	for h, id := range []drill.HeadID{"A", "B", "C"} {
		head := drill.Head{ID: id, Product: "seed"}
		for o := range 6 {
			head.Rows = append(head.Rows, 6*h+o+1)
		}
		d.Heads = append(d.Heads, head)
	}
	return d
}

// scenario is a day at 40 particles a second and run.
func scenario(d *drill.Drill, hours float64, faults ...simulate.Fault) *simulate.Scenario {
	s := simulate.Defaults()
	s.Hours, s.Seed, s.Faults = hours, 11, faults
	for _, p := range d.Products {
		s.Flow = append(s.Flow, simulate.ProductFlow{Product: p.ID, PerRunS: 40})
	}
	return &s
}

// everyKind is one fault of each kind.
func everyKind() []simulate.Fault {
	return []simulate.Fault{
		{Kind: review.Blocked, Run: "A-2", AtS: 300, ForS: 120, FallS: 1, Left: 0.04},
		{Kind: review.Restricted, Run: "B-3", AtS: 520, ForS: 150, FallS: 1, Left: 0.5},
		{Kind: review.SensorLost, Run: "C-4", AtS: 760, ForS: 150},
		{Kind: review.Noisy, Run: "A-5", AtS: 980, ForS: 500},
		{Kind: review.HeadStarved, Head: "B", AtS: 1560, ForS: 100, FallS: 2, Left: 0.4},
		{Kind: review.ProductOut, Product: "seed", AtS: 1780, ForS: 100, FallS: 15, Left: 0.05},
		{Kind: review.NoData, Node: "N3", AtS: 2000, ForS: 90},
	}
}

// recorded is the whole log of a scenario.
func recorded(t testing.TB, s *simulate.Scenario, f *fit.Fit) *flowlog.Log {
	t.Helper()
	r, err := simulate.New(s, f)
	if err != nil {
		t.Fatal(err)
	}
	l, err := flowlog.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// replayed gives a log again, so many samples at a time.
type replayed struct {
	*flowlog.Log
	size, at int
}

func (r *replayed) Schema() flowlog.Schema { return r.Log.Schema }

func (r *replayed) Read(b *flowlog.Batch) error {
	b.Reset(len(r.Columns))
	n := min(r.size, r.Len()-r.at)
	if n == 0 {
		return io.EOF
	}
	b.TimeNS = append(b.TimeNS, r.TimeNS[r.at:r.at+n]...)
	for c := range r.Columns {
		b.Values[c] = append(b.Values[c], r.Values[c][r.at:r.at+n]...)
	}
	r.at += n
	return nil
}

func reviewed(t testing.TB, f *fit.Fit, l *flowlog.Log, size int) *review.Result {
	t.Helper()
	res, err := review.Run(f, &replayed{Log: l, size: size}, review.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// written is all that the review writes.
func written(t testing.TB, res *review.Result) string {
	t.Helper()
	var b bytes.Buffer
	if err := errors.Join(jsondoc.Write(&b, res.Document), jsondoc.Write(&b, res.Summary), res.WriteRuns(&b), res.WriteSkips(&b)); err != nil {
		t.Fatal(err)
	}
	return b.String()
}
