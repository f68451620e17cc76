package export

import "runproof/review"

// Line is one line of the day's summary.
type Line struct {
	Name   string // with the unit
	Value  any    // string, int or float64
	Digits int
}

// Lines is the summary as names and figures.
func (d *Day) Lines() []Line {
	s := d.Summary
	lines := []Line{
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
		lines = append(lines, Line{"events: " + k.String(), s.Events[k.String()], 0})
	}
	return append(lines, Line{"work state from", s.WorkFrom, 0}, Line{"speed from", s.SpeedFrom, 0})
}
