package review_test

import (
	"errors"
	"io"
	"runtime"
	"testing"

	"runproof/counts"
	"runproof/flowlog"
	"runproof/review"
)

// chunks reads the same recording again and again, each time as if it went on.
type chunks struct {
	flowlog.Reader
	again  func() flowlog.Reader
	left   int
	spanNS int64
	shift  int64
}

func (c *chunks) Read(b *flowlog.Batch) error       { return c.next(c.Reader.Read, b) }
func (c *chunks) ReadNarrow(b *flowlog.Batch) error { return c.next(c.narrow, b) }
func (c *chunks) narrow(b *flowlog.Batch) error     { return flowlog.ReadNarrow(c.Reader, b) }

func (c *chunks) next(read func(*flowlog.Batch) error, b *flowlog.Batch) error {
	err := read(b)
	if errors.Is(err, io.EOF) && c.left > 1 {
		c.left--
		c.Reader, c.shift = c.again(), c.shift+c.spanNS
		return c.next(c.narrow, b)
	}
	for i := range b.TimeNS {
		b.TimeNS[i] += c.shift
	}
	return err
}

// TestTenTimesTheLogInTheSameMemory: 120 runs at 10 Hz in Parquet. What the
// review holds while it reads is the same after an hour, by which the picture and
// the history are full, and after ten: a tenth is left, and a megabyte for the
// trail, of which each pass keeps a few poses. The reader goes on while memory is
// collected, so that a look now and then finds what it has in hand; the middle of
// the later half of all looks is what is held.
func TestTenTimesTheLogInTheSameMemory(t *testing.T) {
	const samples = 19200 // six passes of dayParquet's: 32 minutes
	f := dayFit()
	data := parquetDay(f, samples)
	most := func(times int) float64 {
		again := func() flowlog.Reader { return openDay(t, data) }
		c := &chunks{Reader: again(), again: again, left: times, spanNS: samples * 1e8}
		var m runtime.MemStats
		var held []float64
		next := samples / 2
		res, err := review.Run(f, c, review.Options{Progress: func(n int) {
			if n < next {
				return
			}
			next += samples / 2
			runtime.GC()
			runtime.ReadMemStats(&m)
			held = append(held, float64(m.HeapAlloc))
		}})
		if err != nil || res.Summary.Samples != times*samples {
			t.Fatal(err, res.Summary.Samples)
		}
		return counts.Quantile(held[len(held)/2:], 0.5)
	}
	short, long := most(2), most(20)
	if long > 1.1*short+1e6 {
		t.Errorf("%.1f MB, and %.1f MB for ten times the log", short/1e6, long/1e6)
	}
}
