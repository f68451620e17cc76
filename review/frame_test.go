package review

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"runproof/flowlog"
)

// framed gives the frames of a log read in batches of the given sizes, the last
// of them again and again, as text.
func framed(in *inputs, l *flowlog.Log, intervalS float64, sizes ...int) []string {
	return framedAs(in, l, intervalS, func(int) bool { return false }, sizes...)
}

// framedAs makes the ports of some batches narrow.
func framedAs(in *inputs, l *flowlog.Log, intervalS float64, narrow func(batch int) bool, sizes ...int) []string {
	var out []string
	fr := newFramer(*in, intervalS, func(f *frame) {
		reported := make([]int, len(f.x))
		for i := range reported {
			reported[i] = f.reported(i)
		}
		out = append(out, fmt.Sprintf("%d-%d %.1f s %v %v x%v n%v stuck%v v%.3f", f.fromNS, f.toNS, f.durS, f.work, f.open, f.x, reported, f.stuck, f.speedMPS))
	})
	for at, k := 0, 0; at < l.Len(); k++ {
		n := min(sizes[min(k, len(sizes)-1)], l.Len()-at)
		b := flowlog.Batch{TimeNS: l.TimeNS[at : at+n]}
		for _, v := range l.Values {
			b.Values = append(b.Values, v[at:at+n])
		}
		if narrow(k) {
			makeNarrow(&b, in.runCols)
		}
		fr.add(&b)
		at += n
	}
	fr.flush()
	return out
}

// makeNarrow puts small counts into Narrow.
func makeNarrow(b *flowlog.Batch, columns []int) {
	for _, c := range columns {
		for len(b.Narrow) <= c {
			b.Narrow = append(b.Narrow, flowlog.Narrow{})
		}
		n := flowlog.Narrow{Counts: make([]uint8, b.Len(), b.Len()+flowlog.NarrowSpare)}
		for i, v := range b.Values[c] {
			if v != v {
				n.Absent = append(n.Absent, int32(i))
			} else {
				n.Counts[i] = uint8(v)
			}
		}
		b.Narrow[c], b.Values[c] = n, nil
	}
}

// workAndOne is a log with a work column, a section that shuts run 1, and two
// runs.
func workAndOne() (*inputs, *flowlog.Log) {
	in := oneHead(2)
	in.work, in.secCols, in.runCols = 0, []int{1}, []int{2, 3}
	in.runs[0].sections = []int{0}
	l := &flowlog.Log{}
	l.Reset(4)
	return in, l
}

func put(l *flowlog.Log, atS float64, v ...float64) {
	l.TimeNS = append(l.TimeNS, int64(math.Round(atS*1e9)))
	for c := range v {
		l.Values[c] = append(l.Values[c], v[c])
	}
}

func TestFramer(t *testing.T) {
	in, l := workAndOne()
	null := flowlog.Missing()
	put(l, 0.2, 1, 1, 5, 7)
	put(l, 0.4, 1, 1, 6, 7) // two samples of 0.2 s are a frame
	put(l, 0.6, 1, 1, 5, 7)
	put(l, 0.8, 0, 1, null, 4) // lifted
	put(l, 1.0, 0, null, 1, 0) // no word of the section: as before
	put(l, 1.2, 0, 0, 1, 0)    // section shut
	put(l, 11.2, 0, 0, 2, 0)   // ten seconds missing
	want := []string{
		"0-400000000 0.4 s true [true] x[11 14] n[2 2] stuck[1 2] vNaN",
		"400000000-600000000 0.2 s true [true] x[5 7] n[1 1] stuck[1 3] vNaN",
		"600000000-1000000000 0.4 s false [true] x[1 4] n[1 2] stuck[1 1] vNaN",
		"1000000000-1200000000 0.2 s false [false] x[1 0] n[1 1] stuck[2 2] vNaN",
		"11000000000-11200000000 0.2 s false [false] x[2 0] n[1 1] stuck[1 3] vNaN",
	}
	if got := framed(in, l, 0.2, 100); !slices.Equal(got, want) {
		for i := range got {
			t.Log(got[i])
		}
		t.Error("frames differ from those reckoned by hand")
	}
}

// TestBatchesDoNotMatter: however the log is cut into batches, narrow or not, the
// frames are the same.
func TestBatchesDoNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in, l := workAndOne()
		at := 0.0
		for range rapid.IntRange(1, 40).Draw(t, "samples") {
			at += rapid.SampledFrom([]float64{0.2, 0.2, 0.2, 0.4, 5}).Draw(t, "dt")
			value := func(what string, of ...float64) float64 { return rapid.SampledFrom(of).Draw(t, what) }
			put(l, at, value("work", 1, 1, 1, 0, flowlog.Missing()), value("open", 1, 1, 0, flowlog.Missing()),
				value("a", 0, 3, 9, flowlog.Missing()), value("b", 4, 4, 5))
		}
		sizes := rapid.SliceOfN(rapid.IntRange(1, 9), 1, 10).Draw(t, "sizes")
		if whole, cut := framed(in, l, 0.2, l.Len()), framed(in, l, 0.2, sizes...); !slices.Equal(whole, cut) {
			t.Fatalf("in one\n%q\nin batches of %v\n%q", whole, sizes, cut)
		}
		some := rapid.SliceOfN(rapid.Bool(), 40, 40).Draw(t, "narrow")
		frames := rapid.SampledFrom([]float64{0.02, 0.05, 0.2}).Draw(t, "interval")
		whole := framed(in, l, frames, l.Len())
		if narrow := framedAs(in, l, frames, func(k int) bool { return some[k] }, sizes...); !slices.Equal(whole, narrow) {
			t.Fatalf("plain\n%q\nnarrow\n%q", whole, narrow)
		}
	})
}

// TestSpeedFromPositions: a degree of latitude is 111.27 km at 52 degrees
// (reference agronomy, section 7), so 1e-5 degree a half second is 2.225 m/s;
// the odometer's sphere may be off by 0.5 %.
func TestSpeedFromPositions(t *testing.T) {
	o, v := newOdometer(), 0.0
	for k := range 20 {
		v = o.speed(52+float64(k)*1e-5, -106.5, math.NaN(), int64(k)*5e8)
	}
	if math.Abs(v/2.2253-1) > 0.005 {
		t.Errorf("%.4f m/s", v)
	}
	if v := o.speed(52, -106.5, 3.5, 1e11); v != 3.5 {
		t.Error("the log's own speed is not taken:", v)
	}
}
