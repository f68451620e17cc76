package nmea

import (
	"fmt"
	"math"

	"runproof/flowlog"
)

// epoch joins the sentences of one moment.
type epoch struct {
	open bool
	fix
	apart int     // moments that two receivers put in two places
	mostM float64 // how far apart at most
}

// apartM is how far apart two positions of one moment may lie, metres: more
// than two solutions of one receiver differ.
const apartM = 10

// add takes in a sentence. done is the moment before, where this sentence begins
// another.
func (e *epoch) add(f fix) (done fix, over bool) {
	if !f.timed {
		if e.open {
			e.join(f)
		}
		return done, false
	}
	if e.open && e.tod == f.tod && !(e.dated && f.dated && e.day != f.day) {
		e.join(f)
		return done, false
	}
	done, over = e.close()
	e.open, e.fix = true, f
	return done, over
}

// close ends the moment, where there is one.
func (e *epoch) close() (fix, bool) {
	was := e.open
	e.open = false
	return e.fix, was
}

// join believes the first who says a thing, except that a receiver without a fix
// gives way to one that has one.
func (e *epoch) join(f fix) {
	if !e.dated && f.dated {
		e.day, e.dated = f.day, true
	}
	if d := distanceM(e.values[lat], e.values[lon], f.values[lat], f.values[lon]); d > apartM {
		e.apart++
		e.mostM = max(e.mostM, d)
		return
	}
	if e.values[quality] == 0 && f.values[quality] > 0 {
		for _, q := range []int{quality, satellites, hdop} {
			e.values[q] = nan
		}
	}
	for q, v := range f.values {
		if e.values[q] != e.values[q] {
			e.values[q] = v
		}
	}
}

// distanceM is the way between two positions that lie close together, to a
// hundredth; NaN where one is missing.
func distanceM(lat1, lon1, lat2, lon2 float64) float64 {
	const perDegreeM = 111195 // of a sphere of 6371 km
	n := (lat2 - lat1) * perDegreeM
	e := math.Remainder(lon2-lon1, 360) * perDegreeM * math.Cos(lat1*math.Pi/180)
	return math.Hypot(n, e)
}

func (e *epoch) remarks() []flowlog.Remark {
	if e.apart == 0 {
		return nil
	}
	return []flowlog.Remark{{What: fmt.Sprintf("%s of two receivers that disagree, by up to %.0f m: the first of each moment was believed", counted(e.apart, "position"), e.mostM)}}
}
