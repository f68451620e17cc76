package review

import (
	"math"
	"slices"
	"testing"

	"runproof/drill"
	"runproof/fit"
	"runproof/track"
)

// pass is a drill of 8 rows at 0.25 m, its antenna over the middle of the front
// rank, that drives north at 2 m/s from a place east of the first fix.
func passes(in *inputs, eastM ...float64) *trail {
	p := track.At(52, -106.5)
	tr := newTrail(in)
	ns := int64(0)
	for _, e := range eastM {
		for s := 0; s <= 150; s++ {
			lat, lon := p.ToDegrees(2*float64(s), e)
			tr.add(&frame{toNS: ns, work: s > 0 && s < 150, lat: lat, lon: lon, courseDeg: 0})
			ns += 1e9
		}
	}
	tr.close()
	return tr
}

func rowsOf8() *inputs {
	in := oneHead(8)
	in.fit = &fit.Fit{Drill: drill.Drill{Rows: drill.Rows{Count: 8, SpacingM: 0.25, RanksM: []float64{0}}}}
	return in
}

// area is by the shoelace formula; positive when the ring goes round
// counter-clockwise, east to the right and north up.
func area(ring [][2]float64) float64 {
	a := 0.0
	for i := range ring[1:] {
		a += ring[i][0]*ring[i+1][1] - ring[i+1][0]*ring[i][1]
	}
	return a / 2
}

// TestStripByHand: one row of 0.25 m bare for 106 s at 2 m/s: 212 m x 0.25 m =
// 53.0 m2 (the contract's example).
func TestStripByHand(t *testing.T) {
	in := rowsOf8()
	tr := passes(in, 0)
	s := &spell{run: 2, startNS: 20e9, endNS: 126e9}
	strip := tr.strip(s, []int{3})
	if len(strip.Local) != 1 {
		t.Fatalf("%d rings", len(strip.Local))
	}
	ring := strip.Local[0]
	if a := area(ring); math.Abs(a-53) > 0.01 {
		t.Errorf("area %.3f m2, want 53.0, counter-clockwise (RFC 7946, 3.1.6)", a)
	}
	if ring[0] != ring[len(ring)-1] || strip.Rings[0][0] != strip.Rings[0][len(ring)-1] {
		t.Error("the ring is not closed (RFC 7946, 3.1.6)")
	}
	// rows 1 to 8 lie from 0.875 m left to 0.875 m right: row 3 at 0.375 m left
	for _, p := range ring {
		if d := math.Abs(p[0] + 0.375); math.Abs(d-0.125) > 0.001 || p[1] < 39.99 || p[1] > 252.01 {
			t.Errorf("corner %.3f east, %.3f north", p[0], p[1])
		}
	}
	if c := strip.Rings[0][0]; math.Abs(c[0]+106.5) > 0.01 || math.Abs(c[1]-52) > 0.01 {
		t.Errorf("%v is not longitude, latitude", c)
	}
}

func TestStripJoinsNeighbours(t *testing.T) {
	if got := neighbours([]int{7, 1, 2, 3, 5}); !slices.Equal(got, [][2]int{{1, 3}, {5, 5}, {7, 7}}) {
		t.Error(got)
	}
	in := rowsOf8()
	strip := passes(in, 0).strip(&spell{startNS: 20e9, endNS: 126e9}, []int{1, 2, 3, 4, 5, 6, 7, 8})
	if a := area(strip.Local[0]); len(strip.Local) != 1 || math.Abs(a-212*2) > 0.05 {
		t.Errorf("eight rows: %.2f m2 in %d rings, want 424 in one", a, len(strip.Local))
	}
}

// TestAreaNotTwice: ground that a later pass sows too is not bare. The next pass
// beside this one (2 m on) leaves the strip as bare as it was; one that overlaps
// by half the drill's width covers rows on that side; one over the same ground
// covers all.
func TestAreaNotTwice(t *testing.T) {
	for _, c := range []struct {
		name string
		next float64
		row  int
		bare float64
	}{
		{"beside", 2, 8, 1},
		{"half over, the row it covers", 1, 8, 0},
		{"half over, the row it leaves", 1, 2, 1},
		{"the same ground", 0, 5, 0},
	} {
		in := rowsOf8()
		tr := passes(in, 0, c.next)
		got := tr.newCover().bareShare(&spell{startNS: 20e9, endNS: 126e9}, []int{c.row})
		if math.Abs(got-c.bare) > 0.01 {
			t.Errorf("%s: %.2f bare, want %.0f", c.name, got, c.bare)
		}
	}
}

// TestStripInTwoPieces: a turn between two passes is no ground sown.
func TestStripInTwoPieces(t *testing.T) {
	in := rowsOf8()
	strip := passes(in, 0, 20).strip(&spell{startNS: 100e9, endNS: 200e9}, []int{3})
	if len(strip.Local) != 2 {
		t.Errorf("%d pieces, want one of each pass", len(strip.Local))
	}
}

// TestOpener: heading, forward and right of the antenna to north and east
// (reckoned by hand; N = f cos a - r sin a, E = f sin a + r cos a).
func TestOpener(t *testing.T) {
	for _, c := range [][5]float64{
		{0, -4, -5.875, -4, -5.875},
		{90, -4, -5.875, 5.875, -4},
		{37, -5.2, 5.875, -7.6885679133, 1.5625455011},
		{233.5, -4, 0, 2.3792911470, 3.2154274425},
	} {
		in := rowsOf8()
		in.fit.Drill.GNSS.At = drill.Point{Forward: 1, Right: 2}
		n, e := newTrail(in).opener(trailPoint{headingDeg: c[0], north: 100, east: 200}, drill.Point{Forward: c[1] + 1, Right: c[2] + 2})
		if math.Abs(n-100-c[3]) > 1e-9 || math.Abs(e-200-c[4]) > 1e-9 {
			t.Errorf("%v: %.10f north, %.10f east", c, n-100, e-200)
		}
	}
}
