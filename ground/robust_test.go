package ground

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"runproof/drill"
)

// TestAnyFixes: whatever a receiver writes, jumps, holes, places that are none and
// outfits of any size, passes stay in order of time, places finite, and areas no
// larger than what can have been gone over.
func TestAnyFixes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := eight()
		d.Rows.Count = rapid.IntRange(1, 60).Draw(t, "rows")
		d.Cart.Position = drill.CartPosition(rapid.IntRange(0, 1).Draw(t, "cart"))
		d.GNSS.At = drill.Point{Forward: rapid.Float64Range(-20, 20).Draw(t, "forward"), Right: rapid.Float64Range(-5, 5).Draw(t, "right")}
		d.Tow.Antenna = drill.Mount(rapid.IntRange(0, 3).Draw(t, "mount"))
		d.Tow.DrillM = rapid.SampledFrom([]float64{0, 0.5, 4, 30}).Draw(t, "drill_m")
		tr := NewTrail(RigOf(d))
		lat, lon := rapid.SampledFrom([]float64{0, 52, -89.999}).Draw(t, "lat"), rapid.SampledFrom([]float64{0.5, 179.9999, -106}).Draw(t, "lon")
		ns, gone := int64(0), 0.0
		for range rapid.IntRange(0, 120).Draw(t, "fixes") {
			from := ns
			ns += rapid.SampledFrom([]int64{1, 1e8, 5e8, 1e9, 12e9, 600e9}).Draw(t, "ns")
			f := Fix{FromNS: from, NS: ns, Work: rapid.IntRange(0, 4).Draw(t, "work") > 0, MovedM: rapid.SampledFrom([]float64{0, 1, 100, math.NaN()}).Draw(t, "moved")}
			step := rapid.SampledFrom([]float64{0, 1e-7, 1e-5, 2e-5, -1e-5, 3e-4, 0.1}).Draw(t, "step")
			lat, lon = lat+step, lon+rapid.Float64Range(-1, 1).Draw(t, "aside")*step
			gone += 120000 * math.Abs(step)
			f.LatDeg, f.LonDeg = lat, lon
			if rapid.IntRange(0, 9).Draw(t, "lost") == 0 {
				f.LatDeg = rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), 91, 0}).Draw(t, "none")
				f.LonDeg = 0
			}
			tr.Add(f)
		}
		tr.Close()
		last := int64(math.MinInt64)
		for _, pass := range tr.Passes() {
			if len(pass) < 2 {
				t.Fatal("a pass of one pose")
			}
			for _, p := range pass {
				if p.NS < last || math.IsNaN(p.North+p.East+p.HeadingDeg) || math.IsInf(p.North+p.East+p.HeadingDeg, 0) {
					t.Fatalf("%+v after %d", p, last)
				}
				last = p.NS
			}
		}
		from := rapid.Int64Range(0, max(1, ns)).Draw(t, "from")
		s := NewField(tr, d).Survey(Product{Rows: allRows(d), Spells: []Spell{{Event: 1, Rows: []int{1}, FromNS: from, ToNS: from + 60e9}, {Rows: allRows(d), FromNS: 0, ToNS: 5e9}}})
		for _, v := range []float64{s.WorkedM2, s.SownM2, s.DoubleM2, s.ShortM2, s.IdleM2} {
			// the ends of a wide drill swing far in a sharp corner: half a circle about its middle at most each fix
			if !(v >= -1e-6 && v <= 1+(gone+120*40)*(d.WidthM()+60)) {
				t.Fatalf("%+v of %.1f m", s, gone)
			}
		}
	})
}
