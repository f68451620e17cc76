package walk

import (
	"testing"

	"runproof/fit"
	"runproof/flowlog"
	"runproof/workstate"
)

// column is a recording of two ports at 1 Hz: still, flowing, still.
func column(work func(flows bool) float64) *flowlog.Log {
	l := &flowlog.Log{}
	for port := 1; port <= 2; port++ {
		l.Columns = append(l.Columns, flowlog.Column{Kind: flowlog.Port, Name: "N:1", Port: fit.PortRef{Node: "N", Port: port}})
	}
	if work != nil {
		l.Columns = append(l.Columns, flowlog.Column{Kind: flowlog.Work, Name: "work"})
	}
	l.Values = make([][]float64, len(l.Columns))
	for s := range 300 {
		flows := s > 60 && s < 240
		n := 0.0
		if flows {
			n = 40
		}
		l.TimeNS = append(l.TimeNS, int64(s)*1e9)
		l.Values[0], l.Values[1] = append(l.Values[0], n), append(l.Values[1], flowlog.Missing())
		if work != nil {
			l.Values[2] = append(l.Values[2], work(flows))
		}
	}
	return l
}

// The recording's own work column is judged, by the ports that report.
func TestWorkColumn(t *testing.T) {
	if a := workColumn(column(nil), false); a != nil {
		t.Errorf("without a column: %+v", a)
	}
	right := map[bool]float64{true: 1, false: 0}
	for _, c := range []struct {
		name string
		work func(bool) float64
		want workstate.Verdict
	}{
		{"right", func(f bool) float64 { return right[f] }, workstate.Agrees},
		{"turned round", func(f bool) float64 { return right[!f] }, workstate.Inverted},
		{"wired to nothing", func(bool) float64 { return 0 }, workstate.Stuck},
		{"lowered all the time", func(bool) float64 { return 1 }, workstate.Unsure},
		{"empty", func(bool) float64 { return flowlog.Missing() }, workstate.Absent},
	} {
		if a := workColumn(column(c.work), false); a == nil || a.Verdict != c.want {
			t.Errorf("%s: %+v, want %v", c.name, a, c.want)
		}
	}
}
