package parquet_test

import (
	"bytes"
	"math"
	"math/rand/v2"
	"testing"

	"runproof/flowlog"
	"runproof/flowlog/parquet"
)

// sample is a log of n samples in which every kind of column has values and
// nulls, in an order that is not the alphabet's.
func sample(clock flowlog.Clock, n int) *flowlog.Log {
	rng := rand.New(rand.NewPCG(1, uint64(n)))
	l := &flowlog.Log{Schema: flowlog.Schema{Clock: clock}}
	for _, name := range []string{"4103:2", "4103:1", "lat", "lon", "speed", "course", "work", "sec:S1", "008D:DET-1#2"} {
		l.Columns = append(l.Columns, flowlog.ColumnNamed(name))
	}
	l.Reset(len(l.Columns))
	ns := int64(1778577330_123456789)
	if clock == flowlog.Seconds {
		ns = -1_500000001
	}
	for i := range n {
		ns += 200000000 + rng.Int64N(1000)
		l.TimeNS = append(l.TimeNS, ns)
		for c, v := range []float64{
			float64(rng.IntN(40)), rng.Float64() * 1e6, 51 + rng.Float64(), -106 - rng.Float64(), rng.NormFloat64(),
			float64(rng.IntN(360)), float64(i / 100 % 2), float64(i / 70 % 2), rng.ExpFloat64() * -1e9,
		} {
			if rng.IntN(5) == 0 || c == 3 && i < n/2 {
				v = math.NaN()
			}
			l.Values[c] = append(l.Values[c], v)
		}
	}
	return l
}

func write(t testing.TB, l *flowlog.Log) []byte {
	t.Helper()
	var buf bytes.Buffer
	w := parquet.NewWriter(&buf, l.Schema)
	if err := w.Write(&l.Batch); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}
