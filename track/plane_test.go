package track_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"runproof/track"
)

// item is a check value of testdata/geodesy.json: geodesics and the area by
// GeographicLib 2.1.2 (GeodSolve, Planimeter), radii of curvature from WGS 84's
// constants, the rotation reckoned by hand.
type item struct {
	ID       string
	Inputs   map[string]json.RawMessage
	Expected json.RawMessage
	Source   string
}

func items(t *testing.T, prefix string) []item {
	t.Helper()
	text, err := os.ReadFile("testdata/geodesy.json")
	if err != nil {
		t.Fatal(err)
	}
	var all, out []item
	if err := json.Unmarshal(text, &all); err != nil {
		t.Fatal(err)
	}
	for _, it := range all {
		if strings.HasPrefix(it.ID, prefix) {
			out = append(out, it)
		}
	}
	if len(out) == 0 {
		t.Fatalf("no check values begin with %s", prefix)
	}
	return out
}

func in[T any](t *testing.T, it item, key string) (v T) {
	t.Helper()
	if err := json.Unmarshal(it.Inputs[key], &v); err != nil {
		t.Fatalf("%s %s: %v", it.ID, key, err)
	}
	return v
}

func expected(t *testing.T, it item) (m map[string]float64) {
	t.Helper()
	if err := json.Unmarshal(it.Expected, &m); err != nil {
		t.Fatalf("%s: %v", it.ID, err)
	}
	return m
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.12g, want %.12g within %g", what, got, want, tolerance)
	}
}

func TestRadii(t *testing.T) {
	for _, it := range items(t, "radii") {
		want := expected(t, it)
		m, n := track.Radii(in[float64](t, it, "lat"))
		near(t, it.ID+" M", m, want["M"], 1e-5)
		near(t, it.ID+" N", n, want["N"], 1e-5)
	}
}

// TestGeodesics: from the origin of a plane, distance and direction on the
// plane are those on the ellipsoid, to a tenth of a millimetre up to 1.8 km,
// the direction to a millionth of a degree.
func TestGeodesics(t *testing.T) {
	for _, it := range items(t, "geod-inverse") {
		a, b := in[[2]float64](t, it, "p1"), in[[2]float64](t, it, "p2")
		want := expected(t, it)
		n, e := track.At(a[0], a[1]).ToLocal(b[0], b[1])
		near(t, it.ID+" distance", math.Hypot(n, e), want["distance_m"], 1e-4)
		near(t, it.ID+" azimuth", math.Mod(math.Atan2(e, n)*180/math.Pi+360, 360), want["azimuth_deg"], 2e-6)
	}
	for _, it := range items(t, "geod-direct") {
		lat, lon := in[float64](t, it, "lat"), in[float64](t, it, "lon")
		want := expected(t, it)
		pose := track.Pose{LatDeg: lat, LonDeg: lon, HeadingDeg: in[float64](t, it, "azimuth_deg")}
		lat2, lon2 := pose.Point(in[float64](t, it, "distance_m"), 0)
		near(t, it.ID+" lat", lat2, want["lat"], 1e-9) // 0.1 mm
		near(t, it.ID+" lon", lon2, want["lon"], 2e-9)
	}
}

// TestArea: the plane keeps area: 61 ha to a quarter of a square metre.
func TestArea(t *testing.T) {
	it := items(t, "geod-area")[0]
	ring := [][2]float64{{52, -106.5}, {52, -106.49}, {52.008, -106.49}, {52.008, -106.5}}
	p := track.At(52, -106.5)
	area, around := 0.0, 0.0
	for i := range ring {
		n1, e1 := p.ToLocal(ring[i][0], ring[i][1])
		j := (i + 1) % len(ring)
		n2, e2 := p.ToLocal(ring[j][0], ring[j][1])
		area += (e1*n2 - e2*n1) / 2
		around += math.Hypot(n2-n1, e2-e1)
	}
	want := expected(t, it)
	near(t, "area", area, want["area_m2"], 0.25)
	near(t, "perimeter", around, want["perimeter_m"], 1e-3)
}

func TestTurned(t *testing.T) {
	for _, it := range items(t, "lever") {
		want := expected(t, it)
		n, e := track.Turned(in[float64](t, it, "heading_deg"), in[float64](t, it, "forward_m"), in[float64](t, it, "right_m"))
		near(t, it.ID+" north", n, want["north_m"], 1e-9)
		near(t, it.ID+" east", e, want["east_m"], 1e-9)
	}
}

// TestThereAndBack: ToDegrees undoes ToLocal to a micrometre within 20 km,
// anywhere that is farmed, the 180th meridian included.
func TestThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := track.At(rapid.Float64Range(-75, 75).Draw(t, "lat"), rapid.Float64Range(-180, 180).Draw(t, "lon"))
		n, e := rapid.Float64Range(-2e4, 2e4).Draw(t, "north"), rapid.Float64Range(-2e4, 2e4).Draw(t, "east")
		n2, e2 := p.ToLocal(p.ToDegrees(n, e))
		// 1e-13 degree is the grain of a longitude near 180: some nanometres
		if d := math.Hypot(n2-n, e2-e); d > 1e-6 {
			t.Fatalf("%v m, %v m come back %g m away", n, e, d)
		}
	})
}

// TestPlanesAgree: where a plane stands does not matter: two points 600 m apart
// are as far apart on planes with origins up to 1.5 km away, to a tenth of a
// millimetre.
func TestPlanesAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lat, lon := rapid.Float64Range(-70, 70).Draw(t, "lat"), rapid.Float64Range(-180, 180).Draw(t, "lon")
		a, b := track.At(lat, lon), track.At(lat+0.01, math.Remainder(lon+0.01, 360))
		pose := track.Pose{LatDeg: lat, LonDeg: lon, HeadingDeg: rapid.Float64Range(0, 360).Draw(t, "heading")}
		lat2, lon2 := pose.Point(600, 0)
		span := func(p track.Plane) float64 {
			n1, e1 := p.ToLocal(lat, lon)
			n2, e2 := p.ToLocal(lat2, lon2)
			return math.Hypot(n2-n1, e2-e1)
		}
		if d := math.Abs(span(a) - span(b)); d > 1e-4 {
			t.Fatalf("%.7f m on one plane, %.7f m on the other", span(a), span(b))
		}
	})
}

// Where opener 48 of a drill 12 m wide runs, seen from an antenna 5.2 m ahead
// of the front rank, driving north-east.
func ExamplePose_Point() {
	antenna := track.Pose{LatDeg: 52, LonDeg: -106.5, HeadingDeg: 37}
	lat, lon := antenna.Point(-5.2, 5.875)
	n, e := track.At(52, -106.5).ToLocal(lat, lon)
	fmt.Printf("%.3f m south, %.3f m east\n", -n, e)
	// Output: 7.689 m south, 1.563 m east
}
