package replay

import (
	"runtime"
	"testing"
)

// TestMemoryIsFlat: a log forty times as long takes no more memory for its
// length. What is allocated on the way must stay under a tenth of the
// readings' own 8 bytes.
func TestMemoryIsFlat(t *testing.T) {
	f, l, truth := busy(t, 6, 0.1)
	r := evenRules(f, 0.5, 2, 0.5)
	r.Shares = trueShares(truth)
	allocated := func(times int) (bytes uint64, samples int) {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		d, err := Run(f, told(truth), []Book{{"rules.json", r}}, &repeated{Log: l, times: times, size: 512}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		runtime.ReadMemStats(&after)
		return after.TotalAlloc - before.TotalAlloc, d.Samples
	}
	few, n := allocated(2)
	many, m := allocated(80)
	if m != 40*n {
		t.Fatalf("%d and %d samples", n, m)
	}
	if readings := uint64(m-n) * uint64(len(l.Columns)) * 8; many > few+readings/10 {
		t.Errorf("%d bytes allocated for %d samples, %d for %d", few, n, many, m)
	}
}
