package counts

import "slices"

// Quantile returns the q-quantile (0 <= q <= 1) of v by linear interpolation
// between the order statistics (type 7 of Hyndman & Fan 1996); 0 of nothing. v
// is left as it is.
func Quantile(v []float64, q float64) float64 {
	if len(v) == 0 {
		return 0
	}
	s := slices.Clone(v)
	slices.Sort(s)
	at := q * float64(len(s)-1)
	i := int(at)
	if i+1 >= len(s) {
		return s[len(s)-1]
	}
	return s[i] + (at-float64(i))*(s[i+1]-s[i])
}
