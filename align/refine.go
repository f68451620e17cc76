package align

import (
	"math"
	"math/rand/v2"
	"slices"
)

// The fine search goes fineS either way in steps of fineStepS.
const (
	fineS     = 6.0
	fineStepS = 0.1
	finePlace = 121 // 2 fineS / fineStepS + 1
)

// sums are those of one stretch at one shift, about the stretch's own means.
type sums struct{ n, xx, xy, yy float64 }

// fine is a fine search: what each stretch says at each shift.
type fine struct {
	centre  float64
	stretch [][]sums  // by stretch and shift
	middle  []float64 // of each stretch, s of the flow log
}

// refine fits x = a + c y(t + shift) with a level a of its own for each stretch
// and one slope c for all.
func refine(times, x []float64, stretches [][2]int, y []float64, stepS, centre float64) *fine {
	f := &fine{centre: centre}
	for _, st := range stretches {
		row := make([]sums, finePlace)
		for k := range row {
			row[k] = sumsOf(times, x, st, y, stepS, f.shift(k))
		}
		if row[finePlace/2].n >= 8 {
			f.stretch = append(f.stretch, row)
			f.middle = append(f.middle, (times[st[0]]+times[st[1]-1])/2)
		}
	}
	return f
}

func (f *fine) shift(k int) float64 { return f.centre - fineS + float64(k)*fineStepS }

func sumsOf(times, x []float64, st [2]int, y []float64, stepS, shift float64) sums {
	var n, sx, sy, sxx, sxy, syy float64
	x0 := x[st[0]]
	if x0 != x0 {
		x0 = 0
	}
	for i := st[0]; i < st[1]; i++ {
		b := at(y, stepS, times[i]+shift)
		a := x[i] - x0
		if a != a || b != b {
			continue
		}
		n++
		sx += a
		sy += b
		sxx += a * a
		sxy += a * b
		syy += b * b
	}
	if n == 0 {
		return sums{}
	}
	return sums{n, max(0, sxx-sx*sx/n), sxy - sx*sy/n, max(0, syy-sy*sy/n)}
}

// best is the shift at which the stretches, each as often as weight says, fit
// best, by a parabola through the best three; r is the correlation there, and
// curve the share of x's variance that stays unexplained, by shift. ok is false
// where the best lies at the rim or nothing correlates.
func (f *fine) best(weight []float64, curve []float64) (shift, r float64, ok bool) {
	at := -1
	for k := range finePlace {
		var xx, xy, yy float64
		for b, row := range f.stretch {
			w := weight[b]
			xx += w * row[k].xx
			xy += w * row[k].xy
			yy += w * row[k].yy
		}
		curve[k] = 1
		if xy > 0 && xx > 0 && yy > 0 {
			curve[k] = 1 - xy*xy/(xx*yy)
		}
		if curve[k] < 1 && (at < 0 || curve[k] < curve[at]) {
			at = k
		}
	}
	if at <= 0 || at >= finePlace-1 {
		return 0, 0, false
	}
	return f.shift(at) + fineStepS*bottom(curve[at-1], curve[at], curve[at+1]), math.Sqrt(1 - curve[at]), true
}

// bottom is where a parabola through three values an even step apart, the middle
// one the least, has its least: in steps from the middle.
func bottom(a, b, c float64) float64 {
	d := a - 2*b + c
	if d <= 0 {
		return 0
	}
	return max(-0.5, min(0.5, (a-c)/(2*d)))
}

// estimate is a shift with its standard deviation.
type estimate struct {
	shift, sd, r float64
	n            int     // stretches
	z            float64 // how far they agree: see agreement
}

// few is how many stretches are too few to draw from anew.
const few = 6

// draws is how often stretches are drawn anew.
const draws = 200

// solve is the best shift of all stretches that keep wants.
func (f *fine) solve(keep func(middle float64) bool, rng *rand.Rand) (e estimate, ok bool) {
	weight := make([]float64, len(f.stretch))
	var members []int
	samples := 0.0
	for b := range f.stretch {
		if keep == nil || keep(f.middle[b]) {
			members = append(members, b)
			weight[b] = 1
			samples += f.stretch[b][finePlace/2].n
		}
	}
	if len(members) == 0 {
		return e, false
	}
	curve := make([]float64, finePlace)
	e.n = len(members)
	if e.shift, e.r, ok = f.best(weight, curve); !ok {
		return e, false
	}
	e.z = f.agreement(members, e.shift)
	e.sd = f.curvatureSD(curve, samples-float64(len(members))-1)
	if len(members) >= few {
		e.sd = max(e.sd, f.drawn(members, rng))
	}
	return e, true
}

// agreement is the sum of the stretches' own correlations at the shift, over the
// root of the sum of their squares: standard normal where the logs know nothing
// of each other, and up to the root of their number where all agree. A stop that
// happens to fall on another one counts as one stretch.
func (f *fine) agreement(members []int, shift float64) float64 {
	k := min(finePlace-1, max(0, int(math.Round((shift-f.shift(0))/fineStepS))))
	sum, square := 0.0, 0.0
	for _, b := range members {
		s := f.stretch[b][k]
		if r := s.xy / math.Sqrt(s.xx*s.yy); s.xx > 0 && s.yy > 0 {
			sum += r
			square += r * r
		}
	}
	if square == 0 {
		return 0
	}
	return sum / math.Sqrt(square)
}

// curvatureSD is the standard deviation that the curvature of the sum of squares
// tells, for independent errors: var = 2 s^2 / (d2 SSE / d shift^2).
func (f *fine) curvatureSD(curve []float64, freedom float64) float64 {
	at := 0
	for k, v := range curve {
		if v < curve[at] {
			at = k
		}
	}
	const wide = 3 // steps: the second difference over less is noise
	a, c := max(0, at-wide), min(len(curve)-1, at+wide)
	h := fineStepS * wide
	second := (curve[a] - 2*curve[at] + curve[c]) / (h * h)
	if second <= 0 || freedom < 1 {
		return fineS
	}
	return min(fineS, math.Sqrt(2*curve[at]/freedom/second))
}

// drawn is the spread of the answers when stretches are drawn anew: the standard
// deviation that the middle 68 % or the middle 95 % have, whichever is more. An
// answer without a least may be anywhere.
func (f *fine) drawn(members []int, rng *rand.Rand) float64 {
	weight, curve := make([]float64, len(f.stretch)), make([]float64, finePlace)
	shifts := make([]float64, draws)
	for d := range shifts {
		clear(weight)
		for range members {
			weight[members[rng.IntN(len(members))]]++
		}
		s, _, ok := f.best(weight, curve)
		if !ok {
			s = f.centre + fineS*(2*rng.Float64()-1)
		}
		shifts[d] = s
	}
	slices.Sort(shifts)
	within := func(part float64) float64 {
		return shifts[int(draws*(0.5+part/2))] - shifts[int(draws*(0.5-part/2))]
	}
	return max(within(0.68)/2, within(0.95)/(2*1.96))
}

// drift compares the first third of the stretches with the last.
func (f *fine) drift(rng *rand.Rand) *Drift {
	n := len(f.middle)
	if n < 3*few {
		return nil
	}
	first, last := f.middle[n/3], f.middle[n-1-n/3]
	a, ok1 := f.solve(func(m float64) bool { return m < first }, rng)
	b, ok2 := f.solve(func(m float64) bool { return m > last }, rng)
	if !ok1 || !ok2 {
		return nil
	}
	return &Drift{S: b.shift - a.shift, SDS: math.Hypot(a.sd, b.sd), SpanS: (f.middle[n-1]+last)/2 - (f.middle[0]+first)/2}
}
