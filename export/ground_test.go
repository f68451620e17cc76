package export_test

import (
	"math"
	"testing"

	"github.com/peterstace/simplefeatures/geom"
	"pgregory.net/rapid"

	"runproof/export"
)

// valid says whether the ground is a valid MultiPolygon (OGC 06-103r4) with the
// directions of RFC 7946, inside the bounds of longitude and latitude.
func valid(t interface {
	Errorf(string, ...any)
	Helper()
}, g export.Ground,
) {
	t.Helper()
	var polygons []geom.Polygon
	for _, p := range g {
		var lines []geom.LineString
		for i, r := range p {
			if r[0] != r[len(r)-1] || len(r) < 4 {
				t.Errorf("ring of %d places is not closed", len(r))
			}
			if twice := export.Twice(r); (twice > 0) != (i == 0) || twice == 0 {
				t.Errorf("ring %d of a polygon has twice the area %g", i, twice)
			}
			var flat []float64
			for _, at := range r {
				if !(math.Abs(at[0]) <= 180 && math.Abs(at[1]) <= 90) {
					t.Errorf("place %v", at)
				}
				flat = append(flat, at[0], at[1])
			}
			lines = append(lines, geom.NewLineString(geom.NewSequence(flat, geom.DimXY)))
		}
		polygons = append(polygons, geom.NewPolygon(lines))
	}
	if err := geom.NewMultiPolygon(polygons).Validate(); err != nil {
		t.Errorf("%d polygons: %v", len(polygons), err)
	}
}

func TestGroundIsSound(t *testing.T) {
	for name, day := range map[string]*export.Day{"demo": demoDay(t), "odd": oddDay(t)} {
		for _, s := range day.Short {
			valid(t, s.Ground)
		}
		if name == "odd" && (len(day.Short) != 4 || len(day.Notes) != 0) {
			t.Errorf("%d grounds, %v", len(day.Short), day.Notes)
		}
	}
}

// A strip across the 180th meridian is cut there into two that meet at it, with
// the area of both together (RFC 7946, 3.1.9).
func TestCutAtMeridian(t *testing.T) {
	g := oddDay(t).Short[0].Ground
	if len(g) != 2 {
		t.Fatalf("%d polygons", len(g))
	}
	west, east := 0, 0
	for _, p := range g {
		for _, at := range p[0] {
			switch {
			case at[0] == 180:
				east++
			case at[0] == -180:
				west++
			}
		}
	}
	if west < 2 || east < 2 {
		t.Errorf("%d places at -180, %d at 180", west, east)
	}
	// 55 m by 3 m; the ring's places are rounded to 1e-7 degrees, 1.1 cm, so that
	// the width is right to 2 cm and the length to 4
	if a := g.AreaM2(); math.Abs(a-165) > 165*(0.022/3+0.04/55) {
		t.Errorf("area %.2f m2, want 165", a)
	}
}

// A full turn on a circle that the strip's inner edge cannot follow covers a
// disc. The path is 46 chords of 0.5 m at 10 degrees: a circle of radius 0.5 /
// (2 sin 5°) = 2.87 m, and the strip reaches 3 m to either side of it: beyond the
// middle. The outer edge is a polygon between the radii R = 5.8 and 5.9 m.
func TestTurnCoversItsGroundOnce(t *testing.T) {
	g := oddDay(t).Short[2].Ground
	r := 0.25/math.Sin(5*math.Pi/180) + 3
	if a := g.AreaM2(); len(g) != 1 || a > math.Pi*r*r || a < 0.9*math.Pi*r*r {
		t.Errorf("%d polygons with %.1f m2, a disc of %.2f m has %.1f", len(g), a, r, math.Pi*r*r)
	}
}

// Passes that overlap count once: two of 95 m by 12 m, 5.56 m apart (0.00005
// degrees of latitude at 51.21: 111 258 m a degree, GeodSolve), and one apart.
func TestOverlapCountsOnce(t *testing.T) {
	g := oddDay(t).Short[3].Ground
	want := 95 * (12 + 0.00005*111258 + 12)
	if a := g.AreaM2(); len(g) != 2 || math.Abs(a-want) > 0.004*want {
		t.Errorf("%d polygons with %.1f m2, want 2 with %.1f", len(g), a, want)
	}
}

// Whatever strip is driven, its ground is sound, and where it does not cross
// itself has the area of length times width.
func TestAnyStripIsSound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lat := rapid.Float64Range(-75, 75).Draw(t, "lat")
		lon := rapid.SampledFrom([]float64{-180, 180, 179.99995, 0, -106.3}).Draw(t, "lon")
		heading := rapid.Float64Range(0, 360).Draw(t, "heading")
		turn := rapid.Float64Range(-25, 25).Draw(t, "turn")
		width := rapid.Float64Range(0.2, 14).Draw(t, "width")
		n := rapid.IntRange(2, 60).Draw(t, "steps")
		hs := steady(heading, n)
		for i := range hs {
			hs[i] += turn * float64(i)
		}
		ring := strip(lat, lon, width, 1.1, hs...)
		for i := range ring {
			ring[i] = export.Position{math.Round(ring[i][0]*1e7) / 1e7, math.Round(ring[i][1]*1e7) / 1e7}
		}
		g, crossed := export.Sound([]export.Polygon{{ring}})
		if crossed || len(g) == 0 {
			t.Fatalf("crossed %v, %d polygons", crossed, len(g))
		}
		valid(t, g)
	})
}

// Union and Without keep the sums of areas: |A or B| + |A and B| = |A| + |B|.
func TestOverlayKeepsAreas(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) export.Ground {
			h := rapid.Float64Range(0, 360).Draw(t, name)
			off := rapid.Float64Range(-2e-4, 2e-4).Draw(t, name+" off")
			g, _ := export.Sound([]export.Polygon{{strip(51.2+off, -106.3, 9, 3, steady(h, 25)...)}})
			return g
		}
		a, b := draw("a"), draw("b")
		whole, rest := export.Union(a, b).AreaM2(), export.Without(a, b).AreaM2()
		// |A| = |A without B| + |A and B|; the rounding to 1.1 cm along both edges
		// of two strips of 72 m is worth 2 x 2 x 72 x 0.011 = 3 m2 at most
		if got, want := whole, rest+b.AreaM2(); math.Abs(got-want) > 3.2 {
			t.Fatalf("%.2f together, %.2f and %.2f apart", got, rest, b.AreaM2())
		}
	})
}

// FuzzSound makes rings of any shape sound; what it does not say it left crossing
// is valid. Each pair of bytes is a step of the ring, about 10 m at most.
func FuzzSound(f *testing.F) {
	f.Add([]byte{10, 0, 0, 10, 246, 0}, 51.2, -106.3)
	f.Add([]byte{10, 10, 0, 246, 246, 10}, -16.5, 180.0)
	f.Add([]byte{9, 0, 9, 0, 9, 9, 247, 9, 247, 247, 1, 1}, 0.0, 0.0)
	f.Fuzz(func(t *testing.T, steps []byte, lat, lon float64) {
		if !(math.Abs(lat) < 80 && math.Abs(lon) <= 180) || len(steps) > 200 {
			return
		}
		at := export.Position{math.Round(lon*1e7) / 1e7, math.Round(lat*1e7) / 1e7}
		ring := export.Ring{at}
		for i := 0; i+1 < len(steps); i += 2 {
			at = export.Position{math.Round(at[0]*1e7+float64(int8(steps[i]))*8) / 1e7, math.Round(at[1]*1e7+float64(int8(steps[i+1]))*8) / 1e7}
			ring = append(ring, at)
		}
		g, crossed := export.Sound([]export.Polygon{{append(ring, ring[0])}})
		if !crossed {
			valid(t, g)
		}
	})
}
