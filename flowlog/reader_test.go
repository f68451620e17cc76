package flowlog_test

import (
	"errors"
	"io"
	"math"
	"slices"
	"testing"

	"runproof/flowlog"
)

// long is a log of n samples in two columns.
func long(n int) *flowlog.Log {
	l := &flowlog.Log{Schema: schemaOf("1:1", "work")}
	l.Reset(2)
	for i := range n {
		l.TimeNS = append(l.TimeNS, int64(i)*1e8)
		v := float64(i % 7)
		if i%11 == 0 {
			v = math.NaN()
		}
		l.Values[0] = append(l.Values[0], v)
		l.Values[1] = append(l.Values[1], float64(i%2))
	}
	return l
}

func equal(a, b []float64) bool {
	return slices.EqualFunc(a, b, func(x, y float64) bool { return x == y || x != x && y != y })
}

func TestAheadGivesTheSame(t *testing.T) {
	for _, n := range []int{1, 10, 1000} {
		want := long(n)
		r, stop := flowlog.Ahead(want.NewReader(10))
		got, err := flowlog.ReadAll(r)
		stop()
		if err != nil || !slices.Equal(got.TimeNS, want.TimeNS) || !equal(got.Values[0], want.Values[0]) || !equal(got.Values[1], want.Values[1]) {
			t.Errorf("%d samples: %v, %d samples", n, err, got.Len())
		}
		var b flowlog.Batch
		for range 3 {
			if err := r.Read(&b); !errors.Is(err, io.EOF) || b.Len() != 0 {
				t.Errorf("behind the end: %v, %d samples", err, b.Len())
			}
		}
	}
}

func TestAheadStopsAtOnce(t *testing.T) {
	r, stop := flowlog.Ahead(long(100000).NewReader(10))
	var b flowlog.Batch
	if err := r.Read(&b); err != nil || b.Len() != 10 || b.TimeNS[0] != 0 {
		t.Errorf("%v, %d samples", err, b.Len())
	}
	stop()
	stop()
	for range 10 { // what was read ahead may still come, and then an end
		if err := r.Read(&b); err != nil {
			if !errors.Is(err, io.ErrClosedPipe) {
				t.Error(err)
			}
			return
		}
	}
	t.Error("a stopped reader goes on")
}

// failing gives one batch and then an error.
type failing struct{ flowlog.Reader }

func (f failing) Read(b *flowlog.Batch) error {
	if err := f.Reader.Read(b); err == nil {
		return nil
	}
	return errors.New("torn")
}

func TestAheadPassesFaultsOn(t *testing.T) {
	r, stop := flowlog.Ahead(failing{long(5).NewReader(5)})
	defer stop()
	var b flowlog.Batch
	if err := r.Read(&b); err != nil || b.Len() != 5 {
		t.Errorf("%v, %d samples", err, b.Len())
	}
	for range 2 {
		if err := r.Read(&b); err == nil || err.Error() != "torn" || b.Len() != 0 {
			t.Errorf("%v, %d samples", err, b.Len())
		}
	}
}

func TestGrowKeepsColumnsApart(t *testing.T) {
	var b flowlog.Batch
	for _, size := range []struct{ columns, samples int }{{3, 10}, {5, 7}, {2, 100}, {5, 100}} {
		b.Grow(size.columns, size.samples)
		for c := range b.Values {
			for i := range b.Values[c] {
				b.Values[c][i] = float64(c)
			}
		}
		for c, v := range b.Values {
			if len(v) != size.samples || slices.Min(v) != float64(c) || slices.Max(v) != float64(c) {
				t.Errorf("%v: column %d holds %v", size, c, v)
			}
		}
		b.Truncate(1)
		if b.Len() != 1 || len(b.Values[0]) != 1 {
			t.Errorf("%v: %d samples after Truncate", size, b.Len())
		}
	}
}
