package csv_test

import (
	"math"
	"testing"

	"runproof/flowlog"
)

func TestWriter(t *testing.T) {
	l := &flowlog.Log{Schema: flowlog.Schema{Clock: flowlog.Seconds}}
	for _, n := range []string{"1:1", `a "b", c`, " d", "x"} {
		l.Columns = append(l.Columns, flowlog.ColumnNamed(n))
	}
	l.TimeNS = []int64{-1, 200000000, 1e9, 2e9}
	l.Values = [][]float64{
		{0, math.NaN(), 1e15, 0.1},
		{-1.5, 123456789012345, 1e-7, math.Copysign(0, -1)},
		{1e300, 5e-324, -51.2000039, 1. / 3},
		{math.NaN(), math.NaN(), math.NaN(), math.NaN()},
	}
	const want = `time,1:1,"a ""b"", c"," d",x
-0.000000001,0,-1.5,1e+300,
0.2,,123456789012345,5e-324,
1,1e+15,1e-07,-51.2000039,
2,0.1,0,0.3333333333333333,
`
	got := string(text(t, l))
	if got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
	back, err := tryRead(got)
	if err != nil || show(back) == "" || back.Columns[1].Name != `a "b", c` {
		t.Errorf("%v, %v", back, err)
	}
}
