package csv_test

import (
	"fmt"
	"strings"

	"runproof/flowlog"
	"runproof/flowlog/csv"
)

// An empty cell was not reported; a 0 was counted.
func ExampleReader() {
	text := "time,work,4103:1,4103:2\n" +
		"2026-05-12T09:15:30.2Z,1,17,21\n" +
		"2026-05-12T09:15:30.4Z,1,0,\n"
	r, err := csv.NewReader(strings.NewReader(text), "day.csv", nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	var b flowlog.Batch
	for r.Read(&b) == nil {
		for i, ns := range b.TimeNS {
			fmt.Println(r.Schema().Clock.Format(ns), b.Values[1][i], b.Values[2][i])
		}
	}
	// Output:
	// 2026-05-12T09:15:30.2Z 17 21
	// 2026-05-12T09:15:30.4Z 0 NaN
}

func ExampleNewReader_fault() {
	r, err := csv.NewReader(strings.NewReader("time,4103:1\n0,17\n0.2,-3\n"), "day.csv", nil)
	if err == nil {
		_, err = flowlog.ReadAll(r)
	}
	fmt.Println(err)
	// Output:
	// day.csv:3:5: column 2 (4103:1): the count -3 is negative; a count is the particles since the line before, 0 or more; leave it empty where nothing was reported
}
