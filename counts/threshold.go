package counts

import "math"

// LargestBelow returns the largest count x with x < limit, strictly; -1 if there
// is none. A limit within 1e-9 of a whole number is that number: a product such
// as 0.7 x 0.1 x 300 falls on either side of 21 in binary arithmetic, and an
// alarm must not depend on which.
func LargestBelow(limit float64) int {
	if whole := math.Round(limit); math.Abs(limit-whole) <= 1e-9*math.Max(1, math.Abs(limit)) {
		return max(int(whole)-1, -1)
	}
	return max(int(math.Ceil(limit))-1, -1)
}
