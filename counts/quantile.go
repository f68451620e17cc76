package counts

import "slices"

// Quantile returns the q-quantile (0 <= q <= 1) of v by linear interpolation
// between the order statistics (type 7 of Hyndman & Fan 1996); 0 of nothing. v
// is left as it is.
func Quantile(v []float64, q float64) float64 { return QuantileOf(slices.Clone(v), q) }

// QuantileOf is Quantile for whoever can do without the order of v: it is
// changed.
func QuantileOf(v []float64, q float64) float64 {
	if len(v) == 0 {
		return 0
	}
	at := q * float64(len(v)-1)
	i := int(at)
	if slices.ContainsFunc(v, func(x float64) bool { return x != x }) {
		slices.Sort(v) // puts what is no number first
	} else {
		toPlace(v, i)
	}
	if i+1 >= len(v) {
		return v[len(v)-1]
	}
	return v[i] + (at-float64(i))*(slices.Min(v[i+1:])-v[i])
}

// toPlace moves the i-th smallest of v to v[i], what is not greater before it
// and what is not smaller behind it: Hoare's selection (1961), pivot the median
// of three.
func toPlace(v []float64, i int) {
	for len(v) > 12 {
		a, b, c := v[0], v[len(v)/2], v[len(v)-1]
		pivot := max(min(a, b), min(max(a, b), c))
		lo, hi := 0, len(v)-1
		for lo <= hi {
			for v[lo] < pivot {
				lo++
			}
			for pivot < v[hi] {
				hi--
			}
			if lo <= hi {
				v[lo], v[hi] = v[hi], v[lo]
				lo, hi = lo+1, hi-1
			}
		}
		switch {
		case i <= hi:
			v = v[:hi+1]
		case i >= lo:
			v, i = v[lo:], i-lo
		default:
			return // between the two all are the pivot
		}
	}
	slices.Sort(v)
}
