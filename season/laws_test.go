package season

import (
	"bytes"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"runproof/fit"
	"runproof/review"
)

// anySeason draws a season of up to eight days with events of every kind.
func anySeason(f *fit.Fit) *rapid.Generator[[]Day] {
	return rapid.Custom(func(t *rapid.T) []Day {
		var days []Day
		for n := range rapid.IntRange(1, 8).Draw(t, "days") {
			hours := float64(rapid.IntRange(1, 10).Draw(t, "hours"))
			var events []review.Event
			from := 0.0
			for range rapid.IntRange(0, 12).Draw(t, "events") {
				from += rapid.Float64Range(1, 900).Draw(t, "after")
				kind := rapid.SampledFrom(review.Kinds()).Draw(t, "kind")
				what := string(rapid.SampledFrom(f.Map).Draw(t, "run").Run)
				switch kind {
				case review.HeadStarved:
					what = what[:1]
				case review.NoData:
					what = rapid.SampledFrom(f.Nodes).Draw(t, "node").Serial
				}
				ev := at(kind, what, from, from+math.Round(rapid.Float64Range(1, 500).Draw(t, "long")))
				ev.Open = rapid.Bool().Draw(t, "open")
				events = append(events, ev)
			}
			d := day(f, n, hours, events...)
			for i := range d.Watched {
				d.Watched[i].Hours = hours * float64(rapid.IntRange(0, 4).Draw(t, "watched")) / 4
			}
			days = append(days, d)
		}
		return days
	})
}

func written(t interface{ Fatal(...any) }, d *Document) string {
	var b bytes.Buffer
	if err := d.Write(&b); err != nil {
		t.Fatal(err)
	}
	if err := d.WriteRuns(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func account(t *rapid.T, f *fit.Fit, days []Day, rs ...Repair) *Document {
	doc, err := Of(f, days, rs)
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

// The order in which recordings and repairs are named does not matter, what is
// given is not changed, and the same gives the same bytes; what is written is
// read back.
func TestOrderDoesNotMatter(t *testing.T) {
	f := rig(2, 3)
	rapid.Check(t, func(t *rapid.T) {
		days := anySeason(f).Draw(t, "season")
		rs := []Repair{{Run: "A-1", Date: "2026-05-03"}, {Head: "B", Date: "2026-05-04"}}
		want := account(t, f, days, rs...)
		text := written(t, want)
		mixed := rapid.Permutation(days).Draw(t, "order")
		slices.Reverse(rs)
		if got := written(t, account(t, f, mixed, rs...)); got != text {
			t.Fatalf("another order, another season:\n%s\n%s", got, text)
		}
		if got := written(t, account(t, f, days, rs...)); got != text {
			t.Fatal("the second time it is another season")
		}
		var b bytes.Buffer
		if err := want.Write(&b); err != nil {
			t.Fatal(err)
		}
		back, err := Read(&b, "season.json")
		if err != nil || !reflect.DeepEqual(back.Days, want.Days) || !reflect.DeepEqual(back.Offenders, want.Offenders) {
			t.Fatalf("read back: %v", err)
		}
	})
}

// A head's troubles are those of its runs and its own, a product's those of its
// heads, nodes and its own; and every trouble is one of the drill's.
func TestSums(t *testing.T) {
	f := rig(3, 3)
	rapid.Check(t, func(t *rapid.T) {
		doc := account(t, f, anySeason(f).Draw(t, "season"))
		total := func(lines []Line, trouble Trouble, keep func(Line) bool) (n int, s float64) {
			for _, l := range lines {
				if l.Trouble == trouble && keep(l) {
					n, s = n+l.Count, s+l.LastedS
				}
			}
			return n, s
		}
		all := func(Line) bool { return true }
		events := map[Trouble]int{}
		for _, d := range doc.Days {
			for _, ev := range d.Events {
				if !ev.Again {
					events[TroubleOf(ev.Kind)]++
				}
			}
		}
		for _, trouble := range Troubles() {
			drill, lasted := total(doc.Whole, trouble, all)
			if drill != events[trouble] {
				t.Fatalf("%s: the drill has %d, its days %d", trouble, drill, events[trouble])
			}
			product, _ := total(doc.Products, trouble, all)
			if product != drill {
				t.Fatalf("%s: the products have %d, the drill %d", trouble, product, drill)
			}
			if trouble == Flow {
				heads, s := total(doc.Heads, Flow, all)
				if runs, _ := total(doc.Runs, Flow, all); heads != drill || runs != drill || math.Abs(s-lasted) > 1e-6*s+0.5 {
					t.Fatalf("flow: the heads have %d for %g s, the runs %d, the drill %d for %g s", heads, s, runs, drill, lasted)
				}
			}
			if trouble == Sensing {
				if nodes, _ := total(doc.Nodes, Sensing, all); nodes != drill {
					t.Fatalf("sensing: the nodes have %d, the drill %d", nodes, drill)
				}
			}
		}
		for _, lines := range [][]Line{doc.Runs, doc.Heads, doc.Nodes, doc.Whole} {
			for _, l := range lines {
				sane(t, l)
			}
		}
	})
}

// sane holds a line against what must be so of any.
func sane(t *rapid.T, l Line) {
	byDay := 0
	for _, n := range l.ByDay {
		byDay += n
	}
	if byDay != l.Count || l.Count > l.Events || l.Days > l.Events || l.Events > 0 && l.Days == 0 {
		t.Fatalf("%+v", l)
	}
	for _, r := range []Rate{l.PerHour, l.PerHa} {
		if !(r.Low <= r.Value && r.Value <= r.High) {
			t.Fatalf("%+v", r)
		}
	}
	if tr := l.Trend; tr != nil && (!(tr.P >= 0 && tr.P <= 1) || tr.Adjusted < tr.P-1e-6 || tr.Adjusted > 1 || math.IsNaN(tr.Z)) {
		t.Fatalf("%+v", tr)
	}
}

// A season run backwards has the opposite trend and the same p.
func TestTrendTurnsRound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		days := rapid.IntRange(4, 9).Draw(t, "days")
		n, hours, at := make([]int, days), make([]float64, days), make([]int, days)
		for d := range n {
			n[d], hours[d] = rapid.IntRange(0, 3).Draw(t, "n"), float64(rapid.IntRange(1, 9).Draw(t, "hours"))
			at[d] = (2*d + 1) * 500 / days
		}
		z, p, exact := scoreTest(n, parts(hours), at)
		for d := range at {
			at[d] = 1000 - at[d]
		}
		slices.Reverse(n)
		slices.Reverse(hours)
		slices.Reverse(at)
		z2, p2, exact2 := scoreTest(n, parts(hours), at)
		if exact != exact2 || math.Abs(z+z2) > 1e-9 || math.Abs(p-p2) > 1e-9 {
			t.Fatalf("%g and %g, p %g and %g", z, z2, p, p2)
		}
	})
}

// Holm's correction keeps the order, never lowers a p and never passes 1.
func TestHolmLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ps := rapid.SliceOf(rapid.Float64Range(0, 1)).Draw(t, "p")
		out := holm(ps)
		for i := range ps {
			if out[i] < ps[i] || out[i] > 1 || out[i] > float64(len(ps))*ps[i]+1e-12 && out[i] > holmWorst(ps, i) {
				t.Fatalf("%v: %v", ps, out)
			}
			for k := range ps {
				if ps[i] < ps[k] && out[i] > out[k] {
					t.Fatalf("order: %v: %v", ps, out)
				}
			}
		}
	})
}

// holmWorst is the most that a lesser p may have lifted p i to.
func holmWorst(ps []float64, i int) float64 {
	worst := 0.0
	for _, p := range ps {
		if p <= ps[i] {
			worst = max(worst, float64(len(ps))*p)
		}
	}
	return worst
}

// Without events nothing stands out and nothing is known but that it is rare.
func TestSoundSeason(t *testing.T) {
	f := rig(2, 6)
	var days []Day
	for n := range 6 {
		days = append(days, day(f, n, 8))
	}
	doc := made(t, f, days, Repair{Run: "A-1", Date: "2026-05-03", What: "for luck"})
	if doc.Attention() || doc.Tested != 0 || len(doc.Repairs) != 1 || !strings.Contains(doc.Repairs[0].Says, "no trouble before") {
		t.Errorf("%+v", doc)
	}
	// Garwood's upper end for none is -ln 0.025 = 3.689: in 48 h
	if r := lineOf(t, doc.Runs, "A-1", Flow).PerHour; r.Value != 0 || r.Low != 0 || !near(r.High, 3.688879454/48, 1e-5) {
		t.Errorf("%+v", r)
	}
}

func FuzzReadRepairs(f *testing.F) {
	rig := rig(2, 3)
	f.Add([]byte("runproof: repairs/1\nrepairs:\n- {run: A-2, date: 2026-05-14, what: new boot}\n- {node: N1, date: 2026-05-20T12:30:00Z}\n"))
	f.Add([]byte("runproof: repairs/1\nrepairs: [{head: A, date: x}]\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		rs, err := ReadRepairs(bytes.NewReader(text), "repairs.yaml", rig)
		if err == nil {
			for i := range rs {
				if !rs[i].place() {
					t.Errorf("%+v was taken", rs[i])
				}
			}
		}
	})
}

// FuzzDays: whatever a day's document says, a season is made or refused.
func FuzzDays(f *testing.F) {
	rig := rig(2, 3)
	var b bytes.Buffer
	d := day(rig, 0, 8, at(review.Blocked, "A-1", 10, 20), at(review.NoData, "N2", 30, 40))
	if err := d.Write(&b); err != nil {
		f.Fatal(err)
	}
	f.Add(b.Bytes())
	f.Add([]byte(`{"runproof":"seasonday/1","start":"2026-05-01T08:00:00Z","end":"2026-05-01T09:00:00Z","work_hours":1e300}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		d, err := ReadDay(bytes.NewReader(text), "day.json")
		if err != nil {
			return
		}
		if doc, err := Of(rig, []Day{*d, day(rig, 3, 8)}, []Repair{{Run: "A-1", Date: "2026-05-03"}}); err == nil {
			if err := doc.Write(&bytes.Buffer{}); err != nil {
				t.Error(err)
			}
		}
	})
}
