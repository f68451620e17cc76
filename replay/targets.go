package replay

import (
	"fmt"
	"math"
	"slices"

	"runproof/flowlog"
	"runproof/input"
	"runproof/review"
)

// marginNS is how far an alarm's row of lows may lie beside an event and still
// belong to it: a review finds the start of an event to about three seconds
// (the bar that review's tests hold it to).
const marginNS = 3e9

// target is one event of the day, as alarms are held against it.
type target struct {
	review.Event
	startNS, endNS int64
	startM         float64 // travelled in work when it began
	reached        bool
	scored         bool // it lost product on one run: what a rule on shares is for
}

// targets are the day's events, and which concern each watched run.
type targets struct {
	all    []target
	byRun  [][]int
	prevNS int64
	prevM  float64
	begun  bool
}

// aim ties the events to the watched runs. The events' times must be of the
// log's form.
func aim(events []review.Event, l layout, c flowlog.Clock) (*targets, error) {
	ts := &targets{byRun: make([][]int, len(l.runs))}
	for i, ev := range events {
		start, a, errA := flowlog.ParseTime(ev.Start)
		end, b, errB := flowlog.ParseTime(ev.End)
		if errA != nil || errB != nil || a != c || b != c || end < start {
			return nil, input.Fault{What: fmt.Sprintf("event %d is from %q to %q, and the log's time is %s", ev.ID, ev.Start, ev.End, c), Remedy: "give the events that a review of this log wrote"}
		}
		ts.all = append(ts.all, target{Event: ev, startNS: start, endNS: end, scored: ev.Run != "" && ev.Kind.LosesSeed()})
		for r := range l.runs {
			if concerns(ev, &l.runs[r]) {
				ts.byRun[r] = append(ts.byRun[r], i)
			}
		}
	}
	return ts, nil
}

// concerns says whether an event is about a run: its own, its head's, its
// node's, or its product's.
func concerns(ev review.Event, r *watched) bool {
	switch {
	case ev.Run != "":
		return ev.Run == r.ID
	case ev.Kind == review.NoData && ev.Node != "":
		return ev.Node == r.port.Node
	case ev.Head != "":
		return ev.Head == r.Head
	case ev.Node != "":
		return ev.Node == r.port.Node
	}
	return ev.Product == r.Product
}

// pass notes how far the drill had travelled when each event began.
func (ts *targets) pass(timeNS []int64, distM []float64) {
	for e := range ts.all {
		t := &ts.all[e]
		if t.reached || len(timeNS) == 0 || timeNS[len(timeNS)-1] < t.startNS {
			continue
		}
		i, _ := slices.BinarySearch(timeNS, t.startNS)
		t.reached, t.startM = true, ts.distAt(timeNS, distM, i, t.startNS)
	}
	if n := len(timeNS); n > 0 {
		ts.prevNS, ts.prevM, ts.begun = timeNS[n-1], distM[n-1], true
	}
}

// distAt is the travel at time ns, which lies between the sample before i and
// i.
func (ts *targets) distAt(timeNS []int64, distM []float64, i int, ns int64) float64 {
	from, fromM := ts.prevNS, ts.prevM
	if i > 0 {
		from, fromM = timeNS[i-1], distM[i-1]
	} else if !ts.begun {
		return 0
	}
	part := float64(ns-from) / float64(timeNS[i]-from)
	return fromM + min(1, max(0, part))*(distM[i]-fromM)
}

// overlaps says whether a row of lows from sinceNS to ns belongs to the event.
func (t *target) overlaps(sinceNS, ns int64) bool {
	return ns >= t.startNS-marginNS && sinceNS <= t.endNS+marginNS
}

// arrives says whether the row came to belong to the event with this very
// sample, the one before having been at prevNS.
func (t *target) arrives(sinceNS, prevNS, ns int64) bool {
	return prevNS < t.startNS-marginNS && t.overlaps(sinceNS, ns)
}

// after is how long and how far after the event's start something happened.
func (t *target) after(ns int64, distM float64) (s, m float64) {
	if !t.reached {
		return 0, 0
	}
	return max(0, float64(ns-t.startNS)/1e9), max(0, distM-t.startM)
}

// missedM is the travel missed when the alarm came so far after the start.
func (t *target) missedM(afterM float64) float64 { return min(afterM, t.Metres) }

// first is the earliest alarm for an event; the zero first is none.
type first struct {
	alarms int
	run    int
	ns     int64
	afterS float64
	afterM float64
}

// take counts an alarm; runs are gone through one after another, so a later
// call may bring an earlier alarm.
func (f *first) take(run int, ns int64, afterS, afterM float64) {
	f.alarms++
	if f.alarms == 1 || ns < f.ns {
		f.run, f.ns, f.afterS, f.afterM = run, ns, afterS, afterM
	}
}

// never is the missed travel of what no alarm sounded for.
var never = math.Inf(1)
