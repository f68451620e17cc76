package review

import "math"

// A sensor that shows random numbers may be right on average. What gives it
// away is the spread: (x-e)^2/(F e) has mean 1 on a sound run. wildTimes is the
// alternative, times the usual variance; one frame counts for little, so that
// a fall or a rise, which is one-sided, is found by its own test first.
const (
	wildTimes = 2.5
	wildAlarm = 30
	wildClip  = 3.0
)

var wildLog = math.Log(wildTimes)

// wildSum is the CUSUM for a run whose frames scatter too far, with how much of
// the scatter lies to each side.
type wildSum struct {
	cusum
	below, above float64
}

// wildLLR is the log-likelihood ratio of one frame, of wildTimes the variance
// against the usual one (Gaussian).
func wildLLR(x, e, f float64) float64 {
	z := (x - e) * (x - e) / (f * e)
	return min(wildClip, (z*(1-1/wildTimes)-wildLog)/2)
}

func (w *wildSum) add(x, e, f float64, fromNS int64) {
	if w.s <= 0 {
		*w = wildSum{}
	}
	w.cusum.add(wildLLR(x, e, f), fromNS)
	z := min(10, (x-e)*(x-e)/(f*e))
	if x < e {
		w.below += z
	} else {
		w.above += z
	}
}

// bothSides says that neither side holds less than a quarter of the scatter.
func (w *wildSum) bothSides() bool { return min(w.below, w.above)*4 > w.below+w.above }

// raiseWild opens the event of a run of the head that scatters too far, and
// says whether it did. While it is only suspected (half way), other alarms of
// the run wait.
func (d *detector) raiseWild(h int) bool {
	for _, i := range d.in.heads[h].runs {
		w := &d.runs[i].wild
		if d.now.calm[i] && w.s >= wildAlarm && w.bothSides() && len(d.in.heads[h].runs) > 1 {
			s := d.openUp(i, w.fromNS, w.s)
			s.wild = true
			return true
		}
	}
	return false
}

// suspect says that the run's alarms may be the excursions of random numbers.
func (r *runState) suspect() bool { return r.wild.s > wildAlarm/2 && r.wild.bothSides() }
