package ground

import (
	"math"
	"math/rand/v2"
	"testing"

	"runproof/drill"
	"runproof/track"
)

// TestHoles: a hole of a minute in a straight pass is bridged where speed says
// that the way was straight, and splits the pass where nothing says so; fixes
// lost at random do no harm.
func TestHoles(t *testing.T) {
	for _, c := range []struct {
		name   string
		movedM float64
		passes int
		worked float64
	}{
		{"speed known", 2, 1, 296 * 2},
		{"speed not known", math.NaN(), 2, (296 - 122) * 2},
	} {
		d := eight()
		rng := rand.New(rand.NewPCG(5, 6))
		p := track.At(52, -106.5)
		tr := NewTrail(Rig{})
		for s := -10; s <= 160; s++ {
			f := Fix{FromNS: int64(s-1) * 1e9, NS: int64(s) * 1e9, Work: s > 1 && s <= 149, MovedM: c.movedM}
			f.LatDeg, f.LonDeg = p.ToDegrees(2*float64(s), 0)
			if s > 50 && s < 111 || s > 5 && s < 45 && rng.IntN(4) == 0 {
				f.LatDeg = math.NaN()
			}
			tr.Add(f)
		}
		tr.Close()
		got := NewField(tr, d).Survey(Product{Rows: allRows(d)})
		if len(tr.Passes()) != c.passes || math.Abs(got.WorkedM2-c.worked) > 1 {
			t.Errorf("%s: %d passes, %.1f m2 worked, want %d and %.1f", c.name, len(tr.Passes()), got.WorkedM2, c.passes, c.worked)
		}
	}
}

// TestJump: where a receiver jumps to another place the pass is two, and the
// drill is in line after it: no ground is swept on the way.
func TestJump(t *testing.T) {
	d := eight()
	p := track.At(52, -106.5)
	tr := NewTrail(towed(drill.OnTractor))
	for s := 0; s <= 100; s++ {
		north, east := 2*float64(s), 0.0
		if s > 50 {
			north, east = 2*float64(s)-30, 20
		}
		f := Fix{FromNS: int64(s-1) * 1e9, NS: int64(s) * 1e9, Work: true, MovedM: 2}
		f.LatDeg, f.LonDeg = p.ToDegrees(north, east)
		tr.Add(f)
	}
	tr.Close()
	got := NewField(tr, d).Survey(Product{Rows: allRows(d)})
	if want := (100.0 + 98) * 2; len(tr.Passes()) != 2 || math.Abs(got.WorkedM2-want) > 0.5 {
		t.Errorf("%d passes, %.2f m2, want 2 and %.2f", len(tr.Passes()), got.WorkedM2, want)
	}
}

// TestNoise: ten fixes a second with 2 cm of noise and stands of a minute, from
// each place of the antenna. The middle of the drill stays within 11 cm of its
// line (the noise of a fix three times over, and the 5 cm of the thinner), its ends
// within 3 degrees of square, and the pass as long as it was.
func TestNoise(t *testing.T) {
	for _, on := range []drill.Mount{drill.OnTractor, drill.OnCart, drill.OnDrill} {
		rng := rand.New(rand.NewPCG(7, 8))
		p := track.At(52, -106.5)
		tr := NewTrail(towed(on))
		s := 0.0
		for i := range 6000 {
			if i%2000 >= 600 { // a stand of a minute in every 200 s
				s += 0.22
			}
			lat, lon := p.ToDegrees(s+0.02*rng.NormFloat64(), 0.02*rng.NormFloat64()+towed(on).RightM)
			tr.Add(Fix{FromNS: int64(i-1) * 1e8, NS: int64(i) * 1e8, LatDeg: lat, LonDeg: lon, Work: i > 900})
		}
		tr.Close()
		_, e0 := tr.Plane().ToLocal(p.ToDegrees(0, 0))
		side, turned, pass := 0.0, 0.0, tr.Passes()[0]
		for _, q := range pass {
			side, turned = max(side, math.Abs(q.East-e0)), max(turned, math.Abs(math.Remainder(q.HeadingDeg, 360)))
		}
		long := pass[len(pass)-1].North - pass[0].North
		t.Logf("%s: %d poses, off by %.3f m and %.2f degrees, %.2f m long", on, len(pass), side, turned, long)
		if want := (6000 - 901 - 2*600) * 0.22; side > 0.11 || turned > 3 || math.Abs(long-want) > 1 || len(tr.Passes()) != 1 {
			t.Errorf("%s: off by %.3f m and %.2f degrees, %.2f m long, want %.2f", on, side, turned, long, want)
		}
	}
}
