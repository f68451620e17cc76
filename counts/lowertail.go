package counts

import "math"

// LowerTail returns P(X <= x) for x = 0..top, appended to dst[:0], each with
// full relative accuracy: for tables of many thresholds under one law. Beyond
// the law's support it is 1.
func LowerTail(dst []float64, l Law, top int) []float64 {
	dst = dst[:0]
	for range top + 1 {
		dst = append(dst, 0)
	}
	from, term := top, 0.0
	s, ok := l.(stepper)
	if ok {
		from = min(top, s.top())
		term = Prob(s, from)
	}
	if term < tiniest { // nothing to step down from
		for x := range dst {
			dst[x] = l.CDF(x)
		}
		return dst
	}
	for x := from; x >= 0; x-- {
		dst[x] = term
		if x > 0 && term > 0 {
			if term < tiniest {
				term = 0 // nothing below adds a digit to anything
			} else {
				term /= s.up(x - 1)
			}
		}
	}
	var sum float64
	for x := range dst {
		if x > from {
			dst[x] = 1
			continue
		}
		sum += dst[x]
		dst[x] = math.Min(sum, 1)
	}
	return dst
}
