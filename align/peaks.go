package align

import (
	"math"
	"math/bits"
	"slices"

	"gonum.org/v1/gonum/dsp/fourier"
)

// signal is a quantity on the coarse grid, 0 where it is not known.
type signal struct {
	v, known []float64
}

// binned means values into bins of stepS; missing values count for nothing.
func binned(times, values []float64, n int, stepS float64) signal {
	s := signal{make([]float64, n), make([]float64, n)}
	for i, t := range times {
		if k := int(t / stepS); values[i] == values[i] && k >= 0 && k < n {
			s.v[k] += values[i]
			s.known[k]++
		}
	}
	for k, c := range s.known {
		if c > 0 {
			s.v[k] /= c
			s.known[k] = 1
		}
	}
	return s
}

// clue is one kind of evidence on the coarse grid: the correlation of two
// signals that should rise together.
type clue struct {
	kind      Kind
	flow, pos signal
}

// comparer correlates signals of two lengths at all shifts.
type comparer struct {
	fft *fourier.FFT
	n   int
}

func newComparer(a, b int) *comparer {
	n := 1 << bits.Len(uint(a+b))
	return &comparer{fourier.NewFFT(n), n}
}

func (c *comparer) spectrum(v []float64) []complex128 {
	padded := make([]float64, c.n)
	copy(padded, v)
	return c.fft.Coefficients(nil, padded)
}

// correlate gives sum over k of a[k] b[k+shift], for shift 0.. then negative
// shifts from the end.
func (c *comparer) correlate(a, b []complex128) []float64 {
	z := make([]complex128, len(a))
	for i := range a {
		z[i] = complex(real(a[i]), -imag(a[i])) * b[i]
	}
	out := c.fft.Sequence(nil, z)
	for i := range out {
		out[i] /= float64(c.n)
	}
	return out
}

// ratios is the log likelihood ratio of a clue at each shift from lo to hi (in
// bins): -n/2 ln(1-r^2) where r > 0, over the n bins known in both (Padfield
// 2012). Shifts with fewer than least bins get 0.
func (c *comparer) ratios(cl clue, lo, hi int, least float64) []float64 {
	square := func(v []float64) []float64 {
		out := make([]float64, len(v))
		for i, x := range v {
			out[i] = x * x
		}
		return out
	}
	a, ma, aa := c.spectrum(cl.flow.v), c.spectrum(cl.flow.known), c.spectrum(square(cl.flow.v))
	b, mb, bb := c.spectrum(cl.pos.v), c.spectrum(cl.pos.known), c.spectrum(square(cl.pos.v))
	n, sab := c.correlate(ma, mb), c.correlate(a, b)
	sa, sb := c.correlate(a, mb), c.correlate(ma, b)
	saa, sbb := c.correlate(aa, mb), c.correlate(ma, bb)
	out := make([]float64, hi-lo+1)
	for i := range out {
		k := (lo + i + c.n) % c.n
		if n[k] < least-0.5 { // a whole number but for rounding
			continue
		}
		cov, va, vb := sab[k]-sa[k]*sb[k]/n[k], saa[k]-sa[k]*sa[k]/n[k], sbb[k]-sb[k]*sb[k]/n[k]
		if cov <= 0 || va <= 1e-9*saa[k] || vb <= 1e-9*sbb[k] {
			continue
		}
		r2 := min(cov*cov/(va*vb), 1-1e-9)
		out[i] = -n[k] / 2 * math.Log1p(-r2)
	}
	return out
}

// chance is the 95 % quantile of half a chi squared of one degree of freedom:
// what a log likelihood ratio reaches by chance in one case of twenty.
const chance = 1.92

// asChance scales ratios so that away from their peak they are what chance
// makes: neighbouring bins are not independent, and fields repeat themselves.
func asChance(ratios []float64, away int) {
	best := 0
	for i, r := range ratios {
		if r > ratios[best] {
			best = i
		}
	}
	var far []float64
	for i, r := range ratios {
		if i < best-away || i > best+away {
			far = append(far, r)
		}
	}
	const enough = 40
	scale := 0.02 // a bin in fifty is news, where nothing else tells
	if len(far) >= enough {
		slices.Sort(far)
		scale = min(0.5, chance/max(far[len(far)*19/20], chance))
	}
	for i := range ratios {
		ratios[i] *= scale
	}
}

// tops are the highest places of a curve, each at least apart from the higher
// ones, the highest first.
func tops(curve []float64, apart, most int) []int {
	order := make([]int, 0, len(curve))
	for i, v := range curve {
		if v > 0 && (i == 0 || curve[i-1] <= v) && (i+1 == len(curve) || curve[i+1] <= v) {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case curve[a] > curve[b]:
			return -1
		case curve[a] < curve[b]:
			return 1
		}
		return 0
	})
	var out []int
	for _, i := range order {
		near := slices.ContainsFunc(out, func(o int) bool { return i-o < apart && o-i < apart })
		if !near {
			if out = append(out, i); len(out) == most {
				break
			}
		}
	}
	return out
}
