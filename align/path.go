package align

import (
	"math"

	"runproof/track"
)

// way is the distance, m, and direction, degrees, from one position to another
// close by; NaN where one is missing.
func way(lat1, lon1, lat2, lon2 float64) (metres, deg float64) {
	m, n := track.Radii(lat1)
	const rad = math.Pi / 180
	north := (lat2 - lat1) * rad * m
	east := math.Remainder(lon2-lon1, 360) * rad * n * math.Cos(lat1*rad)
	return math.Hypot(north, east), math.Atan2(east, north) / rad
}

// path is what the position log says of the machine, on an even grid of time
// that begins at its first sample.
type path struct {
	stepS float64
	v     []float64 // m/s, straight lines between samples
	turn  []float64 // how fast it turns, degrees/s, over a second either way, unsigned
	way   []float64 // course, degrees, without jumps
	work  []float64
}

// grid limits.
const (
	gridStepS = 0.1
	maxGrid   = 1 << 20 // 29 h in steps of 0.1 s; beyond that, longer steps
	smoothS   = 1.0     // half-width of the mean over speed, or an interval where that is longer
	holeS     = 3.0     // no value is drawn across a longer hole, unless samples are further apart
)

func newPath(s *series) *path {
	spanS := float64(s.ns[len(s.ns)-1]-s.ns[0]) / 1e9
	p := &path{stepS: max(gridStepS, spanS/maxGrid)}
	n := int(spanS/p.stepS) + 1
	hole := max(holeS, 2.5*s.intervalS())
	p.v = onGrid(s, s.speed, n, p.stepS, hole)
	p.way = onGrid(s, unwrapped(s.course), n, p.stepS, hole)
	p.turn = rate(p.way, max(1, int(math.Round(1/p.stepS))), p.stepS)
	p.work = held(s, s.work, n, p.stepS, hole)
	return p
}

// onGrid draws straight lines between samples no further apart than hole.
func onGrid(s *series, v []float64, n int, step, hole float64) []float64 {
	out := filled(n)
	last := -1
	for i, x := range v {
		if x != x {
			continue
		}
		t1 := float64(s.ns[i]-s.ns[0]) / 1e9
		if last >= 0 {
			t0 := float64(s.ns[last]-s.ns[0]) / 1e9
			if t1-t0 <= hole {
				for k := int(math.Ceil(t0/step - 1e-9)); k < n && float64(k)*step <= t1+1e-9; k++ {
					out[k] = v[last] + (x-v[last])*(float64(k)*step-t0)/(t1-t0)
				}
			}
		}
		last = i
	}
	return out
}

// bent draws cubics between samples no further apart than hole, with the slopes
// of the chords across each sample (Catmull and Rom 1974); where a neighbour
// lacks, with the slope of the stretch itself.
func bent(s *series, v []float64, n int, step, hole float64) []float64 {
	var t, x []float64
	for i, y := range v {
		if y == y {
			t, x = append(t, float64(s.ns[i]-s.ns[0])/1e9), append(x, y)
		}
	}
	slope := func(i, j int) float64 { // at sample i, seen from the stretch to its neighbour j
		k := 2*i - j
		if k < 0 || k >= len(t) || math.Abs(t[i]-t[k]) > hole {
			k = i
		}
		return (x[j] - x[k]) / (t[j] - t[k])
	}
	out := filled(n)
	for i := 1; i < len(t); i++ {
		h := t[i] - t[i-1]
		if h > hole {
			continue
		}
		a, b := slope(i-1, i)*h, slope(i, i-1)*h
		for k := int(math.Ceil(t[i-1]/step - 1e-9)); k < n && float64(k)*step <= t[i]+1e-9; k++ {
			u := (float64(k)*step - t[i-1]) / h
			w := 1 - u
			out[k] = x[i-1]*w*w*(1+2*u) + x[i]*u*u*(1+2*w) + a*u*w*w - b*u*u*w
		}
	}
	return out
}

// held keeps each state until the next sample.
func held(s *series, v []float64, n int, step, hole float64) []float64 {
	out := filled(n)
	for i := 0; i+1 < len(v); i++ {
		t0, t1 := float64(s.ns[i]-s.ns[0])/1e9, float64(s.ns[i+1]-s.ns[0])/1e9
		for k := int(math.Ceil(t0/step - 1e-9)); k < n && float64(k)*step < t1-1e-9 && t1-t0 <= hole; k++ {
			out[k] = v[i+1] // the state of a sample is that of the time before it
		}
	}
	return out
}

func filled(n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = nan
	}
	return v
}

// unwrapped takes the jumps of a whole circle out of courses.
func unwrapped(deg []float64) []float64 {
	out := make([]float64, len(deg))
	last := nan
	for i, d := range deg {
		if last == last && d == d {
			d = last + math.Remainder(d-last, 360)
		}
		if out[i] = d; d == d {
			last = d
		}
	}
	return out
}

// smooth is a triangular mean of half-width k; a value with a missing neighbour
// stays as it is.
func smooth(v []float64, k int) []float64 {
	out := append([]float64(nil), v...)
	for i := k; i+k < len(v); i++ {
		sum, weight := 0.0, 0.0
		for j := -k; j <= k; j++ {
			w := float64(k + 1 - max(j, -j))
			sum += w * v[i+j]
			weight += w
		}
		if sum == sum {
			out[i] = sum / weight
		}
	}
	return out
}

// rate is the unsigned change over k steps either way, per second.
func rate(v []float64, k int, step float64) []float64 {
	out := filled(len(v))
	for i := k; i+k < len(v); i++ {
		out[i] = math.Abs(v[i+k]-v[i-k]) / (2 * float64(k) * step)
	}
	return out
}

// at is a grid's value at time t, between its points; NaN outside.
func at(v []float64, step, t float64) float64 {
	x := t / step
	i := int(x)
	if x < 0 || i+1 >= len(v) {
		return nan
	}
	f := x - float64(i)
	return v[i] + f*(v[i+1]-v[i])
}

// speedFor is the speed to compare with a quantity that comes every intervalS.
// Where that is denser than the positions, the curve through these is bent to
// keep its corners, for a flattened start of a pass looks like a later one; the
// samples of x lie at all places between two positions, so that the noise, which
// lines between positions flatten, prefers no shift. It is smoothed for its noise,
// over no less than an interval where both come as densely.
func (p *path) speedFor(s *series, intervalS float64) []float64 {
	if intervalS <= s.intervalS()/2 {
		return smooth(bent(s, s.speed, len(p.v), p.stepS, max(holeS, 2.5*s.intervalS())), int(smoothS/p.stepS))
	}
	return smooth(p.v, int(max(smoothS, s.intervalS())/p.stepS))
}

// straight is v without the bends, and 1.5 s about them: there the antenna has
// another speed than the drill.
func (p *path) straight(v []float64) []float64 {
	const bendDegS, nearS = 3.0, 1.5
	out := append([]float64(nil), v...)
	near := int(nearS / p.stepS)
	for i, w := range p.turn {
		if w > bendDegS {
			for k := max(0, i-near); k <= min(len(out)-1, i+near); k++ {
				out[k] = nan
			}
		}
	}
	return out
}

// turn is a headland turn: when it begins and ends, seconds.
type turn struct{ from, to float64 }

// What makes a headland turn.
const (
	turnDegS   = 3.0  // it turns at least that fast
	turnDeg    = 60.0 // by at least that much in all
	straightS  = 6.0  // a shorter straight within is part of it
	offLineDeg = 5.0  // from the course of the pass: it has begun, or not yet ended
)

// turns finds the headland turns. One begins when the course leaves that of the
// pass before by offLineDeg, and ends when it comes that near to that of the pass
// after for good.
func (p *path) turns() []turn {
	join := int(straightS / p.stepS)
	var out []turn
	for i := 0; i < len(p.turn); i++ {
		if !(p.turn[i] > turnDegS) {
			continue
		}
		from, to, total := i, i, 0.0
		for k := i; k < len(p.turn) && k-to <= join; k++ {
			if p.turn[k] > turnDegS {
				to = k
				total += p.turn[k] * p.stepS
			}
		}
		i = to + join
		if total < turnDeg {
			continue
		}
		if a, b, ok := p.rims(from, to); ok {
			out = append(out, turn{float64(a) * p.stepS, float64(b) * p.stepS})
		}
	}
	return out
}

// rims finds the beginning and the end of a turn that happens between two places
// of the grid.
func (p *path) rims(from, to int) (begin, end int, ok bool) {
	const nearS, farS = 3.0, 10.0
	near, far := int(nearS/p.stepS), int(farS/p.stepS)
	before, ok1 := p.lineOf(from-far, from-near)
	after, ok2 := p.lineOf(to+near, to+far)
	if !ok1 || !ok2 {
		return 0, 0, false
	}
	middle := (from + to) / 2
	for begin = from - near; begin < middle && math.Abs(p.way[begin]-before) < offLineDeg; begin++ {
	}
	for end = to + near; end > middle && math.Abs(p.way[end]-after) < offLineDeg; end-- {
	}
	return begin, end, begin < middle && end > middle
}

// lineOf is the mean course between two places of the grid, where it is steady.
func (p *path) lineOf(a, b int) (deg float64, ok bool) {
	const steadyDeg = 2.0
	if a < 0 || b > len(p.way) || a >= b {
		return 0, false
	}
	sum, sum2 := 0.0, 0.0
	for _, v := range p.way[a:b] {
		d := v - p.way[a]
		sum += d
		sum2 += d * d
	}
	n := float64(b - a)
	mean := sum / n
	return p.way[a] + mean, sum2/n-mean*mean < steadyDeg*steadyDeg
}
