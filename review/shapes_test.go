package review_test

import (
	"fmt"
	"testing"

	"runproof/drill"
	"runproof/fit"
	"runproof/review"
	"runproof/simulate"
)

// evenHeads is threeHeads with another number of heads and runs.
func evenHeads(heads, runs int) *drill.Drill {
	d := threeHeads()
	d.Rows.Count, d.Heads = heads*runs, nil
	for h := range heads {
		head := drill.Head{ID: drill.HeadID(rune('A' + h)), Product: "seed"}
		for o := range runs {
			head.Rows = append(head.Rows, h*runs+o+1)
		}
		d.Heads = append(d.Heads, head)
	}
	return d
}

// TestShapes: faults in awkward company, judged together by the bars
// with the bounds that TestHeldOut derives. A fault that is there from the start
// of the log is dated where product first flows.
func TestShapes(t *testing.T) {
	blocked := func(r drill.RunID, atS, forS float64) simulate.Fault {
		return simulate.Fault{Kind: review.Blocked, Run: r, AtS: atS, ForS: forS, FallS: 1, Left: 0.03}
	}
	half := func(r drill.RunID, atS, forS float64) simulate.Fault {
		return simulate.Fault{Kind: review.Restricted, Run: r, AtS: atS, ForS: forS, FallS: 1, Left: 0.5}
	}
	blind := func(r drill.RunID, atS, forS float64) simulate.Fault {
		return simulate.Fault{Kind: review.SensorLost, Run: r, AtS: atS, ForS: forS}
	}
	out := simulate.Fault{Kind: review.ProductOut, Product: "seed", AtS: 1600, ForS: 120, FallS: 20, Left: 0.05}
	few := []simulate.Fault{blocked("A-2", 300, 120), blind("A-1", 700, 120), half("A-2", 1100, 150), out}
	rates := func(s *simulate.Scenario) {
		s.Rates = []simulate.RateStep{{Product: "seed", AtS: 500, Factor: 0.5}, {Product: "seed", AtS: 900, Factor: 1.5}, {Product: "seed", AtS: 1500, Factor: 0.5}}
	}
	var sum heldScore
	for _, c := range []struct {
		name   string
		drill  *drill.Drill
		set    func(*simulate.Scenario)
		faults []simulate.Fault
	}{
		{"one head of 8", evenHeads(1, 8), nil, few},
		{"heads of 2", evenHeads(6, 2), nil, few},
		{"heads of 3", evenHeads(4, 3), nil, few},
		{"four at once on one head", threeHeads(), nil, []simulate.Fault{blocked("A-1", 600, 300), blocked("A-2", 620, 300), blind("A-4", 700, 200), half("A-5", 710, 100)}},
		{"from the start, to the end", threeHeads(), nil, []simulate.Fault{blocked("A-1", 0, 200), blind("B-1", 0, 300), blind("C-5", 2060, 100), blocked("C-1", 2100, 60)}},
		{"rates halved and tripled", threeHeads(), rates, []simulate.Fault{blocked("A-1", 505, 100), half("B-1", 895, 100)}},
		{"short passes", threeHeads(), func(s *simulate.Scenario) { s.Field.PassM = 90 }, everyKind()[:3]},
		{"8 particles a second", threeHeads(), func(s *simulate.Scenario) { s.Flow[0].PerRunS = 8 }, []simulate.Fault{blocked("A-1", 500, 100), half("B-1", 895, 200), blind("C-1", 1300, 200)}},
		{"300 particles a second", threeHeads(), func(s *simulate.Scenario) { s.Flow[0].PerRunS = 300 }, []simulate.Fault{blocked("A-1", 500, 100), half("B-1", 895, 200), blind("C-1", 1300, 200)}},
		{"every 0.1 s", threeHeads(), func(s *simulate.Scenario) { s.IntervalS = 0.1 }, everyKind()[:6]},
		{"every second", threeHeads(), func(s *simulate.Scenario) { s.IntervalS = 1 }, everyKind()[:6]},
		{"every 2 s", threeHeads(), func(s *simulate.Scenario) { s.IntervalS = 2 }, everyKind()[:6]},
	} {
		f, s := fitOf(c.drill), scenario(c.drill, 0.6, c.faults...)
		if c.set != nil {
			c.set(s)
		}
		sum.simulated(t, c.name, f, s)
	}
	sum.judge(t)
}

// simulated scores the review of a simulated day.
func (sc *heldScore) simulated(t *testing.T, name string, f *fit.Fit, s *simulate.Scenario) {
	t.Helper()
	l := recorded(t, s, f)
	truth := heldTruth{Form: "seconds", DT: s.IntervalS}
	res := reviewed(t, f, l, 2048)
	for i := range res.Events {
		ev := &res.Events[i]
		ev.Start = fmt.Sprint(float64(ev.StartNS-l.TimeNS[0])/1e9 + s.IntervalS)
		ev.End = fmt.Sprint(float64(ev.EndNS-l.TimeNS[0])/1e9 + s.IntervalS)
	}
	used := map[int]bool{}
	sc.n, sc.hours = sc.n+len(s.Faults), sc.hours+s.Hours
	for _, ft := range s.Faults {
		sc.fault(t, name, truth, heldFault{
			Kind: ft.Kind, Run: string(ft.Run), Head: string(ft.Head), Product: string(ft.Product), Node: ft.Node,
			S: max(ft.AtS, s.Law.StartLagS), E: ft.AtS + ft.ForS,
		}, res.Events, used)
	}
	for _, ev := range res.Events {
		if !used[ev.ID] {
			sc.false++
			t.Logf("%s: false %s of %s%s at %s s", name, ev.Kind, ev.Run, ev.Head, ev.Start)
		}
	}
}
