package measure

import "math"

// Round rounds v to so many decimals, half away from zero: what a document
// prints, never what is reckoned with. A number so large that it has no such
// decimals stays as it is.
func Round(v float64, decimals int) float64 {
	p := math.Pow(10, float64(decimals))
	r := math.Round(v*p) / p
	if math.IsInf(r, 0) {
		return v
	}
	return r
}
