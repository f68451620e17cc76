package review_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"sync"
	"testing"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/flowlog/parquet"
	"runproof/review"
)

// dayDrill has 120 runs in 10 heads of 12; dayFit gives each head a node.
func dayFit() *fit.Fit {
	d := drill.Drill{
		Runproof: "drill/1", Name: "Bench drill",
		Rows:     drill.Rows{Count: 120, SpacingM: 0.19, RanksM: []float64{0, -0.6}},
		Products: []drill.Product{{ID: "seed"}}, Work: drill.Work{SpeedMPS: 2.5},
		Sensing: drill.Sensing{Products: []drill.ProductID{"seed"}},
	}
	f := &fit.Fit{Runproof: fit.Version, Revision: 1}
	for h := range 10 {
		head := drill.Head{ID: drill.HeadID(fmt.Sprintf("H%d", h)), Product: "seed"}
		node := fit.Node{Serial: fmt.Sprint(4101 + h), Ports: 12, Head: head.ID}
		for o := range 12 {
			head.Rows = append(head.Rows, h*12+o+1)
			f.Map = append(f.Map, fit.Link{Run: drill.NewRunID(head.ID, o+1), Node: node.Serial, Port: o + 1})
		}
		d.Heads = append(d.Heads, head)
		f.Nodes = append(f.Nodes, node)
	}
	f.Drill = d
	return f
}

// dayParquet is a day of 120 runs at 10 Hz: passes of five minutes, lifted for
// 20 s between them, about 12 particles a sample, one in 500 not reported.
var dayParquet = sync.OnceValue(func() []byte { return parquetDay(dayFit(), 432000) })

func parquetDay(f *fit.Fit, samples int) []byte {
	s := flowlog.Schema{Columns: []flowlog.Column{
		flowlog.ColumnNamed("work"), flowlog.ColumnNamed("speed"), flowlog.ColumnNamed("lat"), flowlog.ColumnNamed("lon"),
	}}
	for _, l := range f.Map {
		s.Columns = append(s.Columns, flowlog.PortColumn(l.Ref()))
	}
	rng := rand.New(rand.NewPCG(1, 2))
	var buf bytes.Buffer
	w := parquet.NewWriter(&buf, s)
	var b flowlog.Batch
	const step = 4800
	for from := 0; from < samples; from += step {
		b.Reset(len(s.Columns))
		for i := from; i < min(from+step, samples); i++ {
			pass, t := i/3200, i%3200
			work := 1.0
			if t >= 3000 {
				work = 0
			}
			north := float64(t) * 0.25 / 111000
			if pass%2 == 1 {
				north = 750.0/111000 - north
			}
			b.TimeNS = append(b.TimeNS, 1778577330e9+int64(i)*1e8)
			for c, v := range []float64{work, 2.5, 52 + north, -106.5 + float64(pass)*22.8/68600} {
				b.Values[c] = append(b.Values[c], v)
			}
			for c := range f.Map {
				v := 0.0
				if work == 1 && t > 30 {
					v = max(0, float64(int(12+3.5*rng.NormFloat64()+0.5)))
				}
				if rng.IntN(500) == 0 {
					v = flowlog.Missing()
				}
				b.Values[4+c] = append(b.Values[4+c], v)
			}
		}
		if err := w.Write(&b); err != nil {
			panic(err)
		}
	}
	if err := w.Close(); err != nil {
		panic(err)
	}
	return buf.Bytes()
}

func openDay(tb testing.TB, data []byte) flowlog.Reader {
	tb.Helper()
	r, err := parquet.NewReader(bytes.NewReader(data), int64(len(data)), "day.parquet", nil)
	if err != nil {
		tb.Fatal(err)
	}
	return r
}

// BenchmarkReview reviews a 12-hour day, and beside it only reads the same
// file: the ratio of the two is what the README states.
func BenchmarkReview(b *testing.B) {
	data, f := dayParquet(), dayFit()
	b.Run("120x432000", func(b *testing.B) {
		b.ReportAllocs()
		for range b.N {
			ahead, stop := flowlog.Ahead(openDay(b, data))
			res, err := review.Run(f, ahead, review.Options{})
			stop()
			if err != nil {
				b.Fatal(err)
			}
			b.ReportMetric(float64(len(res.Events)), "events")
		}
		b.ReportMetric(120*432000*float64(b.N)/b.Elapsed().Seconds(), "samples/s")
	})
	b.Run("120x432000/only-read", func(b *testing.B) {
		b.ReportAllocs()
		for range b.N {
			r := openDay(b, data)
			var batch flowlog.Batch
			for {
				err := r.Read(&batch)
				if errors.Is(err, io.EOF) {
					break
				}
				if err != nil {
					b.Fatal(err)
				}
			}
		}
		b.ReportMetric(120*432000*float64(b.N)/b.Elapsed().Seconds(), "samples/s")
	})
}
