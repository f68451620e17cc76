package season

import (
	"fmt"
	"io"
	"slices"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/input"
	"runproof/input/jsondoc"
	"runproof/measure"
	"runproof/review"
)

// DayVersion is the version of the documents of single days.
const DayVersion = "seasonday/1"

// Day is what a season keeps of one reviewed recording.
type Day struct {
	Runproof   string         `json:"runproof"`    // DayVersion
	Program    string         `json:"program"`     // build of the program that reviewed it, where known
	From       []fit.Source   `json:"from"`        // what it was made from: recording, fit, rules
	Recording  string         `json:"recording"`   // the recording's file name
	Start      string         `json:"start"`       // first sample
	End        string         `json:"end"`         // last sample
	WorkHours  float64        `json:"work_hours"`  // in the ground, h
	WorkMetres float64        `json:"work_metres"` // travelled in the ground, m
	WorkHa     float64        `json:"work_ha"`     // worked, ha
	Watched    []Watched      `json:"watched"`     // each sensed run, in the drill's order
	Events     []review.Event `json:"events"`      // what went wrong, in order of time
	Warnings   []string       `json:"warnings"`    // of the review

	startNS, endNS int64
}

// Watched is how long a run's readings could be judged on a day.
type Watched struct {
	Run   drill.RunID `json:"run"`   // id of the run
	Hours float64     `json:"hours"` // in settled work and reported, h
}

// DayOf keeps of a review what a season needs.
func DayOf(recording string, res *review.Result) Day {
	sum := &res.Summary
	d := Day{
		Runproof: DayVersion, From: []fit.Source{}, Recording: recording, Start: sum.Start, End: sum.End,
		WorkHours: sum.WorkHours, WorkMetres: sum.WorkMetres, WorkHa: sum.WorkHa,
		Watched: []Watched{}, Events: []review.Event{}, Warnings: append([]string{}, sum.Warnings...),
	}
	for _, r := range res.Runs {
		d.Watched = append(d.Watched, Watched{r.Run, measure.Round(r.WorkS/3600, 5)})
	}
	d.Events = append(d.Events, res.Events...)
	return d
}

// ReadDay reads the document of a day; name is the file's name for messages.
func ReadDay(r io.Reader, name string) (*Day, error) {
	var d Day
	form := jsondoc.Form{What: "a day of a season", Version: DayVersion, Command: "runproof season"}
	if err := jsondoc.Read(r, name, form, &d, &d.Runproof); err != nil {
		return nil, err
	}
	return &d, nil
}

// Write writes the document of a day.
func (d *Day) Write(w io.Writer) error { return jsondoc.Write(w, d) }

// place reads the day's times; a season needs dates.
func (d *Day) place() error {
	fault := func(what, remedy string) error {
		return input.Fault{Place: input.Place{File: d.Recording}, What: what, Remedy: remedy}
	}
	var clock flowlog.Clock
	var errA, errB error
	d.startNS, clock, errA = flowlog.ParseTime(d.Start)
	d.endNS, _, errB = flowlog.ParseTime(d.End)
	switch {
	case errA != nil || errB != nil || d.endNS < d.startNS:
		return fault(fmt.Sprintf("the day is from %q to %q", d.Start, d.End), "review the recording again")
	case clock == flowlog.Seconds:
		return fault("its time is in seconds without a date, and a season goes by dates", "give it dates: runproof log map, then --map")
	case !(d.WorkHours > 0):
		return fault("the drill was never in the ground", "leave it out")
	case d.WorkHours > mostHours || slices.ContainsFunc(d.Watched, func(w Watched) bool { return !(w.Hours >= 0 && w.Hours <= mostHours) }):
		return fault(fmt.Sprintf("%.3g h of work are those of no recording", d.WorkHours), "review the recording again")
	}
	for i := range d.Events {
		ev := &d.Events[i]
		if ev.StartNS, _, errA = flowlog.ParseTime(ev.Start); errA == nil {
			ev.EndNS, _, errB = flowlog.ParseTime(ev.End)
		}
		if errA != nil || errB != nil || ev.EndNS < ev.StartNS || !slices.Contains(review.Kinds(), ev.Kind) {
			return fault(fmt.Sprintf("event %d is %s from %q to %q", ev.ID, ev.Kind, ev.Start, ev.End), "review the recording again")
		}
	}
	return nil
}

// mostHours is more than any recording holds.
const mostHours = 10_000

// hash is that of the recording, which comes first.
func (d *Day) hash() string {
	if len(d.From) == 0 {
		return ""
	}
	return d.From[0].SHA256
}

// overlapNS is how long two recordings may run beside each other: clocks that
// are set a little differently.
const overlapNS = 60e9

// sortDays puts days in order of time and takes out those that cannot stand in
// a season: without dates, twice the same recording, or of the same hours as
// another.
func sortDays(days []Day) (kept []Day, refused []Unread) {
	refuse := func(d Day, err error) {
		refused = append(refused, Unread{Recording: d.Recording, Why: err.Error()})
	}
	for _, d := range days {
		d.Events = slices.Clone(d.Events)
		if err := d.place(); err != nil {
			refuse(d, err)
			continue
		}
		kept = append(kept, d)
	}
	slices.SortStableFunc(kept, func(a, b Day) int {
		if a.startNS != b.startNS {
			return int(max(-1, min(1, a.startNS-b.startNS)))
		}
		return int(max(-1, min(1, a.endNS-b.endNS)))
	})
	var out []Day
	for _, d := range kept {
		if n := len(out); n > 0 {
			last := &out[n-1]
			clash := func(what, remedy string) {
				refuse(d, input.Fault{Place: input.Place{File: d.Recording}, What: fmt.Sprintf(what, last.Recording), Remedy: remedy})
			}
			if h := d.hash(); h != "" && h == last.hash() {
				clash("it is the same recording as %s", "name it once")
				continue
			}
			if last.endNS-d.startNS > overlapNS {
				clash("it runs beside %s, and its hours would count twice", "keep one of them")
				continue
			}
		}
		out = append(out, d)
	}
	return out, refused
}
