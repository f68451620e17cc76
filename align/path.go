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
	speed []float64 // m/s, smoothed over half a second either way
	turn  []float64 // how fast it turns, degrees/s, over a second either way, unsigned
	work  []float64
	v     []float64 // speed as it was
}

// grid limits.
const (
	gridStepS = 0.1
	maxGrid   = 1 << 22
	holeS     = 3.0 // no value is drawn across a longer hole, unless samples are further apart
)

func newPath(s *series) *path {
	spanS := float64(s.ns[len(s.ns)-1]-s.ns[0]) / 1e9
	p := &path{stepS: max(gridStepS, spanS/maxGrid)}
	n := int(spanS/p.stepS) + 1
	hole := max(holeS, 2.5*s.intervalS())
	p.v = onGrid(s, s.speed, n, p.stepS, hole)
	p.speed = smooth(p.v, int(math.Round(0.5/p.stepS)))
	course := onGrid(s, unwrapped(s.course), n, p.stepS, hole)
	p.turn = rate(course, max(1, int(math.Round(1/p.stepS))), p.stepS)
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

// turn is a headland turn: when it begins and ends.
type turn struct{ from, to float64 }

// turns finds the headland turns: course changes faster than turnDegS, joined
// across a short straight, by more than turnDeg together. Its edges are where
// the turning passes half its first and last strength, so that the smoothing
// moves neither.
func (p *path) turns() []turn {
	const (
		turnDegS  = 3.0
		turnDeg   = 60.0
		straightS = 6.0
		edgeS     = 4.0
	)
	join, edge := int(straightS/p.stepS), int(edgeS/p.stepS)
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
		first, last := peak(p.turn[from:min(from+edge, to+1)])/2, peak(p.turn[max(from, to-edge):to+1])/2
		a, b := from, to
		for a < to && p.turn[a] < first {
			a++
		}
		for b > from && p.turn[b] < last {
			b--
		}
		out = append(out, turn{float64(a) * p.stepS, float64(b) * p.stepS})
	}
	return out
}

func peak(v []float64) float64 {
	m := 0.0
	for _, x := range v {
		if x > m {
			m = x
		}
	}
	return m
}
