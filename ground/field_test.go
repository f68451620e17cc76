package ground

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"runproof/drill"
	"runproof/track"
)

// eight is a drill of 8 rows at 0.25 m in one rank, its antenna over its line.
func eight() *drill.Drill {
	return &drill.Drill{Rows: drill.Rows{Count: 8, SpacingM: 0.25, RanksM: []float64{0}}}
}

// north drives d north at 2 m/s for 300 m from each place east of the first fix,
// lowered from 1 s to 149 s, with 20 m before and behind to come into line.
func north(d *drill.Drill, eastM ...float64) *Trail {
	p := track.At(52, -106.5)
	t := NewTrail(Rig{})
	ns := int64(0)
	for _, e := range eastM {
		for s := -10; s <= 160; s++ {
			lat, lon := p.ToDegrees(2*float64(s), e)
			t.Add(Fix{FromNS: ns - 1e9, NS: ns, LatDeg: lat, LonDeg: lon, Work: s > 1 && s <= 149, MovedM: math.NaN()})
			ns += 1e9
		}
		ns += 60e9
	}
	t.Close()
	return t
}

// lowered is when pass k of north comes by so many metres north of the first fix.
func lowered(k int, northM float64) int64 { return int64(k)*231e9 + int64((10+northM/2)*1e9) }

// TestStripByHand: one row of 0.25 m bare for 106 s at 2 m/s: 212 m x 0.25 m =
// 53.0 m2.
func TestStripByHand(t *testing.T) {
	d := eight()
	s := NewField(north(d, 0), d).Survey(Product{Rows: []int{1, 2, 3, 4, 5, 6, 7, 8}, Spells: []Spell{{Event: 1, Rows: []int{3}, FromNS: lowered(0, 40), ToNS: lowered(0, 252)}}})
	if len(s.Strips) != 1 || len(s.Strips[0].Local) != 1 {
		t.Fatalf("%+v", s)
	}
	strip := s.Strips[0]
	ring := strip.Local[0][0]
	if math.Abs(strip.AreaM2-53) > 1e-3 || math.Abs(ringM2(ring)-53) > 1e-3 || math.Abs(s.ShortM2-53) > 1e-3 {
		t.Errorf("area %.4f, ring %.4f, in all %.4f m2, want 53.0, counter-clockwise (RFC 7946, 3.1.6)", strip.AreaM2, ringM2(ring), s.ShortM2)
	}
	deg := strip.Polygons[0][0]
	if ring[0] != ring[len(ring)-1] || deg[0] != deg[len(deg)-1] {
		t.Error("the ring is not closed (RFC 7946, 3.1.6)")
	}
	// rows 1 to 8 lie from 0.875 m left to 0.875 m right: row 3 at 0.375 m left; the plane begins 20 m south
	for _, p := range ring {
		if d := math.Abs(p[0] + 0.375); math.Abs(d-0.125) > 0.001 || p[1] < 59.99 || p[1] > 272.01 {
			t.Errorf("corner %.3f east, %.3f north", p[0], p[1])
		}
	}
	if c := deg[0]; math.Abs(c[0]+106.5) > 0.01 || math.Abs(c[1]-52) > 0.01 {
		t.Errorf("%v is not longitude, latitude", c)
	}
}

// TestWorkedByHand: two passes of 296 m by 2 m that overlap by 0.5 m; the first
// leaves rows 1 to 4 out for its first 10 m, and row 8, over which the second
// goes, for 100 m: 592 - 10 + ... reckoned beside each figure.
func TestWorkedByHand(t *testing.T) {
	d := eight()
	s := NewField(north(d, 0, 1.5), d).Survey(Product{Rows: []int{1, 2, 3, 4, 5, 6, 7, 8}, Spells: []Spell{
		{Rows: []int{1, 2, 3, 4}, FromNS: lowered(0, 2), ToNS: lowered(0, 12)},
		{Event: 1, Rows: []int{8}, FromNS: lowered(0, 100), ToNS: lowered(0, 200)},
		{Event: 2, Rows: []int{3}, FromNS: lowered(1, 50), ToNS: lowered(1, 90)},
	}})
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"worked", s.WorkedM2, 296 * 3.5},
		{"idle", s.IdleM2, 10 * 1},
		{"short", s.ShortM2, 40 * 0.25}, // row 8 was sown by the second pass
		{"sown", s.SownM2, 296*3.5 - 10 - 10},
		{"twice", s.DoubleM2, 296*0.5 - 100*0.25}, // rows 7 and 8 of the first but for the event; rows 1 and 2 of the second
		{"first event", s.Strips[0].AreaM2, 0},
		{"first event, swept", s.Strips[0].SweptM2, 25},
		{"second event", s.Strips[1].AreaM2, 10},
	} {
		if math.Abs(c.got-c.want) > 0.02 {
			t.Errorf("%s: %.3f m2, want %.3f", c.what, c.got, c.want)
		}
	}
	if len(s.Strips[0].Polygons) != 0 {
		t.Error("ground that another pass sowed has a polygon")
	}
}

// TestTwoEventsOnOnePlace: counted once in all, in full each.
func TestTwoEventsOnOnePlace(t *testing.T) {
	d := eight()
	s := NewField(north(d, 0), d).Survey(Product{Rows: []int{1, 2, 3, 4, 5, 6, 7, 8}, Spells: []Spell{
		{Event: 1, Rows: []int{3}, FromNS: lowered(0, 100), ToNS: lowered(0, 200)},
		{Event: 2, Rows: []int{1, 2, 3, 4}, FromNS: lowered(0, 150), ToNS: lowered(0, 250)},
	}})
	if a, b := s.Strips[0].AreaM2, s.Strips[1].AreaM2; math.Abs(a-25) > 0.01 || math.Abs(b-100) > 0.01 || math.Abs(s.ShortM2-(25+100-12.5)) > 0.01 {
		t.Errorf("%.3f and %.3f m2, %.3f in all", a, b, s.ShortM2)
	}
}

// TestSpellsOfOneEvent: what comes and goes is one strip.
func TestSpellsOfOneEvent(t *testing.T) {
	d := eight()
	s := NewField(north(d, 0), d).Survey(Product{Rows: []int{1, 2, 3, 4, 5, 6, 7, 8}, Spells: []Spell{
		{Event: 4, Rows: []int{3}, FromNS: lowered(0, 100), ToNS: lowered(0, 140)},
		{Event: 4, Rows: []int{3}, FromNS: lowered(0, 180), ToNS: lowered(0, 200)},
	}})
	if len(s.Strips) != 1 || len(s.Strips[0].Polygons) != 2 || math.Abs(s.Strips[0].AreaM2-15) > 0.01 || math.Abs(s.ShortM2-15) > 0.01 {
		t.Errorf("%+v", s)
	}
}

// TestBandsServeTwoRows: a product in every second row covers the width between;
// rows that are shut on purpose are no ground of the product.
func TestBandsServeTwoRows(t *testing.T) {
	for _, c := range []struct {
		rows []int
		want [][2]int
	}{
		{[]int{1, 3, 5, 7}, [][2]int{{1, 7}}},
		{[]int{1, 2, 3, 4, 5, 6, 7, 8}, [][2]int{{1, 8}}},
		{[]int{1, 2, 3, 6, 7, 8}, [][2]int{{1, 3}, {6, 8}}},
		{[]int{1, 2, 3, 5, 6, 7, 8}, [][2]int{{1, 3}, {5, 8}}},
		{[]int{5}, [][2]int{{5, 5}}},
	} {
		if got := (Product{Rows: c.rows}).spans(); !slices.Equal(got, c.want) {
			t.Errorf("%v: %v", c.rows, got)
		}
	}
}

// TestClippedIsMeasured: what the library leaves of a polygon has the area that
// the lines across found, for passes that cross a strip anywhere, and the areas
// add up.
func TestClippedIsMeasured(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := eight()
		d.Rows.Count = rapid.IntRange(2, 40).Draw(t, "rows")
		var rows []int
		for r := range d.Rows.Count {
			rows = append(rows, r+1)
		}
		tr := NewTrail(Rig{})
		p := track.At(-32, 116)
		ns := int64(0)
		passes := rapid.IntRange(1, 4).Draw(t, "passes")
		for range passes {
			h := rapid.Float64Range(0, 2*math.Pi).Draw(t, "heading")
			n0, e0 := rapid.Float64Range(-15, 15).Draw(t, "north"), rapid.Float64Range(-15, 15).Draw(t, "east")
			for s := -60; s <= 60; s++ {
				lat, lon := p.ToDegrees(n0+float64(s)*math.Cos(h), e0+float64(s)*math.Sin(h))
				tr.Add(Fix{FromNS: ns - 5e8, NS: ns, LatDeg: lat, LonDeg: lon, Work: s > -50 && s < 50})
				ns += 5e8
			}
			ns += 60e9
		}
		tr.Close()
		a := rapid.IntRange(1, d.Rows.Count).Draw(t, "row")
		b := rapid.IntRange(a, d.Rows.Count).Draw(t, "to row")
		from := rapid.Int64Range(5e9, 50e9).Draw(t, "from")
		s := NewField(tr, d).Survey(Product{Rows: rows, Spells: []Spell{{Event: 1, Rows: rows[a-1 : b], FromNS: from, ToNS: from + 20e9}}})
		clipped := 0.0
		for _, polygon := range s.Strips[0].Local {
			for _, r := range polygon {
				clipped += ringM2(r)
			}
		}
		if d := math.Abs(clipped - s.ShortM2); d > 0.05+0.004*s.Strips[0].SweptM2 {
			t.Fatalf("%.3f m2 by lines, %.3f m2 by polygons, of %.3f swept", s.ShortM2, clipped, s.Strips[0].SweptM2)
		}
		if d := s.WorkedM2 - s.SownM2 - s.ShortM2 - s.IdleM2; math.Abs(d) > 1e-6 || s.DoubleM2 > s.SownM2+1e-6 {
			t.Fatalf("%+v", s)
		}
	})
}

// ring is a polygon whose area GeographicLib's Planimeter told (2.1.2, WGS 84).
type planimetered struct {
	Name   string
	Ring   Ring
	AreaM2 float64
}

// TestPlanimeter: areas on the ellipsoid to a part in a million, of strips 10 km
// from the first fix, in tidy form and as files have them, and of a field.
func TestPlanimeter(t *testing.T) {
	text, err := os.ReadFile("testdata/planimeter.json")
	if err != nil {
		t.Fatal(err)
	}
	var all []planimetered
	if err := json.Unmarshal(text, &all); err != nil {
		t.Fatal(err)
	}
	for _, c := range all {
		if _, err := exec.LookPath("Planimeter"); err == nil {
			if now := planimeter(t, c.Ring); math.Abs(now-c.AreaM2) > 1e-6 {
				t.Errorf("%s: Planimeter gives %.6f m2 today", c.Name, now)
			}
		}
		plane := track.At(c.Ring[0][1]+0.05, c.Ring[0][0]-0.1) // 6 km south and 8 km east or so
		var local LocalRing
		east := 0.0
		for _, at := range c.Ring {
			n, e := plane.ToLocal(at[1], at[0])
			local, east = append(local, [2]float64{e, n}), east+e/float64(len(c.Ring))
		}
		k := plane.Scale(east)
		// Planimeter takes the difference of areas down to the equator, and prints 1e-5 m2
		if got := math.Abs(ringM2(local)) / (k * k); math.Abs(got-c.AreaM2) > 1e-6*c.AreaM2+5e-5 {
			t.Errorf("%s: %.6f m2, Planimeter %.6f (%.2g)", c.Name, got, c.AreaM2, got/c.AreaM2-1)
		}
	}
}

func planimeter(t *testing.T, r Ring) float64 {
	t.Helper()
	var in strings.Builder
	for _, p := range r[:len(r)-1] {
		fmt.Fprintf(&in, "%.9f %.9f\n", p[1], p[0])
	}
	cmd := exec.Command("Planimeter", "-p", "14")
	cmd.Stdin = strings.NewReader(in.String())
	out, err := cmd.Output()
	var n, length, area float64
	if _, scan := fmt.Sscan(string(out), &n, &length, &area); err != nil || scan != nil {
		t.Fatal(err, scan, string(out))
	}
	return math.Abs(area)
}
