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

// TestPosterior: two normal laws that tell of one clock, with no bound, make the
// mean by inverse variances; a bound holds the lag below it and near it; with
// turns that tell nothing, a bound alone leaves the law 1 - (1 + t/driveS)^-1 of
// the time t beside the lag (the integral of its density), cut off at no lag.
func TestPosterior(t *testing.T) {
	inf := math.Inf(1)
	// a quantile of the time beside a lag of at most 2 s: p = (1 - 1/(1+t/d)) / (1 - 1/(1+2/d))
	beside := func(p float64) float64 { return driveS * (1/(1-p*(1-1/(1+2/driveS))) - 1) }
	for _, c := range []struct {
		name                         string
		b                            belief
		flow, flowSD, other, otherSD float64
		low, clock, high             float64
	}{
		{"reckoned, no turns", belief{known: &Lag{3, 0.3}}, 100, 0.4, 0, inf, 103 - 1.96*0.5, 103, 103 + 1.96*0.5},
		// 1/0.25 and 1/1: 104.2 x 0.8 + 105.2 x 0.2, variance 1/5
		{"reckoned, with turns", belief{known: &Lag{4.2, 0.3}}, 100, 0.4, 105.2, 1, 104.4 - 1.96/math.Sqrt(5), 104.4, 104.4 + 1.96/math.Sqrt(5)},
		{"bound alone", belief{bounds: []bound{{2, 1e-3}}}, 100, 1e-3, 0, inf, 102 - beside(0.975), 102 - beside(0.5), 102 - beside(0.025)},
		{"reckoned beyond the bound", belief{known: &Lag{2.5, 0.4}, bounds: []bound{{2, 0.01}}}, 100, 0.01, 0, inf, 101.2, 101.75, 102.03},
	} {
		m := c.b.posterior(c.flow, c.flowSD, c.other, c.otherSD)
		const tol = 0.01
		free := c.name == "reckoned beyond the bound" // no formula: within what it must be
		for _, q := range []struct{ part, want float64 }{{0.025, c.low}, {0.5, c.clock}, {0.975, c.high}} {
			if got := m.quantile(q.part); math.Abs(got-q.want) > tol && !(free && got >= c.low && got <= c.high) {
				t.Errorf("%s: %g quantile %.3f, want %.3f", c.name, q.part, got, q.want)
			}
		}
	}
}

// TestBoundsOf: flow that starts 1.5 s and stops 2 s after the work state bounds
// the lag by both; flow that starts with it is metered ahead and bounds nothing.
func TestBoundsOf(t *testing.T) {
	edges := func(startS, stopS float64) (out []edge) {
		for i := range 5 {
			at := float64(i) * 100
			out = append(out, edge{at + startS, true, 0}, edge{at + 60 + stopS, false, 0})
		}
		return out
	}
	work := edges(0, 0)
	if b, ahead := boundsOf(work, edges(1.5, 2)); ahead || len(b) != 2 || math.Abs(b[0].at-1.5) > 1e-9 || math.Abs(b[1].at-2) > 1e-9 {
		t.Errorf("%v, %v", b, ahead)
	}
	if b, ahead := boundsOf(work, edges(0, 2)); !ahead || b != nil {
		t.Errorf("metered ahead: %v, %v", b, ahead)
	}
	if b, ahead := boundsOf(nil, edges(1, 1)); ahead || b != nil {
		t.Errorf("no work state: %v, %v", b, ahead)
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
