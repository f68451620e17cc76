package replay

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"runproof/alarm"
	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/review"
	"runproof/simulate"
)

// twin plays one rule over a whole log in memory, in another way: it marks the
// samples, cuts them into rows, and holds each row against each event. It
// shares nothing with the package but the log's own types.
type twin struct {
	falseAlarms int             // in settled work
	starting    int             // those whose lows began less than 9 s after the command to sow
	afterM      map[int]float64 // by number of the event; absent = never
	alarms      map[int]int
}

func playTwin(f *fit.Fit, l *flowlog.Log, events []review.Event, shares map[drill.RunID]float64, floor map[drill.ProductID]float64, hold map[drill.ProductID]int) twin {
	w := twin{afterM: map[int]float64{}, alarms: map[int]int{}}
	firstAt := map[int]int{}
	n, dt := l.Len(), flowlog.IntervalNS(l.TimeNS)
	ground, gap, dist := twinDrive(l, dt)
	column := func(name string) []float64 {
		for c := range l.Columns {
			if l.Columns[c].Name == name {
				return l.Values[c]
			}
		}
		return nil
	}
	for _, run := range f.Drill.Runs() {
		port, sensed := f.PortOf(run.ID)
		x := column(port.String())
		if !sensed || run.Closed || x == nil || shares[run.ID] == 0 {
			continue
		}
		total := make([]float64, n)
		for _, s := range f.Drill.Runs() {
			p, ok := f.PortOf(s.ID)
			if s.Head != run.Head || s.Closed || !ok || shares[s.ID] == 0 {
				continue
			}
			for i, v := range column(p.String()) {
				if !math.IsNaN(v) {
					total[i] += v
				}
			}
		}
		shut := make([]bool, n)
		for _, sec := range f.Drill.Sections {
			open := column("sec:" + string(sec.ID))
			if !slices.Contains(f.Drill.SectionRuns(sec), run.ID) {
				continue
			}
			for i, v := range open {
				shut[i] = shut[i] || v == 0
			}
		}
		low, since := make([]bool, n), make([]int64, n)
		for i := range low {
			switch {
			case i > 0 && ground[i-1] && !shut[i-1]:
				since[i] = since[i-1]
			default:
				since[i] = l.TimeNS[i] - dt
			}
			low[i] = ground[i] && !shut[i] && x[i] < floor[run.Product]*shares[run.ID]*total[i]-1e-9
		}
		d := hold[run.Product]
		for from := 0; from < n; {
			to := from
			for to < n && low[to] && (to == from || !gap[to]) {
				to++
			}
			if to-from >= d {
				w.row(f, l, events, run, from, from+d-1, to-1, dt, dist, firstAt, l.TimeNS[from]-dt-since[from] < 9e9)
			}
			from = max(to, from+1)
		}
	}
	return w
}

// row holds one row of lows, which sounded at sample at, against the events.
func (w *twin) row(f *fit.Fit, l *flowlog.Log, events []review.Event, run drill.Run, from, at, last int, dt int64, dist []float64, firstAt map[int]int, starting bool) {
	port, _ := f.PortOf(run.ID)
	found := false
	for _, ev := range events {
		mine := ev.Run == run.ID || ev.Run == "" && (ev.Kind == review.NoData && ev.Node == port.Node || ev.Kind == review.HeadStarved && ev.Head == run.Head || ev.Kind == review.ProductOut && ev.Product == run.Product)
		start, _, _ := flowlog.ParseTime(ev.Start)
		end, _, _ := flowlog.ParseTime(ev.End)
		if !mine || l.TimeNS[from]-dt > end+3e9 || l.TimeNS[last] < start-3e9 {
			continue
		}
		found = true
		w.alarms[ev.ID]++
		m := 0.0
		if t := l.TimeNS[at]; t > start && t >= start-3e9 {
			i, _ := slices.BinarySearch(l.TimeNS, start)
			before := 0.0
			if i > 0 {
				before = dist[i-1] + (dist[i]-dist[i-1])*float64(start-l.TimeNS[i-1])/float64(l.TimeNS[i]-l.TimeNS[i-1])
			}
			m = max(0, dist[at]-before)
		}
		if was, ok := firstAt[ev.ID]; !ok || at < was {
			firstAt[ev.ID], w.afterM[ev.ID] = at, m
		}
	}
	switch {
	case found:
	case starting:
		w.starting++
	default:
		w.falseAlarms++
	}
}

// twinDrive is work state, gaps and travel of a log that has work and speed.
func twinDrive(l *flowlog.Log, dt int64) (ground, gap []bool, dist []float64) {
	speed, work := l.Column(flowlog.Speed), l.Column(flowlog.Work)
	sum := 0.0
	for i, t := range l.TimeNS {
		step := dt
		lost := i > 0 && float64(t-l.TimeNS[i-1]) > 1.5*float64(dt)
		if i > 0 && !lost {
			step = t - l.TimeNS[i-1]
		}
		if work[i] == 1 {
			sum += speed[i] * float64(step) / 1e9
		}
		ground, gap, dist = append(ground, work[i] == 1), append(gap, lost), append(dist, sum)
	}
	return ground, gap, dist
}

// busy is a drill of two products, five heads, a closed run and a section, and
// a day in which much goes wrong and the recorder loses values and lines.
func busy(t testing.TB, seed uint64, hours float64) (*fit.Fit, *flowlog.Log, *simulate.Truth) {
	t.Helper()
	d := drill.Drill{
		Runproof: drill.Version, Name: "Busy", Rows: drill.Rows{Count: 18, SpacingM: 0.25, RanksM: []float64{0}},
		Products: []drill.Product{{ID: "seed", Material: "wheat", RateKgHa: 110, TKWG: 38}, {ID: "fert", Material: "urea", RateKgHa: 90, TKWG: 20}},
		Work:     drill.Work{SpeedMPS: 2}, Sensing: drill.Sensing{Products: []drill.ProductID{"seed", "fert"}},
		Sections: []drill.Section{{ID: "S1", Heads: []drill.HeadID{"A"}}}, Closed: []drill.RunID{"B-3"},
	}
	f := &fit.Fit{Runproof: fit.Version, Revision: 1}
	for h, id := range []drill.HeadID{"A", "B", "C", "F", "G"} {
		head := drill.Head{ID: id, Product: "seed"}
		size, from := 6, 6*h
		if h >= 3 {
			head.Product, size, from = "fert", 9, 9*(h-3)
		}
		for o := range size {
			head.Rows = append(head.Rows, from+o+1)
			f.Map = append(f.Map, fit.Link{Run: drill.NewRunID(id, o+1), Node: fit.NumberedSerials(5)[h], Port: o + 1})
		}
		f.Nodes = append(f.Nodes, fit.Node{Serial: fit.NumberedSerials(5)[h], Ports: 12, Head: id})
		d.Heads = append(d.Heads, head)
	}
	f.Drill = d
	s := simulate.Defaults()
	s.Hours, s.Seed, s.IntervalS = hours, seed, 0.5
	s.Flow = []simulate.ProductFlow{{Product: "seed", PerRunS: 24}, {Product: "fert", PerRunS: 16}}
	s.Recorder.MissingShare, s.Recorder.LostLines = 0.01, 0.002
	s.Sections = []simulate.SectionSpell{{Section: "S1", AtS: 500, ForS: 60}}
	s.Faults = []simulate.Fault{
		{Kind: review.Blocked, Run: "B-2", AtS: 200, ForS: 100, FallS: 1, Left: 0.03},
		{Kind: review.Restricted, Run: "C-3", AtS: 350, ForS: 150, FallS: 1, Left: 0.4},
		{Kind: review.SensorLost, Run: "A-4", AtS: 560, ForS: 60},
		{Kind: review.HeadStarved, Head: "G", AtS: 700, ForS: 80, FallS: 2, Left: 0.4},
		{Kind: review.NoData, Node: "N2", AtS: 850, ForS: 40},
		{Kind: review.Blocked, Run: "F-5", AtS: 900, ForS: 120, FallS: 20, Left: 0.05},
	}
	rec, err := simulate.New(&s, f)
	if err != nil {
		t.Fatal(err)
	}
	l, err := flowlog.ReadAll(rec)
	if err != nil {
		t.Fatal(err)
	}
	return f, l, rec.Truth()
}

// told are the events of a day as they were made.
func told(truth *simulate.Truth) (events []review.Event) {
	for i, e := range truth.Events {
		events = append(events, review.Event{ID: i + 1, Run: e.Run, Head: e.Head, Product: e.Product, Node: e.Node, Kind: e.Kind, Start: e.Start, End: e.End, Lost: e.Lost, Metres: e.Metres})
	}
	return events
}

func trueShares(truth *simulate.Truth) map[drill.RunID]float64 {
	s := map[drill.RunID]float64{}
	for _, r := range truth.Runs {
		s[r.Run] = r.Share
	}
	return s
}

// TestAgainstTwin holds replay and its whole grid to the slow twin, on days
// with events of truth and on one without any event.
func TestAgainstTwin(t *testing.T) {
	for seed := range uint64(3) {
		f, l, truth := busy(t, seed+1, 0.3)
		events := told(truth)
		if seed == 2 {
			events = nil
		}
		r := evenRules(f, 0.45, 2, 0.5)
		r.Rules[1].Floor, r.Rules[1].HoldS = 0.6, 3
		r.Shares = trueShares(truth)
		s := sessionOf(t, f, l, events, r, 1000)
		w := playTwin(f, l, events, r.Shares, map[drill.ProductID]float64{"seed": 0.45, "fert": 0.6}, map[drill.ProductID]int{"seed": 4, "fert": 6})
		o := s.document().Rules[0]
		if o.False.Count != w.falseAlarms || o.False.Starting != w.starting {
			t.Errorf("seed %d: %d and %d false alarms, twin %d and %d", seed, o.False.Count, o.False.Starting, w.falseAlarms, w.starting)
		}
		againstProducts(t, o, w, events)
		for _, c := range o.Events {
			m, ok := w.afterM[c.Event]
			if ok != (c.AfterM != nil) || c.Alarms != w.alarms[c.Event] || ok && math.Abs(m-*c.AfterM) > 0.006 {
				t.Errorf("seed %d, event %d: %d alarms, %v; twin %d, %v %g", seed, c.Event, c.Alarms, c.AfterM, w.alarms[c.Event], ok, m)
			}
		}
		againstGrid(t, s, f, l, events, r.Shares)
	}
}

// againstProducts holds the figures of each product to the twin.
func againstProducts(t *testing.T, o Outcome, w twin, events []review.Event) {
	t.Helper()
	rang := 0
	for _, k := range o.Products {
		caught, lost, missed, taken := 0, 0, 0.0, 0.0
		for _, ev := range events {
			if ev.Product != k.Product || ev.Run == "" || !ev.Kind.LosesSeed() {
				continue
			}
			taken += ev.Metres
			if m, ok := w.afterM[ev.ID]; ok {
				caught, missed = caught+1, missed+min(m, ev.Metres)
			} else {
				lost, missed = lost+1, missed+ev.Metres
			}
		}
		if k.Caught != caught || k.Missed != lost || math.Abs(k.MissedM-missed) > 0.02 || math.Abs(k.TakenM-taken) > 0.02 {
			t.Errorf("%+v; twin %d caught, %d not, %g m of %g m", k, caught, lost, missed, taken)
		}
		rang += k.FalseCount
	}
	if rang != o.False.Count {
		t.Errorf("the products rang %d times, the rules %d", rang, o.False.Count)
	}
}

// TestStrangers: events of another day are told.
func TestStrangers(t *testing.T) {
	f := small(4)
	const sound = "444444444444"
	l := strip(f, "", "", sound, sound, sound, sound)
	for at, want := range map[float64]bool{104: false, 4000: true, 2: true} {
		d := played(t, f, l, evenRules(f, 0.5, 3, 1), event(1, "A-1", review.Blocked, at, at+3, 6))
		told := slices.ContainsFunc(d.Warnings, func(w string) bool { return strings.Contains(w, "another recording") })
		if told != want {
			t.Errorf("an event at %g s: told %v", at, told)
		}
	}
}

// againstGrid holds every fifth point of the grid to the twin.
func againstGrid(t *testing.T, s *session, f *fit.Fit, l *flowlog.Log, events []review.Event, shares map[drill.RunID]float64) {
	t.Helper()
	sounding := 0
	for _, id := range []drill.ProductID{"seed", "fert"} {
		points := s.grid.points(id, func(int) float64 { return 0 })
		for i := 0; i < len(points); i += 7 {
			p := points[i]
			if p.samples > 14 {
				continue
			}
			w := playTwin(f, l, events, shares, map[drill.ProductID]float64{id: p.Floor, other(id): 0}, map[drill.ProductID]int{id: p.samples, other(id): 1})
			caught, missed := 0, 0.0
			for _, ev := range events {
				if ev.Product != id || ev.Run == "" || !ev.Kind.LosesSeed() {
					continue
				}
				if m, ok := w.afterM[ev.ID]; ok {
					caught, missed = caught+1, missed+min(m, ev.Metres)
				} else {
					missed += ev.Metres
				}
			}
			if p.FalseCount != w.falseAlarms || p.Caught != caught || math.Abs(p.MissedM-missed) > 1e-6 {
				t.Errorf("%s %.2f x %d: %d false, %d caught, %g m; twin %d, %d, %g", id, p.Floor, p.samples, p.FalseCount, p.Caught, p.MissedM, w.falseAlarms, caught, missed)
			}
			sounding += w.falseAlarms + caught
		}
	}
	if sounding < 50 {
		t.Errorf("only %d alarms on the grid: the test says little", sounding)
	}
}

func other(id drill.ProductID) drill.ProductID {
	if id == "seed" {
		return "fert"
	}
	return "seed"
}

// sessionOf is a replay just before its document is made.
func sessionOf(t testing.TB, f *fit.Fit, l *flowlog.Log, events []review.Event, r *alarm.Rules, size int) *session {
	t.Helper()
	bind := flowlog.Bind(l.Schema, f)
	s := &session{fit: f, bind: bind, layout: layOut(f, bind), books: []Book{{"rules.json", r}}, clock: l.Clock}
	var err error
	if s.targets, err = aim(events, s.layout, s.clock); err == nil {
		err = s.read(l.NewReader(size))
	}
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestBatchesDoNotMatter: however the reader cuts the log, the document is the
// same.
func TestBatchesDoNotMatter(t *testing.T) {
	f, l, truth := busy(t, 4, 0.3)
	r := evenRules(f, 0.5, 2, 0.5)
	r.Shares = trueShares(truth)
	want := sessionOf(t, f, l, told(truth), r, 100000).document()
	for _, size := range []int{1, 37, 4096} {
		if got := sessionOf(t, f, l, told(truth), r, size).document(); !reflect.DeepEqual(got, want) {
			t.Errorf("batches of %d give another document", size)
		}
	}
}

// TestBestIsBest searches all pairs of a floor and hold by brute force.
func TestBestIsBest(t *testing.T) {
	f, l, truth := busy(t, 5, 0.3)
	r := evenRules(f, 0.5, 2, 0.5)
	r.Shares = trueShares(truth)
	r.Allowed = 100 // in 0.3 h about two or three
	s := sessionOf(t, f, l, told(truth), r, 1000)
	got := s.document().Best
	least := math.Inf(1)
	hold := func(int) float64 { return 0 }
	seed, fert := s.grid.points("seed", hold), s.grid.points("fert", hold)
	for _, a := range seed {
		for _, b := range fert {
			if a.FalseCount+b.FalseCount <= got.MostFalse {
				least = min(least, a.MissedM+b.MissedM)
			}
		}
	}
	if len(got.Products) != 2 || math.Abs(got.MissedM-least) > 0.01 || got.FalseCount > got.MostFalse || got.MostFalse < 1 {
		t.Errorf("best %+v; by brute force %g m", got, least)
	}
}
