package parquet_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/apache/arrow-go/v18/arrow"
	pq "github.com/apache/arrow-go/v18/parquet"

	"runproof/flowlog"
	"runproof/flowlog/parquet"
)

// bothWays reads a file plain and narrow, checks that they say the same, and
// returns how many columns came narrow.
func bothWays(t *testing.T, b []byte) (narrow int) {
	t.Helper()
	plain, err := parquet.NewReader(bytes.NewReader(b), int64(len(b)), "log.parquet", nil)
	if err != nil {
		return 0
	}
	other, err := parquet.NewReader(bytes.NewReader(b), int64(len(b)), "log.parquet", nil)
	if err != nil {
		t.Fatal(err)
	}
	var p, n flowlog.Batch
	for cells := 0; cells < 1<<20; {
		err, also := plain.Read(&p), flowlog.ReadNarrow(other, &n)
		for c := range n.Narrow {
			if n.NarrowColumn(c) != nil {
				narrow++
			}
		}
		n.Widen()
		if fmt.Sprint(p.TimeNS) != fmt.Sprint(n.TimeNS) || fmt.Sprint(p.Values) != fmt.Sprint(n.Values) || fmt.Sprint(err) != fmt.Sprint(also) {
			t.Fatalf("plain %v %v %v\nnarrow %v %v %v", p.TimeNS, p.Values, err, n.TimeNS, n.Values, also)
		}
		if err != nil {
			return narrow
		}
		cells += p.Len() * (len(p.Values) + 1)
	}
	return narrow
}

// TestNarrowSaysTheSame: dictionaries of every size, in which the values are
// small counts or not, with nulls one by one, in runs, everywhere or nowhere.
func TestNarrowSaysTheSame(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	for _, most := range []int{1, 2, 3, 16, 60, 64, 100, 128, 200, 256, 300, 5000} {
		for _, nulls := range []float64{0, 0.001, 0.3, 1} {
			l := &flowlog.Log{Schema: flowlog.Schema{Columns: []flowlog.Column{flowlog.ColumnNamed("1:1"), flowlog.ColumnNamed("1:2"), flowlog.ColumnNamed("work")}}}
			l.Reset(3)
			v := 0.0
			for i := range 9000 {
				l.TimeNS = append(l.TimeNS, int64(i)*1e8)
				if i%3000 < 1000 || rng.IntN(30) == 0 { // runs of one value, too
					v = float64(rng.IntN(most))
				}
				a, b := v, v
				if rng.Float64() < nulls {
					a = math.NaN()
				}
				if i > 7000 && rng.IntN(100) == 0 {
					b += 0.5
				}
				l.Values[0], l.Values[1], l.Values[2] = append(l.Values[0], a), append(l.Values[1], b), append(l.Values[2], 1)
			}
			if n := bothWays(t, write(t, l)); most <= 256 && nulls < 1 && n == 0 {
				t.Errorf("up to %d, nulls %v: no column came narrow", most, nulls)
			}
		}
	}
}

// TestNarrowOfIntegers: the dictionary of arrow-go's INT32, and pages without
// one behind pages with one.
func TestNarrowOfIntegers(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	const n = 3000
	time := build(&arrow.TimestampType{Unit: arrow.Millisecond, TimeZone: "UTC"}, millis(n, 1778577330, 1e3))
	small := make([]float64, n)
	for i := range small {
		small[i] = float64(rng.IntN(100))
		if rng.IntN(50) == 0 {
			small[i] = math.NaN()
		}
	}
	for _, limit := range []int64{1 << 20, 64} {
		b := writeArrow(t, time, []arrow.Array{build(arrow.PrimitiveTypes.Int32, small)}, 700,
			pq.WithDictionaryDefault(true), pq.WithDictionaryPageSizeLimit(limit), pq.WithDataPageSize(200))
		if bothWays(t, b) == 0 && limit > 1000 {
			t.Error("no column came narrow")
		}
	}
}

// BenchmarkReadNarrow is BenchmarkRead a byte a sample.
func BenchmarkReadNarrow(b *testing.B) {
	data := day()
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		r, err := parquet.NewReader(bytes.NewReader(data), int64(len(data)), "day.parquet", nil)
		if err != nil {
			b.Fatal(err)
		}
		var batch flowlog.Batch
		for err == nil {
			err = r.ReadNarrow(&batch)
		}
		if !errors.Is(err, io.EOF) {
			b.Fatal(err)
		}
	}
	b.ReportMetric(120*432000*float64(b.N)/b.Elapsed().Seconds(), "samples/s")
}
