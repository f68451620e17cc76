package align_test

import (
	"errors"
	"io"
	"math"
	"testing"

	"pgregory.net/rapid"

	"runproof/align"
	"runproof/flowlog"
)

// logOf makes a log from names, times in seconds and rows of values.
func logOf(clock flowlog.Clock, names []string, rows ...[]float64) *flowlog.Log {
	l := &flowlog.Log{Schema: flowlog.Schema{Clock: clock}}
	for _, n := range names {
		l.Columns = append(l.Columns, flowlog.ColumnNamed(n))
	}
	l.Reset(len(names))
	for _, r := range rows {
		l.TimeNS = append(l.TimeNS, int64(math.Round(r[0]*1e9)))
		for c := range names {
			l.Values[c] = append(l.Values[c], r[c+1])
		}
	}
	return l
}

var none = math.NaN()

func column(l *flowlog.Log, name string) []float64 {
	for c, col := range l.Columns {
		if col.Name == name {
			return l.Values[c]
		}
	}
	return nil
}

func same(a, b []float64) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if !(math.Abs(a[i]-b[i]) < 1e-9) && (a[i] == a[i] || b[i] == b[i]) {
			return false
		}
	}
	return true
}

// TestJoin: values reckoned by hand. The position log's clock is 100 s ahead.
func TestJoin(t *testing.T) {
	flow := logOf(flowlog.UTC, []string{"1:1"}, []float64{-1, 7}, []float64{0, 1}, []float64{0.5, 2}, []float64{1.25, 3}, []float64{3, 4}, []float64{6, 5}, []float64{20, 6})
	pos := logOf(flowlog.UTC, []string{"lat", "lon", "speed", "course", "work", "gnss.hdop"},
		[]float64{100, 51, 179.9, 2, 350, 0, 1},
		[]float64{101, 51.1, -179.9, 3, 10, 1, 1},
		[]float64{102, none, none, 4, none, 1, 1},
		[]float64{103.5, 51.35, -179.4, 5, 40, 1, 1},
		[]float64{110, 52, -178, 5, 40, 0, 1})
	j := align.Join(flow.NewReader(2), pos.NewReader(2), align.JoinOptions{OffsetNS: 100e9})
	got, err := flowlog.ReadAll(j)
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string][]float64{
		"1:1":    {7, 1, 2, 3, 4, 5, 6},
		"lat":    {none, 51, 51.05, 51.125, 51.3, none, none},     // 101 to 103.5 s is no hole; 103.5 to 110 s is
		"lon":    {none, 179.9, 180, -179.85, -179.5, none, none}, // across the 180th meridian
		"speed":  {none, 2, 2.5, 3.25, 4 + 1./1.5, none, none},
		"course": {none, 350, 0, 13, 34, none, none}, // by the shorter way round
		"work":   {none, 0, 1, 1, 1, none, none},     // that of the next sample
	} {
		if v := column(got, name); !same(v, want) {
			t.Errorf("%s: %v, want %v", name, v, want)
		}
	}
	if len(got.Columns) != 6 || j.Rows != 7 || j.Placed != 4 || j.Outside != 2 {
		t.Errorf("%d columns; %d rows, %d placed, %d outside", len(got.Columns), j.Rows, j.Placed, j.Outside)
	}
	if got.TimeNS[0] != -1e9 {
		t.Errorf("time became %d", got.TimeNS[0])
	}
}

// TestJoinKeepsOrReplaces: the flow log's own columns stay unless they are to
// give way; a position is lent whole or not at all.
func TestJoinKeepsOrReplaces(t *testing.T) {
	flow := logOf(flowlog.UTC, []string{"lat", "speed", "1:1"}, []float64{0, 1, 9, 1}, []float64{1, 1, 9, 1})
	pos := logOf(flowlog.UTC, []string{"lat", "lon", "speed", "course"}, []float64{0, 5, 6, 2, 90}, []float64{1, 5, 6, 2, 90})
	for _, c := range []struct {
		replace bool
		names   []string
		speed   float64
	}{
		{false, []string{"lat", "speed", "1:1", "course"}, 9},
		{true, []string{"1:1", "lat", "lon", "speed", "course"}, 2},
	} {
		got, err := flowlog.ReadAll(align.Join(flow.NewReader(1), pos.NewReader(1), align.JoinOptions{Replace: c.replace}))
		if err != nil {
			t.Fatal(err)
		}
		var names []string
		for _, col := range got.Columns {
			names = append(names, col.Name)
		}
		if len(names) != len(c.names) || column(got, "speed")[0] != c.speed {
			t.Errorf("replace %v: %v, want %v; speed %v", c.replace, names, c.names, column(got, "speed"))
		}
	}
}

// TestJoinGivesDates: a flow log without dates gets those of the position log.
func TestJoinGivesDates(t *testing.T) {
	flow := logOf(flowlog.Seconds, []string{"1:1"}, []float64{5, 1}, []float64{6, 1})
	pos := logOf(flowlog.UTC, []string{"lat", "lon"}, []float64{1000, 5, 6}, []float64{1001, 5, 6})
	got, err := flowlog.ReadAll(align.Join(flow.NewReader(1), pos.NewReader(1), align.JoinOptions{OffsetNS: 995e9}))
	if err != nil {
		t.Fatal(err)
	}
	if got.Clock != flowlog.UTC || got.TimeNS[0] != 1000e9 || !same(column(got, "lat"), []float64{5, 5}) {
		t.Errorf("%v at %s", column(got, "lat"), got.Clock.Format(got.TimeNS[0]))
	}
}

// failing is a reader that breaks after its log.
type failing struct{ flowlog.Reader }

func (f failing) Read(b *flowlog.Batch) error {
	if err := f.Reader.Read(b); !errors.Is(err, io.EOF) {
		return err
	}
	return errors.New("torn")
}

func (failing) Remarks() []flowlog.Remark { return []flowlog.Remark{{What: "met"}} }

// TestJoinTellsOfDamage: in either log.
func TestJoinTellsOfDamage(t *testing.T) {
	flow := logOf(flowlog.UTC, []string{"1:1"}, []float64{0, 1}, []float64{1, 1}, []float64{9, 1})
	pos := logOf(flowlog.UTC, []string{"lat", "lon"}, []float64{0, 5, 6}, []float64{1, 5, 6})
	for i, j := range []*align.Joined{
		align.Join(failing{flow.NewReader(1)}, pos.NewReader(1), align.JoinOptions{}),
		align.Join(flow.NewReader(1), failing{pos.NewReader(1)}, align.JoinOptions{}),
	} {
		if _, err := flowlog.ReadAll(j); err == nil || err.Error() != "torn" || len(j.Remarks()) != 1 {
			t.Errorf("%d: %v, %v", i, err, j.Remarks())
		}
	}
}

// TestJoinAgainstSlowTwin: any two logs, any batches: each value is that of a
// search through the whole position log.
func TestJoinAgainstSlowTwin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rising := func(name string) (s []float64) {
			at := 0.0
			for range rapid.IntRange(1, 60).Draw(t, name) {
				at += rapid.SampledFrom([]float64{0.1, 0.2, 1, 1.9, 4}).Draw(t, "step")
				s = append(s, at)
			}
			return s
		}
		flow, pos := logOf(flowlog.UTC, []string{"1:1"}), logOf(flowlog.UTC, []string{"lat", "lon", "speed"})
		for _, s := range rising("rows") {
			flow.TimeNS = append(flow.TimeNS, int64(math.Round(s*1e9)))
			flow.Values[0] = append(flow.Values[0], 1)
		}
		for _, s := range rising("fixes") {
			pos.TimeNS = append(pos.TimeNS, int64(math.Round(s*1e9)))
			v := rapid.SampledFrom([]float64{none, 1, 2, 5}).Draw(t, "value")
			pos.Values[0], pos.Values[1], pos.Values[2] = append(pos.Values[0], v), append(pos.Values[1], v), append(pos.Values[2], v)
		}
		offset := int64(rapid.IntRange(-3000, 3000).Draw(t, "offset ms")) * 1e6
		j := align.Join(flow.NewReader(rapid.IntRange(1, 9).Draw(t, "batch")), pos.NewReader(rapid.IntRange(1, 9).Draw(t, "batch")), align.JoinOptions{OffsetNS: offset})
		got, err := flowlog.ReadAll(j)
		if err != nil {
			t.Fatal(err)
		}
		for i, ns := range flow.TimeNS {
			want := slow(pos, pos.Values[2], ns+offset, 3e9)
			if v := column(got, "speed")[i]; !same([]float64{v}, []float64{want}) {
				t.Fatalf("row %d at %d: %v, want %v", i, ns+offset, v, want)
			}
		}
	})
}

func slow(l *flowlog.Log, v []float64, ns, hole int64) float64 {
	a, b := -1, -1
	for i, t := range l.TimeNS {
		if v[i] == v[i] && t <= ns {
			a = i
		}
		if v[i] == v[i] && t >= ns && b < 0 {
			b = i
		}
	}
	switch {
	case a >= 0 && l.TimeNS[a] == ns:
		return v[a]
	case a < 0 || b < 0 || l.TimeNS[b]-l.TimeNS[a] > hole:
		return none
	}
	return v[a] + (v[b]-v[a])*float64(ns-l.TimeNS[a])/float64(l.TimeNS[b]-l.TimeNS[a])
}

// BenchmarkJoin lends an hour of 5 Hz positions to an hour of 60 ports at 5 Hz.
func BenchmarkJoin(b *testing.B) {
	names := []string{}
	for i := range 60 {
		names = append(names, "4103:"+string(rune('1'+i%9))+string(rune('0'+i/9)))
	}
	flow, pos := logOf(flowlog.UTC, names), logOf(flowlog.UTC, []string{"lat", "lon", "speed", "course"})
	for i := range 18000 {
		for l, step := range map[*flowlog.Log]int64{flow: 2e8, pos: 2e8} {
			l.TimeNS = append(l.TimeNS, int64(i)*step)
			for c := range l.Values {
				l.Values[c] = append(l.Values[c], float64(i%50))
			}
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		j := align.Join(flow.NewReader(2048), pos.NewReader(2048), align.JoinOptions{OffsetNS: 1e8})
		var batch flowlog.Batch
		for j.Read(&batch) == nil {
		}
		if j.Placed < 17990 {
			b.Fatal(j.Placed)
		}
	}
}
