package review

import "math"

// point is one frame's level against sound flow, with the weight it carries.
type point struct {
	fromNS, toNS int64
	y, w         float64
}

// onset finds where a fall began: the start and duration of the ramp, from the
// list, that fit the points best by weighted least squares, sound flow (1)
// before it and one low level after it.
func onset(pts []point, rampsS []float64) (startNS int64, after float64) {
	best := math.Inf(1)
	for a := range pts {
		for _, d := range rampsS {
			m, ok := levelAfter(pts, pts[a].fromNS, d)
			if !ok {
				continue
			}
			if sse := rampError(pts, pts[a].fromNS, d, m); sse < best-1e-9 {
				best, startNS, after = sse, pts[a].fromNS, m
			}
		}
	}
	return startNS, after
}

func levelAfter(pts []point, startNS int64, rampS float64) (float64, bool) {
	var m meanOf
	end := startNS + int64(rampS*1e9)
	for _, p := range pts {
		if p.fromNS >= end {
			m.add(p.w*p.y, p.w)
		}
	}
	return m.value(0), m.den > 0
}

func rampError(pts []point, startNS int64, rampS, after float64) float64 {
	sse := 0.0
	for _, p := range pts {
		mid := (float64(p.fromNS-startNS) + float64(p.toNS-p.fromNS)/2) / 1e9
		model := 1.0
		if mid > rampS {
			model = after
		} else if mid > 0 {
			model = 1 + (after-1)*mid/rampS
		}
		sse += p.w * (p.y - model) * (p.y - model)
	}
	return sse
}
