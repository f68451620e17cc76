package input

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Place is where a fault stands in a document. Line and Col count from 1; a
// zero means unknown. The zero Place is nowhere in particular.
type Place struct {
	File string
	Line int
	Col  int
}

// String gives file:line:col with the unknown parts left out.
func (p Place) String() string {
	var b strings.Builder
	b.WriteString(p.File)
	if p.Line > 0 {
		fmt.Fprintf(&b, ":%d", p.Line)
		if p.Col > 0 {
			fmt.Fprintf(&b, ":%d", p.Col)
		}
	}
	return b.String()
}

// Fault is one thing that is wrong with a document, and the remedy.
type Fault struct {
	Place  Place
	What   string // what is wrong: "head C feeds row 49, but the drill has 48 rows"
	Remedy string // what would be right; empty where What says it already
}

// Error gives "place: what; remedy".
func (f Fault) Error() string {
	s := f.What
	if at := f.Place.String(); at != "" {
		s = at + ": " + s
	}
	if f.Remedy != "" {
		s += "; " + f.Remedy
	}
	return s
}

// Faults are all the faults of one document, in the order of their places.
type Faults []Fault

// Error gives one fault a line.
func (fs Faults) Error() string {
	lines := make([]string, len(fs))
	for i, f := range fs {
		lines[i] = f.Error()
	}
	return strings.Join(lines, "\n")
}

// Err is the faults as an error, or nil when there are none: an empty Faults
// inside a non-nil error interface would read as a failure.
func (fs Faults) Err() error {
	if len(fs) == 0 {
		return nil
	}
	return fs
}

// Add appends a fault; the format's arguments go into What.
func (fs *Faults) Add(at Place, remedy, what string, args ...any) {
	*fs = append(*fs, Fault{Place: at, What: fmt.Sprintf(what, args...), Remedy: remedy})
}

// Sort puts the faults in the order of their places, those of one place in the
// order in which they were found.
func (fs Faults) Sort() {
	slices.SortStableFunc(fs, func(a, b Fault) int {
		return cmp.Or(cmp.Compare(a.Place.File, b.Place.File), cmp.Compare(a.Place.Line, b.Place.Line), cmp.Compare(a.Place.Col, b.Place.Col))
	})
}
