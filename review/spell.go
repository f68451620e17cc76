package review

import "math"

// spell is an event that has begun and is not yet written down.
type spell struct {
	kind    Kind // what it is taken for until it closes
	run     int  // -1 for a head, product or node
	head    int
	product int
	node    int

	startNS   int64
	startDist float64
	endNS     int64 // end of the last frame that shows it
	endDist   float64

	llr      float64
	x, e     float64 // counts seen and expected since the fall was over
	allX     float64 // the same from the start
	allE     float64
	frames   int
	rec      float64 // CUSUM for the return of sound flow
	recFrom  int64   // since when that may be
	recDist  float64
	rise     rise
	quietBad bool // counted while nothing flowed
	quietOK  bool // silent while nothing flowed
	assumed  string
}

// fraction is the part of sound flow seen in the spell.
func (s *spell) fraction() float64 {
	if s.e > 0 {
		return s.x / s.e
	}
	if s.allE > 0 {
		return s.allX / s.allE
	}
	return 0
}

// rise compares the siblings of a run, against something that the fault does
// not touch, before and after.
type rise struct {
	beforeSib, beforeRef float64
	afterSib, afterRef   float64
	beforeS, afterS      float64
	key                  uint64
	against              string
	reach                float64 // seconds wanted on each side
}

// logRatio is ln(siblings after / before), both against the reference, and
// whether there is enough of it.
func (r *rise) logRatio() (float64, bool) {
	if r.beforeS < 3 || r.afterS < 2 || r.beforeSib <= 0 || r.afterSib <= 0 || r.beforeRef <= 0 || r.afterRef <= 0 {
		return 0, false
	}
	return math.Log(r.afterSib / r.afterRef * r.beforeRef / r.beforeSib), true
}
