package csv_test

import (
	"bytes"
	"errors"
	"io"
	"math/rand/v2"
	"strconv"
	"sync"
	"testing"

	"runproof/flowlog"
	"runproof/flowlog/csv"
)

// hour is an hour at 10 Hz on a drill of 120 runs, as text.
var hour = sync.OnceValue(func() *flowlog.Log {
	const ports, samples = 120, 36000
	rng := rand.New(rand.NewPCG(1, 2))
	l := &flowlog.Log{}
	for p := range ports {
		l.Columns = append(l.Columns, flowlog.ColumnNamed("4103:"+strconv.Itoa(p+1)))
	}
	l.Reset(ports)
	for i := range samples {
		l.TimeNS = append(l.TimeNS, 1778577330e9+int64(i)*1e8)
		for c := range ports {
			v := float64(rng.IntN(16) + rng.IntN(16))
			if rng.IntN(200) == 0 {
				v = flowlog.Missing()
			}
			l.Values[c] = append(l.Values[c], v)
		}
	}
	return l
})

func text(tb testing.TB, l *flowlog.Log) []byte {
	tb.Helper()
	var buf bytes.Buffer
	w, err := csv.NewWriter(&buf, l.Schema)
	if err != nil {
		tb.Fatal(err)
	}
	if err := errors.Join(w.Write(&l.Batch), w.Close()); err != nil {
		tb.Fatal(err)
	}
	return buf.Bytes()
}

func BenchmarkRead(b *testing.B) {
	b.Run("120x36000", func(b *testing.B) {
		data := text(b, hour())
		b.SetBytes(int64(len(data)))
		b.ReportAllocs()
		b.ResetTimer()
		for range b.N {
			r, err := csv.NewReader(bytes.NewReader(data), "hour.csv", nil)
			if err != nil {
				b.Fatal(err)
			}
			var batch flowlog.Batch
			for err == nil {
				err = r.Read(&batch)
			}
			if !errors.Is(err, io.EOF) {
				b.Fatal(err)
			}
		}
		b.ReportMetric(120*36000*float64(b.N)/b.Elapsed().Seconds(), "samples/s")
	})
}

func BenchmarkWrite(b *testing.B) {
	b.Run("120x36000", func(b *testing.B) {
		l := hour()
		b.ReportAllocs()
		b.ResetTimer()
		for range b.N {
			w, err := csv.NewWriter(io.Discard, l.Schema)
			if err := errors.Join(err, w.Write(&l.Batch), w.Close()); err != nil {
				b.Fatal(err)
			}
		}
		b.ReportMetric(120*36000*float64(b.N)/b.Elapsed().Seconds(), "samples/s")
	})
}
