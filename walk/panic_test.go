package walk

import (
	"testing"

	"pgregory.net/rapid"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
)

// TestProveNeverPanics feeds recordings that no recorder would write.
func TestProveNeverPanics(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		runs := rapid.IntRange(1, 5).Draw(t, "runs")
		f := &fit.Fit{}
		for i := range runs {
			f.Map = append(f.Map, fit.Link{Run: drill.NewRunID("A", i+1), Node: "1", Port: i + 1})
		}
		l := &flowlog.Log{}
		for range rapid.IntRange(1, 6).Draw(t, "columns") {
			l.Columns = append(l.Columns, flowlog.PortColumn(fit.PortRef{Node: "1", Port: rapid.IntRange(1, 6).Draw(t, "port")}))
			l.Values = append(l.Values, nil)
		}
		now := rapid.Int64Range(-1e9, 1e12).Draw(t, "start")
		step := rapid.SampledFrom([]int64{1e6, 1e8, 2e8, 1e9, 25e8}).Draw(t, "step")
		for range rapid.IntRange(0, 150).Draw(t, "samples") {
			now += step
			if rapid.IntRange(0, 20).Draw(t, "gap") == 0 {
				now += rapid.Int64Range(1, 1e11).Draw(t, "long")
			}
			l.TimeNS = append(l.TimeNS, now)
			for c := range l.Values {
				l.Values[c] = append(l.Values[c], rapid.SampledFrom([]float64{0, 0, 1, 7, 40, 40, 1e6, flowlog.Missing()}).Draw(t, "count"))
			}
		}
		o := Options{Method: Method(rapid.IntRange(0, 2).Draw(t, "method"))}
		if rapid.Bool().Draw(t, "marked") {
			o.Marks = &Marks{File: "m.csv"}
			for range rapid.IntRange(0, 6).Draw(t, "marks") {
				o.Marks.Marks = append(o.Marks.Marks, Mark{TimeNS: now - rapid.Int64Range(-2e11, 2e11).Draw(t, "ago"), Run: f.Map[rapid.IntRange(0, runs-1).Draw(t, "run")].Run})
			}
		}
		p, err := Prove(f, l, o)
		if err == nil && len(p.Runs) != runs {
			t.Fatal(p)
		}
		if err == nil {
			for _, r := range p.Runs {
				if !(r.Confidence >= 0 && r.Confidence <= 1) || r.Reason == "" {
					t.Fatalf("%+v", r)
				}
			}
			text(p)
		}
	})
}
