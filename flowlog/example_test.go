package flowlog_test

import (
	"fmt"

	"runproof/flowlog"
)

// A log in memory is read like any other.
func ExampleSummarize() {
	l := &flowlog.Log{Schema: flowlog.Schema{Columns: []flowlog.Column{flowlog.ColumnNamed("4103:7"), flowlog.ColumnNamed("work")}}}
	for i := range 3007 {
		if i < 1200 || i >= 1207 { // the recorder missed seven samples
			l.TimeNS = append(l.TimeNS, 1778577330e9+int64(i)*2e8)
		}
	}
	l.Values = [][]float64{make([]float64, 3000), make([]float64, 3000)}
	for i := range 3000 {
		l.Values[0][i] = float64(15 + i%3)
		l.Values[1][i] = 1
	}
	l.Values[0][10] = flowlog.Missing()

	s, err := flowlog.Summarize(l.NewReader(256), nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	n, lost, longest := s.Intervals.Gaps()
	fmt.Println(s.Samples, "samples to", s.Clock.Format(s.EndNS))
	fmt.Printf("interval %.1f s, %d gap, %d lost after %s\n", float64(s.Intervals.QuantileNS(0.5))/1e9, n, lost, s.Clock.Format(longest[0].AfterNS))
	fmt.Printf("%d particles through %s, %.4f of samples missing\n", int(s.Columns[0].Sum), s.Schema.Columns[0].Name, s.MissingShare(flowlog.Port))
	// Output:
	// 3000 samples to 2026-05-12T09:25:31.2Z
	// interval 0.2 s, 1 gap, 7 lost after 2026-05-12T09:19:29.8Z
	// 47984 particles through 4103:7, 0.0003 of samples missing
}

func ExampleParseTime() {
	for _, text := range []string{"2026-05-12T09:15:30.2Z", "17.25", "9.15 h"} {
		ns, clock, err := flowlog.ParseTime(text)
		fmt.Println(ns, clock, err)
	}
	// Output:
	// 1778577330200000000 RFC 3339 <nil>
	// 17250000000 decimal seconds <nil>
	// 0 decimal seconds "9.15 h" is no time: use RFC 3339 (2026-05-12T09:15:30.2Z) or decimal seconds
}
