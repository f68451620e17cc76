package counts

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// The values are R's quantile(c(3, 1, 4, 1, 5), q), type 7, worked by hand from
// Hyndman & Fan 1996: order statistic 1 + 4 q, interpolated.
func TestQuantile(t *testing.T) {
	v := []float64{3, 1, 4, 1, 5}
	for q, want := range map[float64]float64{0: 1, 0.25: 1, 0.5: 3, 0.6: 3.4, 0.9: 4.6, 1: 5} {
		if got := Quantile(v, q); math.Abs(got-want) > 1e-12 {
			t.Errorf("quantile %g is %g, want %g", q, got, want)
		}
	}
	if !slices.Equal(v, []float64{3, 1, 4, 1, 5}) {
		t.Error("the input was changed")
	}
	if got := Quantile(nil, 0.5); got != 0 {
		t.Errorf("of nothing: %g", got)
	}
}

// TestQuantileIsOfTheSorted: selecting gives what sorting does, whatever is
// equal, and however many there are.
func TestQuantileIsOfTheSorted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		most := rapid.SampledFrom([]int{0, 1, 5, 1000000}).Draw(t, "most")
		v := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) float64 { return float64(rapid.IntRange(0, most).Draw(t, "v")) / 8 }), 1, 300).Draw(t, "values")
		q := rapid.Float64Range(0, 1).Draw(t, "q")
		kept, sorted := slices.Clone(v), slices.Sorted(slices.Values(v))
		at := q * float64(len(v)-1)
		i := int(at)
		want := sorted[i]
		if i+1 < len(v) {
			want += (at - float64(i)) * (sorted[i+1] - sorted[i])
		}
		if got := Quantile(v, q); got != want || !slices.Equal(v, kept) {
			t.Fatalf("%v of %v: %v, want %v", q, kept, got, want)
		}
	})
}
