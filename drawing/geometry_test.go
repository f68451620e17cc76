package drawing

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func length(lines [][]Point) float64 {
	sum := 0.0
	for _, l := range lines {
		for i := 1; i < len(l); i++ {
			sum += math.Hypot(l[i].X-l[i-1].X, l[i].Y-l[i-1].Y)
		}
	}
	return sum
}

// The total length of hatch lines times their distance is the area, by the
// midpoint rule; for a square on the raster at 0 and 90 degrees exactly.
func TestHatchCoversTheArea(t *testing.T) {
	outer := Rect{0, 0, 10, 10}.Corners()
	hole := Rect{2, 2, 4, 4}.Corners()
	for _, c := range []struct {
		name  string
		rings [][]Point
		deg   float64
		area  float64
		tol   float64
	}{
		{"square, level lines", [][]Point{outer}, 0, 100, 1e-9},
		{"square, upright lines", [][]Point{outer}, 90, 100, 1e-9},
		{"square with a hole", [][]Point{outer, hole}, 0, 84, 1e-9},
		// A diagonal lattice at 0.5 mm errs by at most one line of the longest chord, 14.2 mm: 7.1 mm2.
		{"square, rising lines", [][]Point{outer}, -45, 100, 7.1},
		{"square with a hole, falling", [][]Point{outer, hole}, 45, 84, 7.1},
		{"triangle", [][]Point{{{0, 0}, {10, 0}, {0, 10}}}, 0, 50, 1e-9}, // the midpoint rule is exact for straight edges
		{"nothing", nil, 0, 0, 0},
		{"a line without area", [][]Point{{{0, 0}, {5, 5}}}, 0, 0, 0},
	} {
		if got := length(HatchLines(c.rings, c.deg, 0.5)) * 0.5; math.Abs(got-c.area) > c.tol {
			t.Errorf("%s: hatch stands for %v mm2, want %v +- %v", c.name, got, c.area, c.tol)
		}
	}
	far := []Point{{1e300, 1e300}, {2e300, 1e300}, {1e300, 2e300}}
	if HatchLines([][]Point{far}, 45, 1) != nil || HatchLines([][]Point{{{0, 0}, {1, math.Inf(1)}, {1, 1}}}, 0, 1) != nil {
		t.Error("an area past all sheets is hatched")
	}
	if HatchLines([][]Point{outer}, 0, 0) != nil || HatchLines([][]Point{outer}, 0, math.NaN()) != nil {
		t.Error("a distance that is not positive drew lines")
	}
}

func TestHatchStaysInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tri := []Point{genPoint(t), genPoint(t), genPoint(t)}
		e := Rect{-20, -20, 40, 40}
		for _, l := range HatchLines([][]Point{tri}, rapid.Float64Range(-90, 90).Draw(t, "deg"), 0.7) {
			for _, p := range l {
				if !inTriangle(tri, p) || !inRect(p, e) {
					t.Fatalf("%v leaves %v", p, tri)
				}
			}
		}
	})
}

func inTriangle(tri []Point, p Point) bool {
	pos, neg := false, false
	for i, a := range tri {
		b := tri[(i+1)%3]
		d := (b.X-a.X)*(p.Y-a.Y) - (b.Y-a.Y)*(p.X-a.X)
		pos, neg = pos || d > 1e-6, neg || d < -1e-6
	}
	return !pos || !neg
}

func inRect(p Point, r Rect) bool {
	return p.X >= r.X-1e-9 && p.X <= r.Right()+1e-9 && p.Y >= r.Y-1e-9 && p.Y <= r.Bottom()+1e-9
}

func genPoint(t *rapid.T) Point {
	return Point{rapid.Float64Range(-15, 15).Draw(t, "x"), rapid.Float64Range(-15, 15).Draw(t, "y")}
}

func TestArcStaysWithinTolerance(t *testing.T) {
	for _, r := range []float64{0.05, 1, 20, 500} {
		pts := ArcPoints(Point{3, 4}, r, 10, 300)
		for i := 1; i < len(pts); i++ {
			mid := Point{(pts[i].X + pts[i-1].X) / 2, (pts[i].Y + pts[i-1].Y) / 2}
			if off := r - math.Hypot(mid.X-3, mid.Y-4); off > arcToleranceMM+1e-9 || off < -1e-9 {
				t.Fatalf("r %v: chord leaves the arc by %v mm", r, off)
			}
		}
	}
	if p := ArcPoints(Point{1, 2}, 0, 0, 90); len(p) != 1 || p[0] != (Point{1, 2}) {
		t.Errorf("arc without radius: %v", p)
	}
}

func TestClipPolyline(t *testing.T) {
	r := Rect{0, 0, 10, 10}
	for _, c := range []struct {
		name string
		in   []Point
		want [][]Point
	}{
		{"inside", []Point{{1, 1}, {9, 9}}, [][]Point{{{1, 1}, {9, 9}}}},
		{"through", []Point{{-5, 5}, {15, 5}}, [][]Point{{{0, 5}, {10, 5}}}},
		{"out and in again", []Point{{5, 5}, {5, 15}, {6, 15}, {6, 5}}, [][]Point{{{5, 5}, {5, 10}}, {{6, 10}, {6, 5}}}},
		{"outside", []Point{{-5, -5}, {-1, 20}}, nil},
		{"broken by a gap", []Point{{1, 1}, {2, 1}, {math.NaN(), 1}, {4, 1}, {5, 1}}, [][]Point{{{1, 1}, {2, 1}}, {{4, 1}, {5, 1}}}},
		{"one point", []Point{{1, 1}}, nil},
		{"nil", nil, nil},
	} {
		got := ClipPolyline(c.in, r)
		if len(got) != len(c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
			continue
		}
		for i := range got {
			if length(got[i:i+1]) != length(c.want[i:i+1]) || got[i][0] != c.want[i][0] {
				t.Errorf("%s: %v, want %v", c.name, got, c.want)
			}
		}
	}
}

func TestClipPolygonArea(t *testing.T) {
	r := Rect{0, 0, 10, 10}
	for _, c := range []struct {
		ring []Point
		area float64
	}{
		{Rect{2, 2, 3, 3}.Corners(), 9},
		{Rect{-5, -5, 30, 30}.Corners(), 100},
		{Rect{5, 5, 10, 10}.Corners(), 25},
		{Rect{20, 20, 3, 3}.Corners(), 0},
		{[]Point{{-10, 5}, {5, -10}, {20, 5}, {5, 20}}, 100 - 4*0}, // the diamond |x-5|+|y-5| <= 15 holds the square
		{nil, 0},
	} {
		if got := area(ClipPolygon(c.ring, r)); math.Abs(got-c.area) > 1e-9 {
			t.Errorf("%v: area %v, want %v", c.ring, got, c.area)
		}
	}
}

func area(ring []Point) float64 {
	sum := 0.0
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		sum += a.X*b.Y - b.X*a.Y
	}
	return math.Abs(sum) / 2
}

func TestFitView(t *testing.T) {
	r := Rect{10, 10, 180, 100}
	for _, c := range []struct {
		e    Extent
		want string
	}{
		{Extent{-6, -1, 6, 1}, "1:75"},    // 12 m in 180 mm needs 66.7
		{Extent{-9, -1, 9, 1}, "1:100"},   // 18 m: exactly 1:100
		{Extent{-9.1, -1, 9, 1}, "1:125"}, // a little more
		{Extent{0, 0, 0, 1}, "1:10"},      // never larger than 1:10
		{Extent{}, "1:10"},
		{Extent{0, 0, 4000, 2200}, "1:25000"}, // 22 000 and 22 222
	} {
		v := FitView(c.e, r)
		if v.Scale() != c.want {
			t.Errorf("%v: scale %s, want %s", c.e, v.Scale(), c.want)
		}
		for _, p := range []Point{v.At(c.e.Left, c.e.Back), v.At(c.e.Right, c.e.Front)} {
			if !inRect(p, r) {
				t.Errorf("%v: %v is off %v", c.e, p, r)
			}
		}
	}
	if (View{}).Scale() != "not to scale" {
		t.Error("zero view has a scale")
	}
}
