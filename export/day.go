package export

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"time"

	"runproof/input"
	"runproof/input/jsondoc"
	"runproof/review"
)

// Day is what a review of one recording wrote.
type Day struct {
	Found   []review.Event
	Watched []review.RunSummary
	Short   []Skip // ground, in the order of the document
	Passes  []Pass // where the drill worked; none before Follow
	Summary review.Summary
	Notes   []string // what a person should know of the places

	begun map[int]Position // where the antenna was when an event began; see Follow
}

// Skip is the ground of one event.
type Skip struct {
	Event review.Event
	Start Position // on the ground where the event began
	Ground
}

// Read reads a folder that review wrote: events.json, runs.csv, skips.geojson
// and summary.json; name is the folder's, for messages. The error is an
// input.Fault that names the file.
func Read(folder fs.FS, name string) (*Day, error) {
	var d Day
	for _, part := range []struct {
		file string
		read func(io.Reader, string) error
	}{{"events.json", d.readEvents}, {"runs.csv", d.readRuns}, {"summary.json", d.readSummary}, {"skips.geojson", d.readSkips}} {
		if err := d.part(folder, name, part.file, part.read); err != nil {
			return nil, err
		}
	}
	d.note()
	return &d, nil
}

func (d *Day) readEvents(r io.Reader, file string) error {
	doc, err := review.ReadDocument(r, file)
	if err == nil {
		d.Found = doc.Events
	}
	return err
}

func (d *Day) readSummary(r io.Reader, file string) error {
	form := jsondoc.Form{What: "a summary", Version: "summary/1", Command: "runproof review"}
	return jsondoc.Read(r, file, form, &d.Summary, &d.Summary.Runproof)
}

func (d *Day) part(folder fs.FS, name, file string, read func(io.Reader, string) error) error {
	where := path.Join(name, file)
	f, err := folder.Open(file)
	if err != nil {
		what := "cannot be read: " + err.Error()
		if errors.Is(err, fs.ErrNotExist) {
			what = "is not there"
		}
		return input.Fault{Place: input.Place{File: where}, What: what, Remedy: "name a folder that runproof review wrote with -o"}
	}
	defer f.Close()
	return read(f, where)
}

// note tells of events whose ground is not known.
func (d *Day) note() {
	lost := 0
	for _, ev := range d.Found {
		if ev.Kind.LosesSeed() && ev.Metres > 0 {
			lost++
		}
	}
	switch without := lost - len(d.Short); {
	case lost > 0 && len(d.Short) == 0:
		d.Notes = append(d.Notes, "the recording carries no positions: events and runs have no place, and there is no ground to show")
	case without > 0:
		d.Notes = append(d.Notes, fmt.Sprintf("%d of %d events that left ground short of product have no place", without, lost))
	}
}

// Placeless says whether there was ground short of product and none of it has a
// place.
func (d *Day) Placeless() bool { return len(d.Notes) > 0 && len(d.Short) == 0 }

// End is the time of the last sample, UTC; 2000-01-01 where the recording's time
// has no date. Forms that want a time of change are given this one: the same day
// gives the same bytes.
func (d *Day) End() time.Time {
	t, err := time.Parse(time.RFC3339Nano, d.Summary.End)
	if err != nil {
		return time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	}
	return t.UTC()
}

// Title is what the day is called: the drill and the date.
func (d *Day) Title() string {
	name := d.Summary.Drill
	if name == "" {
		name = "Drill"
	}
	if _, err := time.Parse(time.RFC3339Nano, d.Summary.End); err != nil {
		return name
	}
	return name + ", " + d.End().Format(time.DateOnly)
}
