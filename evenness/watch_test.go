package evenness

import (
	"bytes"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"runproof/drill"
	"runproof/flowlog"
)

// slowCells is the twin of steady.add: one sample after the other, one run after
// the other, as the comment of steady says.
func slowCells(w *world, l *flowlog.Log) []cell {
	var out []cell
	var now *cell
	var second []float64
	inS := 0.0
	for i := range l.TimeNS {
		t := l.TimeNS[i]
		if i == 0 || float64(t-l.TimeNS[i-1]) > holeS*1e9 || l.Values[len(w.part)][i] == 0 {
			now, second, inS = &cell{startNS: t, counts: make([]float64, len(w.part))}, nil, 1
			continue
		}
		dt := float64(t-l.TimeNS[i-1]) / 1e9
		if inS >= 1-1e-9 {
			second, inS = append(second, 0), 0
		}
		for k := range w.part {
			v := l.Values[k][i]
			now.counts[k] += v
			if v == v {
				now.total += v
				second[len(second)-1] += v
			}
		}
		inS += dt
		if now.seconds += dt; now.seconds >= cellS-1e-9 && inS >= 1-1e-9 {
			now.endNS = t
			if now.total > 0 && even(second) {
				out = append(out, *now)
			}
			now, second, inS = &cell{startNS: t, counts: make([]float64, len(w.part))}, nil, 1
		}
	}
	return out
}

// However the reader cuts its batches, the cells are those of the slow twin.
func TestCellsAgainstSlowTwin(t *testing.T) {
	w := newWorld(11, 2, 0.05)
	log := w.day(4, 75)
	for i := range log.Values[3] {
		if i%97 == 0 {
			log.Values[3][i] = math.NaN()
		}
	}
	for i := 200; i < log.Len(); i++ { // the recorder paused
		log.TimeNS[i] += 5e9
	}
	want := slowCells(w, log)
	if len(want) < 10 {
		t.Fatalf("%d cells", len(want))
	}
	for _, batch := range []int{1, 7, 100, 10000} {
		r := log.NewReader(batch)
		watch := NewWatch(w.f, r.Schema())
		var b flowlog.Batch
		for r.Read(&b) == nil {
			watch.Add(&b)
		}
		got := watch.all["seed"].cells
		if len(got) != len(want) {
			t.Fatalf("batches of %d: %d cells, want %d", batch, len(got), len(want))
		}
		for i := range got {
			// counts are whole numbers: their sums are exact in any order
			same := slices.EqualFunc(got[i].counts, want[i].counts, func(a, b float64) bool { return a == b || a != a && b != b })
			if got[i].startNS != want[i].startNS || got[i].endNS != want[i].endNS || !same {
				t.Fatalf("batches of %d, cell %d:\n%+v\n%+v", batch, i, got[i], want[i])
			}
		}
	}
}

// However long the log, only so many cells are kept; what they hold together is
// the same.
func TestCellsAreBounded(t *testing.T) {
	w := newWorld(12, 1, 0.05)
	log := w.day(12, 200)
	gather := func(most int) *steady {
		r := log.NewReader(100)
		st := newSteady(w.f, r.Schema(), "seed")
		st.most = most
		var b flowlog.Batch
		for r.Read(&b) == nil {
			st.add(&b)
			if most > 0 && len(st.cells) > most {
				t.Fatalf("%d cells", len(st.cells))
			}
		}
		return st
	}
	sum := func(st *steady) (total float64) {
		for i, c := range st.cells {
			total += c.seconds*1e-3 + c.counts[0] + 2*c.counts[11] + c.total
			if i > 0 && c.startNS < st.cells[i-1].endNS || c.endNS <= c.startNS {
				t.Fatalf("cell %d runs from %d to %d", i, c.startNS, c.endNS)
			}
		}
		return total
	}
	all := gather(0)
	for _, most := range []int{4, 8, 32, 1000} {
		if got := gather(most); math.Abs(sum(got)-sum(all)) > 1e-6 || most < 200 && len(got.cells) < most/2 {
			t.Errorf("at most %d cells: %d of them hold %.6f, all %d hold %.6f", most, len(got.cells), sum(got), len(all.cells), sum(all))
		}
	}
}

// Work in which a run was at fault is left out: the day then says what a day
// without the fault says of the runs, within chance, and a run at fault for a
// fifth of the work or more is left out itself.
func TestWorkAtFaultIsLeftOut(t *testing.T) {
	w := newWorld(31, 3, 0.05)
	_, g, err := w.gains()
	if err != nil {
		t.Fatal(err)
	}
	log := w.empty()
	var faults []Fault
	for pass := range 10 {
		usual := w.part[4]
		if pass == 3 { // A-5 blocked for one pass of ten
			w.part[4] = 0
			faults = append(faults, Fault{Runs: []drill.RunID{"A-5"}, StartNS: log.TimeNS[log.Len()-1], Lost: 1})
		}
		w.record(log, 150, 1, 1)
		if pass == 3 {
			faults[0].EndNS = log.TimeNS[log.Len()-1]
		}
		w.part[4] = usual
		w.record(log, 8, 0, 0)
	}
	judge := func(f []Fault) ProductField {
		e, err := Field(w.f, log.NewReader(512), FieldOptions{Gains: g, Faults: f})
		if err != nil {
			t.Fatal(err)
		}
		return e.Products[0]
	}
	with, without := judge(nil), judge(faults)
	deviation := func(p ProductField) float64 { return p.Runs[4].Deviation.Value }
	truth := w.part[4]/meanOf(w.part) - 1
	if low := deviation(with); low > truth-0.07 {
		t.Errorf("a tenth of the work blocked: %.3f, truth %.3f", low, truth)
	}
	d := without.Runs[4].Deviation
	if truth < *d.Low-0.01 || truth > *d.High+0.01 || without.FaultS < 120 || without.FaultS > 150 || len(without.Faulty) != 0 {
		t.Errorf("%+v, truth %.3f, %g s left out", d, truth, without.FaultS)
	}
	if s := strings.Join(without.Says, " "); !strings.Contains(s, "3 minutes of work in which something was wrong are left out") {
		t.Error(s)
	}
	long := []Fault{{Runs: []drill.RunID{"A-5"}, StartNS: 0, EndNS: log.TimeNS[log.Len()/2]}}
	p := judge(long)
	if !reflect.DeepEqual(p.Faulty, []drill.RunID{"A-5"}) || len(p.Runs) != 35 || p.FaultS != 0 {
		t.Errorf("%v left out, %d runs, %g s", p.Faulty, len(p.Runs), p.FaultS)
	}
	all := []Fault{{Runs: drillRuns(&w.f.Drill), StartNS: 0, EndNS: log.TimeNS[log.Len()-1]}}
	if p := judge(all); p.CV != nil || !strings.Contains(p.WhyNo, "0 s of steady work") {
		t.Errorf("%+v", p.WhyNo)
	}
}

func drillRuns(d *drill.Drill) (ids []drill.RunID) {
	for _, r := range d.Runs() {
		ids = append(ids, r.ID)
	}
	return ids
}

// By hand, for 22 lb P2O5/ac on a head of 4: F-2 loses all, so each of the other
// three gets 4/3; while F-3 loses half as well, the other two get 1 + 1.5/2 =
// 1.75; 38.5 lb are past 25 (Canola Council of Canada, 2011).
func TestBlockedRunsOfTheDay(t *testing.T) {
	d := seedPlaced(22, 4)
	opt := FieldOptions{SafeRates: DefaultSafeRates(), OpenerSpreadM: 0.0254}
	fault := func(run string, from, to int64, lost float64) Fault {
		return Fault{Runs: []drill.RunID{drill.RunID(run)}, StartNS: from, EndNS: to, Start: "s" + run, Lost: lost}
	}
	opt.Faults = []Fault{fault("F-2", 100, 200, 1), fault("A-1", 0, 900, 1), fault("F-4", 0, 50, 0)}
	s := blockedSiblings(d, opt)
	if len(s) != 1 || !reflect.DeepEqual(s[0].Blocked, []drill.RunID{"F-2"}) || s[0].Since != "sF-2" || s[0].Rest != Past {
		t.Fatalf("%+v", s)
	}
	near(t, "one blocked", *s[0].Rise, 4./3, 1e-6)
	if !strings.HasPrefix(s[0].Words, "F-2 lost 100 % of its flow from sF-2 on: each of the other 3 of head F got 33.3 % more: 63 kg/ha in place of 47 kg/ha of fert. In P2O5: 24.7 kg/ha as set, 32.9 kg/ha while blocked") {
		t.Error(s[0].Words)
	}
	opt.Faults = append(opt.Faults, fault("F-3", 150, 300, 0.5), fault("F-2", 140, 160, 0.3))
	s = blockedSiblings(d, opt)
	near(t, "two short", *s[0].Rise, 1.75, 1e-6)
	near(t, "phosphate", *s[0].RestNut, 1.75*22*1.12085115619, 1e-6)
	if s[0].Since != "sF-3" || len(s[0].Blocked) != 2 {
		t.Errorf("%+v", s[0])
	}
	for _, id := range []string{"F-1", "F-3", "F-4"} {
		opt.Faults = append(opt.Faults, fault(id, 150, 400, 1))
	}
	if s = blockedSiblings(d, opt); s[0].Rise != nil || !strings.Contains(s[0].Words, "All runs of head F") {
		t.Errorf("%+v", s[0])
	}
	opt.Faults = nil
	if s = blockedSiblings(d, opt); len(s) != 0 {
		t.Errorf("%+v", s)
	}
	day := FieldDay{Siblings: []SiblingRise{{Rest: Past}}}
	if !day.Attention() {
		t.Error("siblings past a published rate need nobody")
	}
	var b bytes.Buffer
	if err := day.Write(&b); err != nil {
		t.Error(err)
	}
}

// 36 runs, one batch of 20 minutes at a sample a second, time and again.
func BenchmarkWatch(b *testing.B) {
	w := newWorld(1, 3, 0.05)
	log := w.empty()
	w.record(log, 1200, 1, 1)
	r := log.NewReader(log.Len())
	var batch flowlog.Batch
	if err := r.Read(&batch); err != nil {
		b.Fatal(err)
	}
	watch := NewWatch(w.f, r.Schema())
	span := batch.TimeNS[batch.Len()-1]
	b.ReportAllocs()
	for b.Loop() {
		watch.Add(&batch)
		for i := range batch.TimeNS {
			batch.TimeNS[i] += span
		}
	}
	b.ReportMetric(float64(batch.Len()*len(w.part))*float64(b.N)/b.Elapsed().Seconds(), "samples/s")
}
