package align

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestRatiosAgainstSlowTwin: the FFT gives what sums over the bins known in both
// give, shift by shift.
func TestRatiosAgainstSlowTwin(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	draw := func(n int) signal {
		s := signal{make([]float64, n), make([]float64, n)}
		for i := range n {
			if rng.IntN(4) > 0 {
				s.v[i], s.known[i] = rng.NormFloat64(), 1
			}
		}
		return s
	}
	a, b := draw(70), draw(101)
	lo, hi := -80, 110
	got := newComparer(70, 101).ratios(clue{flow: a, pos: b}, lo, hi, 10)
	for shift := lo; shift <= hi; shift++ {
		var n, sx, sy, sxx, syy, sxy float64
		for i := range a.v {
			k := i + shift
			if k < 0 || k >= len(b.v) || a.known[i]*b.known[k] == 0 {
				continue
			}
			x, y := a.v[i], b.v[k]
			n, sx, sy, sxx, syy, sxy = n+1, sx+x, sy+y, sxx+x*x, syy+y*y, sxy+x*y
		}
		want := 0.0
		if cov := sxy - sx*sy/n; n >= 10 && cov > 0 {
			want = -n / 2 * math.Log(1-cov*cov/((sxx-sx*sx/n)*(syy-sy*sy/n)))
		}
		if math.Abs(got[shift-lo]-want) > 1e-6 {
			t.Errorf("shift %d: %v, want %v", shift, got[shift-lo], want)
		}
	}
}

// TestBottom: the least of (x - 0.3)^2 through -1, 0, 1.
func TestBottom(t *testing.T) {
	f := func(x float64) float64 { return (x - 0.3) * (x - 0.3) }
	if got := bottom(f(-1), f(0), f(1)); math.Abs(got-0.3) > 1e-12 {
		t.Error(got)
	}
	if bottom(1, 1, 1) != 0 {
		t.Error("a plain has no bottom")
	}
}

// TestCommon: switches sampled every 0.2 s and every second share an offset of
// 7.03 s. Each pair leaves 1.2 s; with n edges at random places, the span that
// all leave has a mean of 2 x 1.2 / (n+1) and holds the offset for sure.
func TestCommon(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	var a, b []edge
	const n, offset = 60, 7.03
	for i := range n {
		at := float64(i)*100 + 50*rng.Float64()
		a = append(a, edge{(math.Ceil(at/0.2) - 0.5) * 0.2, i%2 == 0, 0.1})
		b = append(b, edge{math.Ceil(at+offset) - 0.5, i%2 == 0, 0.5})
	}
	at, sd, pairs, ok := common(a, b, 8, 5)
	width := sd * math.Sqrt(12)
	if !ok || pairs != n || math.Abs(at-offset) > width/2+1e-9 || width > 6*2*1.2/(n+1) {
		t.Errorf("%v, sd %v, %d pairs, %v", at, sd, pairs, ok)
	}
	for i := range b { // not one switch: half of them a second and a half late
		b[i].s += 1.5 * float64(i%2)
	}
	if _, _, _, ok := common(a, b, 8, 5); ok {
		t.Error("two switches pass for one")
	}
}

// TestPosterior: with turns that tell nothing, the lag is anything in its range;
// with turns that tell all, the clock is theirs; the range bounds it.
func TestPosterior(t *testing.T) {
	for _, c := range []struct {
		name                                   string
		flow, flowSD, other, otherSD, most     float64
		lowFrom, lowTo, highFrom, highTo, want float64
	}{
		{"turns tell nothing", 100, 0.01, 101, 1e3, 2, 100.03, 100.07, 101.93, 101.97, nan}, // 2.5 % of 2 s at either end
		{"turns tell all", 100, 0.01, 101.2, 0.1, 2, 100.99, 101.02, 101.38, 101.41, 101.2}, // 1.96 x 0.1
		{"turns beyond the range", 100, 0.01, 105, 0.5, 2, 101.6, 101.99, 101.97, 102.03, nan},
		{"no lag possible", 100, 0.1, 100, 10, 0, 99.79, 99.82, 100.18, 100.21, 100}, // 1.96 x 0.1
	} {
		clock, low, high := posterior(c.flow, c.flowSD, c.other, c.otherSD, lagRange{most: c.most})
		if low < c.lowFrom || low > c.lowTo || high < c.highFrom || high > c.highTo || c.want == c.want && math.Abs(clock-c.want) > 0.01 {
			t.Errorf("%s: %v (%v to %v)", c.name, clock, low, high)
		}
	}
}

// TestTurns: two passes and a half circle of 8 m radius at 2 m/s, courses at
// 10 Hz; then the same course with the slip of an antenna 4 m ahead.
func TestTurns(t *testing.T) {
	const begin, lengthS = 60.0, 4 * math.Pi
	for _, slip := range []float64{0, math.Atan2(4, 8) * 180 / math.Pi} {
		s := &series{medNS: 1e8}
		for i := range 1500 {
			at := float64(i) / 10
			c := 20.0
			switch {
			case at >= begin+lengthS:
				c = 200
			case at >= begin:
				c = 20 + 180*(at-begin)/lengthS + slip
			}
			s.ns = append(s.ns, int64(i)*1e8)
			s.course = append(s.course, math.Mod(c, 360))
			s.speed = append(s.speed, 2)
			s.work = append(s.work, nan)
		}
		ts := newPath(s).turns()
		// offLineDeg of turning at 14.3 degrees a second is 0.35 s, and the grid 0.1 s
		if len(ts) != 1 || math.Abs(ts[0].from-begin) > 0.5 || math.Abs(ts[0].to-begin-lengthS) > 0.5 {
			t.Errorf("slip %.0f: %v, want %v to %v", slip, ts, begin, begin+lengthS)
		}
	}
}

// TestLongLogsAreThinned: counts are kept, and memory is bounded.
func TestLongLogsAreThinned(t *testing.T) {
	in := &intake{series: series{thin: 1}}
	const n = 64
	for i := range n {
		in.ns = append(in.ns, int64(i))
		in.flow = append(in.flow, 1)
		for _, v := range []*[]float64{&in.speed, &in.course, &in.work, &in.lat, &in.lon} {
			*v = append(*v, float64(i))
		}
	}
	in.halve()
	if len(in.ns) != n/2 || in.ns[3] != 7 || in.flow[3] != 2 || in.speed[3] != 7 || in.thin != 2 {
		t.Errorf("%d samples; %d, %v, %v", len(in.ns), in.ns[3], in.flow[3], in.speed[3])
	}
}
