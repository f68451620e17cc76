package align_test

import (
	"fmt"

	"runproof/align"
	"runproof/flowlog"
)

func ExampleJoin() {
	flow := logOf(flowlog.Seconds, []string{"4103:1"}, []float64{0.5, 17})
	fixes := logOf(flowlog.Seconds, []string{"lat", "lon", "speed", "course"}, []float64{100, 51.2, -106.3, 2, 350}, []float64{101, 51.2, -106.4, 3, 10})
	l, err := flowlog.ReadAll(align.Join(flow.NewReader(10), fixes.NewReader(10), align.JoinOptions{OffsetNS: align.NS(100)}))
	if err != nil {
		fmt.Println(err)
		return
	}
	for c, col := range l.Columns {
		fmt.Printf("%s %.2f\n", col.Name, l.Values[c][0])
	}
	// Output:
	// 4103:1 17.00
	// lat 51.20
	// lon -106.35
	// speed 2.50
	// course 0.00
}
