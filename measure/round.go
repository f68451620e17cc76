package measure

import "math"

// Round rounds v to so many decimals, half away from zero: what a document
// prints, never what is reckoned with.
func Round(v float64, decimals int) float64 {
	p := math.Pow(10, float64(decimals))
	return math.Round(v*p) / p
}
