package parquet_test

import (
	"bytes"
	"errors"
	"io"
	"math/rand/v2"
	"strconv"
	"sync"
	"testing"

	pq "github.com/parquet-go/parquet-go"

	"runproof/flowlog"
	"runproof/flowlog/parquet"
)

// day is a working day of 12 h at 10 Hz on a drill of 120 runs, as a recorder
// might write it: optional INT32 columns, a null now and then.
var day = sync.OnceValue(func() []byte { return recorded(120, 432000) })

func recorded(ports, samples int) []byte {
	group := pq.Group{"time": pq.Timestamp(pq.Millisecond)}
	for p := range ports {
		group["4103:"+strconv.Itoa(p+1)] = pq.Optional(pq.Encoded(pq.Leaf(pq.Int32Type), &pq.RLEDictionary))
	}
	var buf bytes.Buffer
	w := pq.NewGenericWriter[any](&buf, pq.NewSchema("log", group), pq.Compression(&pq.Snappy))
	rng := rand.New(rand.NewPCG(1, 2))
	const step = 48000
	row := make([]pq.Value, step)
	for from := 0; from < samples; from += step {
		columns := w.ColumnWriters()
		for c := range ports {
			for i := range row {
				row[i] = pq.Int32Value(int32(rng.IntN(16)+rng.IntN(16))).Level(0, 1, c)
				if rng.IntN(200) == 0 {
					row[i] = pq.NullValue().Level(0, 0, c)
				}
			}
			mustWrite(columns[c], row)
		}
		for i := range row {
			row[i] = pq.Int64Value(1778577330000+int64(from+i)*100).Level(0, 0, ports)
		}
		mustWrite(columns[ports], row)
		if err := w.Flush(); err != nil {
			panic(err)
		}
	}
	if err := w.Close(); err != nil {
		panic(err)
	}
	return buf.Bytes()
}

func mustWrite(c *pq.ColumnWriter, row []pq.Value) {
	if _, err := c.WriteRowValues(row); err != nil {
		panic(err)
	}
}

func BenchmarkRead(b *testing.B) {
	b.Run("120x432000", func(b *testing.B) {
		data := day()
		b.SetBytes(int64(len(data)))
		b.ReportAllocs()
		b.ResetTimer()
		for range b.N {
			if n := drain(b, data); n != 432000 {
				b.Fatal(n)
			}
		}
		b.ReportMetric(120*432000*float64(b.N)/b.Elapsed().Seconds(), "samples/s")
	})
}

func drain(tb testing.TB, data []byte) (samples int) {
	tb.Helper()
	r, err := parquet.NewReader(bytes.NewReader(data), int64(len(data)), "day.parquet", nil)
	if err != nil {
		tb.Fatal(err)
	}
	var batch flowlog.Batch
	for {
		err := r.Read(&batch)
		if errors.Is(err, io.EOF) {
			return samples
		}
		if err != nil {
			tb.Fatal(err)
		}
		samples += batch.Len()
	}
}

func BenchmarkWrite(b *testing.B) {
	b.Run("120x48000", func(b *testing.B) {
		data := recorded(120, 48000)
		r, err := parquet.NewReader(bytes.NewReader(data), int64(len(data)), "day.parquet", nil)
		if err != nil {
			b.Fatal(err)
		}
		l, err := flowlog.ReadAll(r)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportAllocs()
		b.ResetTimer()
		for range b.N {
			w := parquet.NewWriter(io.Discard, l.Schema)
			if err := errors.Join(w.Write(&l.Batch), w.Close()); err != nil {
				b.Fatal(err)
			}
		}
		b.ReportMetric(120*48000*float64(b.N)/b.Elapsed().Seconds(), "samples/s")
	})
}
