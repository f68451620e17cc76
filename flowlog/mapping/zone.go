package mapping

import (
	"fmt"
	"strconv"
	"strings"
	"time"
	_ "time/tzdata" // zones on machines that have none of their own

	"runproof/flowlog"
)

// zone is the place of local times; UTC when nothing is said.
func (t *Time) zone() (*time.Location, error) {
	switch z := t.Zone; {
	case z == "" || strings.EqualFold(z, "utc") || z == "Z":
		return time.UTC, nil
	case z[0] == '+' || z[0] == '-':
		h, m, ok := strings.Cut(z[1:], ":")
		hours, err1 := strconv.Atoi(h)
		minutes, err2 := strconv.Atoi(m)
		if !ok || err1 != nil || err2 != nil || hours > 14 || minutes > 59 {
			return nil, fmt.Errorf("%.20q is no offset from UTC", z)
		}
		s := hours*3600 + minutes*60
		if z[0] == '-' {
			s = -s
		}
		return time.FixedZone(z, s), nil
	case strings.EqualFold(z, "local"):
		return nil, fmt.Errorf("the zone of this computer is not that of the recorder")
	default:
		return time.LoadLocation(z)
	}
}

// calendar makes UTC of wall clock times that come in order. Through the hour
// that the wall shows twice, when summer time ends, order tells which is meant.
type calendar struct {
	zone    *time.Location
	begun   bool
	lastNS  int64
	gap     int  // times that the wall never showed
	unsure  bool // began within the hour that comes twice
	doubled int  // times of the second hour
}

// utc is the time of a wall, in nanoseconds since 1970.
func (c *calendar) utc(w wall) int64 {
	ns := c.choose(w.utc())
	c.begun, c.lastNS = true, ns
	return ns
}

func (c *calendar) choose(wallNS int64) int64 {
	before, after := c.shown(wallNS, -24*time.Hour), c.shown(wallNS, 24*time.Hour)
	switch {
	case before == nil && after == nil:
		c.gap++
		return wallNS - c.offsetNS(wallNS-int64(24*time.Hour))
	case before == nil:
		return *after
	case after == nil || *after == *before:
		return *before
	}
	// Both happened: the earlier first, unless that has passed by more than a clock
	// wobbles.
	first, second := min(*before, *after), max(*before, *after)
	if !c.begun {
		c.unsure = true
		return first
	}
	if wobbleNS := int64(2e9); c.lastNS-first >= wobbleNS {
		c.doubled++
		return second
	}
	return first
}

// shown is the time at which the wall showed wallNS with the zone's offset of
// some time before or after, or nil where it did not.
func (c *calendar) shown(wallNS int64, away time.Duration) *int64 {
	ns := wallNS - c.offsetNS(wallNS+int64(away))
	if ns+c.offsetNS(ns) != wallNS {
		return nil
	}
	return &ns
}

func (c *calendar) offsetNS(ns int64) int64 {
	_, s := time.Unix(0, ns).In(c.zone).Zone()
	return int64(s) * 1e9
}

func (c *calendar) remarks() []flowlog.Remark {
	var rs []flowlog.Remark
	if c.gap > 0 {
		rs = append(rs, flowlog.Remark{What: fmt.Sprintf("%d times fall into the hour that clocks leap over; they are read as if the clock had not leapt", c.gap)})
	}
	if c.doubled > 0 {
		rs = append(rs, flowlog.Remark{What: fmt.Sprintf("the clock went back by an hour; %d times are of the second hour", c.doubled)})
	}
	if c.unsure {
		rs = append(rs, flowlog.Remark{What: "the log begins within the hour that comes twice, and is taken for the first; it may be an hour later"})
	}
	return rs
}
