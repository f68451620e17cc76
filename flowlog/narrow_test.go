package flowlog_test

import (
	"errors"
	"io"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"runproof/flowlog"
)

// narrowed is a column of small counts, narrow and plain.
func narrowed(t *rapid.T, n int) (flowlog.Narrow, []float64) {
	most := rapid.SampledFrom([]int{0, 3, 40, 255}).Draw(t, "most")
	some := rapid.SliceOfN(rapid.IntRange(-1, most), n, n).Draw(t, "counts")
	c := flowlog.Narrow{Counts: make([]uint8, n, n+flowlog.NarrowSpare)}
	plain := make([]float64, n)
	for i, v := range some {
		if v < 0 {
			c.Absent, plain[i] = append(c.Absent, int32(i)), flowlog.Missing()
			continue
		}
		c.Counts[i], plain[i] = uint8(v), float64(v)
	}
	return c, plain
}

// TestNarrowIsPlain: sums, absences and streaks of narrow columns are those of
// the same values one by one.
func TestNarrowIsPlain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 3000).Draw(t, "samples")
		c, plain := narrowed(t, n)
		from := rapid.IntRange(0, n).Draw(t, "from")
		to := rapid.IntRange(from, n).Draw(t, "to")
		sum, absent := 0.0, 0
		for _, v := range plain[from:to] {
			if v == v {
				sum += v
			} else {
				absent++
			}
		}
		if got := c.Sum(from, to); float64(got) != sum {
			t.Fatalf("sum %d, want %v", got, sum)
		}
		if got := c.AbsentIn(from, to); got != absent {
			t.Fatalf("%d absent, want %d", got, absent)
		}
		times := rapid.SampledFrom([]int{1, 2, 257, 258, 600}).Draw(t, "columns")
		var rows flowlog.Rows
		rows.Reset(n)
		for range times {
			rows.Add(&c)
		}
		for i, v := range plain {
			if got := float64(rows.Sums()[i]); v == v && got != float64(times)*v || v != v && got != 0 {
				t.Fatalf("sample %d is %v in %d columns, want %v each", i, got, times, v)
			}
		}
	})
}

func TestFewSamples(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		parts := rapid.SliceOfN(rapid.IntRange(1, flowlog.FewSamples), 1, 20).Draw(t, "parts")
		last, before := rapid.SampledFrom([]uint8{0, 1, 255}).Draw(t, "last"), rapid.IntRange(1, 100).Draw(t, "streak")
		counts := []uint8{3, 3}
		was, streak := last, before
		var ends, times []int32
		var sums []float64
		for _, k := range parts {
			sum := 0.0
			for range k {
				c := rapid.SampledFrom([]uint8{0, 1, 1, 1, 7, 255}).Draw(t, "count")
				counts = append(counts, c)
				sum += float64(c)
				if c == was {
					streak++
				} else {
					was, streak = c, 1
				}
			}
			ends, times, sums = append(ends, int32(len(counts))), append(times, int32(streak)), append(sums, sum)
		}
		n := flowlog.Narrow{Counts: slices.Grow(counts, flowlog.NarrowSpare)}
		gotSums, gotTimes := make([]float64, len(parts)), make([]int32, len(parts))
		after := n.Few(2, ends, flowlog.Streak{Last: last, Times: before}, gotSums, gotTimes)
		if !slices.Equal(gotSums, sums) || !slices.Equal(gotTimes, times) || after != (flowlog.Streak{Last: was, Times: streak}) {
			t.Fatalf("%v in %v behind %d (%d times): %v %v %v, want %v %v %d %d", counts[2:], parts, last, before, gotSums, gotTimes, after, sums, times, was, streak)
		}
	})
}

// narrowReader gives a log of ports in narrow batches.
type narrowReader struct {
	flowlog.Schema
	counts []flowlog.Narrow
	at     int
}

func (r *narrowReader) ReadNarrow(b *flowlog.Batch) error {
	b.GrowNarrow(r.Columns, 0)
	if r.at == 2 {
		return io.EOF
	}
	n := len(r.counts[0].Counts)
	b.GrowNarrow(r.Columns, n)
	for i := range n {
		b.TimeNS[i] = int64(r.at*n+i) * 1e8
	}
	for c := range r.counts {
		copy(b.Narrow[c].Counts, r.counts[c].Counts)
		b.Narrow[c].Absent = append(b.Narrow[c].Absent, r.counts[c].Absent...)
	}
	r.at++
	return nil
}

func (r *narrowReader) Read(b *flowlog.Batch) error {
	err := r.ReadNarrow(b)
	b.Widen()
	return err
}

type schemed struct{ *narrowReader }

func (s schemed) Schema() flowlog.Schema { return s.narrowReader.Schema }

// TestAheadGivesNarrowAndWide: whoever does not ask for narrow columns gets none.
func TestAheadGivesNarrowAndWide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 60).Draw(t, "samples")
		a, plainA := narrowed(t, n)
		b, plainB := narrowed(t, n)
		read := func() *narrowReader {
			return &narrowReader{Schema: schemaOf("1:1", "1:2"), counts: []flowlog.Narrow{a, b}}
		}
		r, stop := flowlog.Ahead(schemed{read()})
		l, err := flowlog.ReadAll(r)
		stop()
		if err != nil || !equal(l.Values[0], slices.Concat(plainA, plainA)) || !equal(l.Values[1], slices.Concat(plainB, plainB)) {
			t.Fatalf("%v, %v", err, l.Values)
		}
		r, stop = flowlog.Ahead(schemed{read()})
		defer stop()
		var batch flowlog.Batch
		for range 2 {
			if err := flowlog.ReadNarrow(r, &batch); err != nil || batch.Len() != n || batch.NarrowColumn(0) == nil || batch.NarrowColumn(1) == nil {
				t.Fatal(err, batch)
			}
			keep := rapid.IntRange(1, n).Draw(t, "keep")
			batch.Truncate(keep)
			batch.Widen()
			if !equal(batch.Values[0], plainA[:keep]) || batch.NarrowColumn(0) != nil {
				t.Fatalf("%v, want %v", batch.Values[0], plainA[:keep])
			}
		}
		if err := flowlog.ReadNarrow(r, &batch); !errors.Is(err, io.EOF) || batch.Len() != 0 {
			t.Fatal(err, batch.Len())
		}
	})
}
