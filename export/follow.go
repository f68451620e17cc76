package export

import (
	"cmp"
	"errors"
	"io"
	"math"
	"slices"

	"runproof/flowlog"
	"runproof/track"
)

// Pass is unbroken travel in work, as the antenna went.
type Pass struct {
	Start, End string // in the recording's form of time
	Metres     float64
	Lines      []Line // one, or more where it crosses the 180th meridian
}

// Line is a line of two positions or more.
type Line []Position

// Followed are the columns of a recording that Follow reads, for formats.Only.
func Followed(c flowlog.Column) bool {
	return c.Kind == flowlog.Lat || c.Kind == flowlog.Lon || c.Kind == flowlog.Work
}

// What ends a pass, besides lifting: a gap in time or a jump in place.
const (
	gapNS = 10e9
	jumpM = 50
)

// tightM is how far a pass may be off what the antenna did.
const tightM = 0.1

// Follow reads the recording that was reviewed once more, for its positions: the
// day gets its passes, and each event that left no ground the place of the antenna
// when it began. A recording without a work column is one of work alone.
func (d *Day) Follow(r flowlog.Reader) error {
	s := r.Schema()
	f := follower{day: d, clock: s.Clock, lat: s.Find(flowlog.Lat), lon: s.Find(flowlog.Lon), work: s.Find(flowlog.Work), working: true}
	if f.lat < 0 || f.lon < 0 {
		d.Notes = append(d.Notes, "the recording has no columns lat and lon: no track")
		return nil
	}
	f.wait(d)
	var b flowlog.Batch
	for {
		err := r.Read(&b)
		if errors.Is(err, io.EOF) {
			f.close()
			return nil
		}
		if err != nil {
			return err
		}
		for i, ns := range b.TimeNS {
			if f.work >= 0 && !flowlog.IsMissing(b.Values[f.work][i]) {
				f.working = b.Values[f.work][i] == 1
			}
			f.sample(ns, b.Values[f.lon][i], b.Values[f.lat][i])
		}
	}
}

// fix is the antenna at a time.
type fix struct {
	ns int64
	at Position
}

// follower goes along a recording.
type follower struct {
	day            *Day
	clock          flowlog.Clock
	lat, lon, work int
	working        bool

	last    fix
	known   bool  // there is a last fix
	path    []fix // of the open pass
	waiting []begun
}

// begun is an event whose place is looked for.
type begun struct {
	id int
	ns int64
}

func (f *follower) wait(d *Day) {
	for _, ev := range d.Found {
		if ns, clock, err := flowlog.ParseTime(ev.Start); err == nil && clock == f.clock {
			f.waiting = append(f.waiting, begun{ev.ID, ns})
		}
	}
	slices.SortStableFunc(f.waiting, func(a, b begun) int { return cmp.Compare(a.ns, b.ns) })
	d.begun = map[int]Position{}
}

func (f *follower) sample(ns int64, lon, lat float64) {
	if !f.working {
		f.close()
	}
	if !(math.Abs(lat) <= 90 && math.Abs(lon) <= 180) || lat == 0 && lon == 0 {
		return
	}
	now := fix{ns, Position{lon, lat}}
	f.arrive(now)
	if f.working {
		if f.known && (ns-f.last.ns > gapNS || apartM(f.last.at, now.at) > jumpM) {
			f.close()
		}
		f.path = append(f.path, now)
	}
	f.last, f.known = now, true
}

// arrive gives the events that began up to now their places.
func (f *follower) arrive(now fix) {
	for len(f.waiting) > 0 && f.waiting[0].ns <= now.ns {
		ev := f.waiting[0]
		f.waiting = f.waiting[1:]
		switch {
		case ev.ns == now.ns:
			f.day.begun[ev.id] = now.at
		case f.known && now.ns-f.last.ns <= gapNS:
			w := float64(ev.ns-f.last.ns) / float64(now.ns-f.last.ns)
			lon := near(now.at[0], f.last.at[0])
			f.day.begun[ev.id] = Position{wrap(round7(f.last.at[0] + w*(lon-f.last.at[0]))), round7(f.last.at[1] + w*(now.at[1]-f.last.at[1]))}
		}
	}
}

func apartM(a, b Position) float64 {
	n, e := track.At(a[1], a[0]).ToLocal(b[1], b[0])
	return math.Hypot(n, e)
}

// close ends the open pass.
func (f *follower) close() {
	path := f.path
	f.path = nil
	if len(path) < 2 {
		return
	}
	p := Pass{Start: f.clock.Format(path[0].ns), End: f.clock.Format(path[len(path)-1].ns)}
	for i := 1; i < len(path); i++ {
		p.Metres += apartM(path[i-1].at, path[i].at)
	}
	if p.Metres < 1 {
		return
	}
	p.Lines = cutLine(thin(path))
	f.day.Passes = append(f.day.Passes, p)
}
