package can

import (
	"bytes"
	"io"

	"runproof/flowlog"
)

// limits of a recording; what lies beyond is counted, not told apart.
const (
	maxBuses = 256
	maxIDs   = 1 << 16 // pairs of bus and id
)

// place is an id on a bus.
type place uint64

func placeOf(bus int, id ident) place { return place(bus)<<32 | place(id) }

func (p place) bus() int  { return int(p >> 32) }
func (p place) id() ident { return ident(p) }

// buses gives interfaces numbers, in the order in which they come up.
type buses struct {
	names []string
	last  int
}

// number is the interface's, -1 when there are too many.
func (b *buses) number(name []byte) int {
	if b.last < len(b.names) && b.names[b.last] == string(name) {
		return b.last
	}
	for i := range b.names {
		if b.names[i] == string(name) {
			b.last = i
			return i
		}
	}
	if len(b.names) == maxBuses {
		return -1
	}
	b.last = len(b.names)
	b.names = append(b.names, string(bytes.Clone(name)))
	return b.last
}

// sighting is how often a place had frames, classic ones and FD ones, and the
// most data that one had.
type sighting struct {
	frames  [2]int
	longest [2]int
}

func formOf(fd bool) int {
	if fd {
		return 1
	}
	return 0
}

// survey is what a first look at a recording found.
type survey struct {
	buses
	places []place // in the order in which they came up
	seen   []sighting
	index  placeIndex
	frames int // of any kind
	timed  int
	steps  clockSteps
}

// scan looks at all lines of src, or at those in its first bytes.
func (s *survey) scan(src io.Reader) {
	l := newLines(src)
	var f frame
	for {
		line, err := l.next()
		if err != nil {
			return
		}
		if f.read(line) == frameLine {
			s.frame(&f)
		}
	}
}

func (s *survey) frame(f *frame) {
	s.frames++
	if f.timed {
		s.timed++
		s.steps.add(f)
	}
	if f.kind != dataFrame {
		return
	}
	bus := s.number(f.bus)
	if bus < 0 {
		return
	}
	p := placeOf(bus, f.id)
	at, ok := s.index.find(p)
	if !ok {
		if len(s.places) == maxIDs {
			return
		}
		at = len(s.places)
		s.index.put(p, at)
		s.places = append(s.places, p)
		s.seen = append(s.seen, sighting{})
	}
	form := formOf(f.fd)
	s.seen[at].frames[form]++
	s.seen[at].longest[form] = max(s.seen[at].longest[form], f.n)
}

// stamps is what the times of a recording are.
type stamps uint8

// The kinds of stamp.
const (
	unixTimes  stamps = iota // seconds since 1970
	dateTimes                // dates, of no known zone
	sinceStart               // seconds since some start
	sinceLast                // seconds since the frame before
)

// clock is the form in which a log with such times tells them.
func (s stamps) clock() flowlog.Clock {
	if s == unixTimes || s == dateTimes {
		return flowlog.UTC
	}
	return flowlog.Seconds
}

// clockSteps counts how times go from one frame to the next.
type clockSteps struct {
	first, last     int64
	any, dated      bool
	up, down, still int
}

func (c *clockSteps) add(f *frame) {
	switch {
	case !c.any:
		c.any, c.first, c.dated = true, f.ns, f.dated
	case f.ns > c.last:
		c.up++
	case f.ns < c.last:
		c.down++
	default:
		c.still++
	}
	c.last = f.ns
}

// stamps tells what the times are. Seconds since a start hardly ever go down;
// those since the frame before do about as often as they go up, or always stand
// still.
func (c *clockSteps) stamps() stamps {
	const earliest = 1e8 * 1e9 // no recorder's clock stands in the first three years after 1970
	switch {
	case c.dated:
		return dateTimes
	case c.first >= earliest:
		return unixTimes
	case 4*c.down > c.up || c.up <= 1 && c.still > 2 && c.last > 0:
		return sinceLast
	}
	return sinceStart
}
