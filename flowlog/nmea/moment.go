package nmea

import "runproof/flowlog"

// moment is a fix and its time.
type moment struct {
	fix
	ns int64
}

// How far from its neighbours, and how close these, for a time to be an error of
// one sentence and no gap.
const (
	lonelyNS = 10 * secondNS
	closeNS  = 10 * secondNS
	backNS   = 2 * secondNS // as for any clock that is set back
)

// moment is the next moment, with its time. One whose time cannot be, for those
// before and behind follow on each other, is put between these: else it would
// move all that follow.
func (r *Reader) moment() (m moment, ok bool) {
	for len(r.ahead) < 2 && !r.ended {
		f, err := r.next()
		if r.ended = err != nil; r.ended {
			break
		}
		r.ahead = append(r.ahead, moment{f, r.stamp(f)})
	}
	if len(r.ahead) == 0 {
		return m, false
	}
	m = r.ahead[0]
	r.ahead = append(r.ahead[:0], r.ahead[1:]...)
	if r.begun && len(r.ahead) > 0 {
		before, behind := r.lastNS, r.ahead[0].ns
		away := m.ns-before > lonelyNS || before-m.ns >= backNS
		if away && behind > before && behind-before <= closeNS {
			m.ns = before + (behind-before)/2
			r.lonely++
		}
	}
	r.begun, r.lastNS = true, m.ns
	return m, true
}

func (r *Reader) stamp(f fix) int64 {
	if r.schema.Clock == flowlog.Seconds {
		f.dated = false
	}
	return r.calendar.dayOf(f)*dayNS + f.tod
}
