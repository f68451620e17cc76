package ground

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"runproof/drill"
	"runproof/track"
)

const deg = math.Pi / 180

// TestTractrixByHand: pulled straight from an angle, phi falls as
// tan(phi/2) = tan(phi0/2) exp(-s/L) (Sayers 1991, Vehicle System Dynamics
// 20:297, for the equation; the values are of its closed solution, reckoned
// twice in agronomy check values towed-straight).
func TestTractrixByHand(t *testing.T) {
	for _, c := range []struct{ phi0, l, s, phi float64 }{
		{90, 6, 3, 62.47619161},
		{90, 6, 6, 40.39506258},
		{90, 6, 12, 15.41462681},
		{90, 6, 24, 2.09858297},
		{20, 6, 6, 7.4228193757},
		{20, 6, 12, 2.7340094953},
	} {
		if got := -drawn(-c.phi0*deg, 0, c.s, c.l) / deg; math.Abs(got-c.phi) > 1e-8 {
			t.Errorf("%v: %.9f degrees, want %.9f", c, got, c.phi)
		}
	}
}

// TestStepsDoNotMatter: along a straight line one step is as good as many.
func TestStepsDoNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := rapid.Float64Range(-3.1, 3.1).Draw(t, "heading")
		l := rapid.Float64Range(0.5, 20).Draw(t, "draw")
		cuts := rapid.SliceOfN(rapid.Float64Range(0.001, 30), 1, 20).Draw(t, "steps")
		many, sum := h, 0.0
		for _, s := range cuts {
			many, sum = drawn(many, 0.3, s, l), sum+s
		}
		if one := drawn(h, 0.3, sum, l); math.Abs(math.Remainder(one-many, 2*math.Pi)) > 1e-9 {
			t.Fatalf("%.12f in one step, %.12f in %d", one, many, len(cuts))
		}
	})
}

// round drives the antenna of a rig round a circle to the right, ways of s
// between fixes, until all is steady, and returns the trail.
func round(rig Rig, radius, s, laps float64) *Trail {
	p := track.At(52, -106.5)
	t := NewTrail(rig)
	ns := int64(0)
	for a := 0.0; a < laps*2*math.Pi; a += s / radius {
		lat, lon := p.ToDegrees(radius*math.Sin(a), radius*(1-math.Cos(a)))
		t.Add(Fix{FromNS: ns - 1e9, NS: ns, LatDeg: lat, LonDeg: lon, Work: true})
		ns += 1e9
	}
	t.Close()
	return t
}

// TestSteadyCircle: on a circle each body's line runs on one of its own:
// R2^2 = R1^2 + c^2 - L^2 with c from a body's line back to the hitch behind it
// and L from there to the line drawn (plane geometry; with agronomy's values
// 20, 6: 19.0787840283 m and 17.45760312 degrees; 12, 6: 10.3923048454 m; the
// chain 20, 6, c 1.5, 5: 18.4729532019).
func TestSteadyCircle(t *testing.T) {
	for _, c := range []struct {
		name   string
		rig    Rig
		radius float64
		want   float64
	}{
		{"20 m, drawn at 6 m", Rig{AheadM: 6}, 20, 19.0787840283},
		{"12 m, drawn at 6 m", Rig{AheadM: 6}, 12, 10.3923048454},
		{"chain 6, 1.5, 5", Rig{AheadM: 6, Links: []Link{{1.5, 5}}}, 20, 18.4729532019},
		{"antenna over the line", Rig{AheadM: 0, Links: []Link{{1.5, 5}}}, 19.0787840283, 18.4729532019},
		{"antenna 1 m behind the line", Rig{AheadM: -1}, 20, math.Sqrt(399)},
		{"antenna right of the middle", Rig{AheadM: 6, RightM: 0.5}, 20, math.Sqrt(400-36) + 0.5},
	} {
		for _, step := range []float64{0.2, 1, 3, 6} {
			tr := round(c.rig, c.radius, step, 2.5)
			pass := tr.Passes()[0]
			p := pass[len(pass)-4] // the way to the last fix is taken for straight
			got := math.Hypot(p.North, p.East-c.radius)
			// ways are cut in pieces of a metre, chords that lie 1/(12 R) within the circle in the mean, and a hitch
			// 1.5 m behind the line has chords of its own; the cubic between fixes is off by step^4/(384 R^3)
			tol := 0.001 + 2.2*min(step, 1)/(12*c.radius) + math.Pow(step, 4)/(384*math.Pow(c.radius, 3))
			if math.Abs(got-c.want) > tol {
				t.Errorf("%s, a fix every %g m: radius %.4f, want %.4f within %.4f", c.name, step, got, c.want, tol)
			}
		}
	}
}

// driven is testdata/towed.csv; see towed.py beside it.
func driven(t *testing.T) []map[string]float64 {
	t.Helper()
	f, err := os.Open("testdata/towed.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]float64
	for _, line := range lines[1:] {
		row := map[string]float64{}
		for i, v := range line {
			if row[lines[0][i]], err = strconv.ParseFloat(v, 64); err != nil {
				t.Fatal(err)
			}
		}
		out = append(out, row)
	}
	return out
}

// towed is the outfit of testdata/towed.py.
func towed(on drill.Mount) Rig {
	toDrill := Link{2.25, 3.6}
	switch on {
	case drill.OnTractor:
		return Rig{Mount: on, AheadM: 1.4, RightM: 0.3, Links: []Link{{1, 4.25}, toDrill}, LineM: -0.6}
	case drill.OnCart:
		return Rig{Mount: on, AheadM: 1, Links: []Link{toDrill}, LineM: -0.6}
	}
	return Rig{Mount: drill.OnDrill, AheadM: 2.1, LineM: -0.6}
}

// TestAgainstODE: bends, a stand with backing, and a turn at 8 m, against scipy
// (testdata/towed.py), from each place of the antenna and several intervals of
// fixes. Bounds: 0.05 m of the thinner in each direction, and the cubic. Where the
// outfit slows down to a stand, nobody knows when between two fixes it did: at
// 2.2 m/s and a second or two between them that is up to a third of the way.
func TestAgainstODE(t *testing.T) {
	rows := driven(t)
	for _, on := range []drill.Mount{drill.OnTractor, drill.OnCart, drill.OnDrill} {
		for _, c := range []struct {
			every             int // half seconds
			most, mostTurning float64
		}{{1, 0.1, 0.6}, {2, 0.1, 0.8}, {4, 0.12, 0.8}} {
			t.Run(fmt.Sprintf("%s every %g s", on, float64(c.every)/2), func(t *testing.T) {
				tr := NewTrail(towed(on))
				p := track.At(52, -106.5)
				for i := 0; i < len(rows); i += c.every {
					r := rows[i]
					lat, lon := p.ToDegrees(r[on.String()+"_n"], r[on.String()+"_e"])
					ns := int64(r["t"] * 1e9)
					tr.Add(Fix{FromNS: ns - int64(c.every)*5e8, NS: ns, LatDeg: lat, LonDeg: lon, Work: true})
				}
				tr.Close()
				n0, e0 := tr.Plane().ToLocal(p.ToDegrees(0, 0))
				worst, worstTurning := 0.0, 0.0
				for _, r := range rows[2:] {
					got, ok := poseAt(tr, int64(r["t"]*1e9))
					if !ok {
						continue
					}
					d := math.Hypot(got.North-n0-r["ref_n"], got.East-e0-r["ref_e"])
					if tt := r["t"]; tt >= 70 && tt < 90 || tt > 36 && tt < 58 {
						worstTurning = max(worstTurning, d)
					} else {
						worst = max(worst, d)
					}
				}
				t.Logf("off by at most %.3f m, in the turn and while backing %.3f m; %d poses", worst, worstTurning, len(tr.Passes()[0]))
				if worst > c.most || worstTurning > c.mostTurning {
					t.Errorf("want %g and %g m", c.most, c.mostTurning)
				}
			})
		}
	}
}

func poseAt(t *Trail, ns int64) (Pose, bool) {
	for _, p := range t.Passes() {
		for i := 0; i+1 < len(p); i++ {
			if p[i].NS <= ns && ns <= p[i+1].NS {
				return blend(p[i], p[i+1], ns), true
			}
		}
	}
	return Pose{}, false
}
