package export

import "runproof/review"

// Entry is one line of the day's summary.
type Entry struct {
	Name   string // with the unit
	Value  any    // string, int or float64
	Digits int
}

// Overview is the summary as names and figures.
func (d *Day) Overview() []Entry {
	s := d.Summary
	entries := []Entry{
		{"drill", s.Drill, 0},
		{"fit revision", s.FitRevision, 0},
		{"start", s.Start, 0},
		{"end", s.End, 0},
		{"samples", s.Samples, 0},
		{"interval, s", s.IntervalS, 3},
		{"hours", s.Hours, 2},
		{"hours in work", s.WorkHours, 2},
		{"travel in work, m", s.WorkMetres, 1},
		{"worked, ha", s.WorkHa, 2},
		{"row short of product, m", s.SkipMetres, 1},
		{"ground short of product, m2", s.SkipAreaM2, 1},
		{"gaps in the recording", s.Gaps, 0},
		{"their length, s", s.GapS, 1},
		{"samples without a reading, part", s.MissingShare, 6},
	}
	for _, k := range review.Kinds() {
		entries = append(entries, Entry{"events: " + k.String(), s.Events[k.String()], 0})
	}
	return append(entries, Entry{"work state from", s.WorkFrom, 0}, Entry{"speed from", s.SpeedFrom, 0})
}
