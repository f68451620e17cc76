package flowlog

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// Clock is the form in which a log writes time. Inside, time is always int64
// nanoseconds: since 1970-01-01 UTC for UTC, since the log's own zero for
// Seconds.
type Clock int

// The forms of time.
const (
	UTC     Clock = iota // RFC 3339, UTC, with fractions
	Seconds              // decimal seconds
)

// String names the form as a person would.
func (c Clock) String() string {
	if c == UTC {
		return "RFC 3339"
	}
	return "decimal seconds"
}

// Format writes the time in the clock's form, with no more digits than it
// needs.
func (c Clock) Format(ns int64) string { return string(c.Append(nil, ns)) }

// Append appends Format's text to b.
func (c Clock) Append(b []byte, ns int64) []byte {
	if c == UTC {
		return time.Unix(0, ns).UTC().AppendFormat(b, time.RFC3339Nano)
	}
	u := uint64(ns)
	if ns < 0 {
		b, u = append(b, '-'), -u
	}
	b = strconv.AppendUint(b, u/1e9, 10)
	if frac := u % 1e9; frac != 0 {
		digits := strconv.AppendUint(nil, 1e9+frac, 10)
		digits[0] = '.'
		b = append(b, strings.TrimRight(string(digits), "0")...)
	}
	return b
}

// ParseTime reads RFC 3339 or decimal seconds and says which it was. Seconds
// are read exactly to the nanosecond, without passing through floating point,
// unless they are written with an exponent.
func ParseTime[S string | []byte](s S) (ns int64, c Clock, err error) {
	if ns, ok := plainUTC(s); ok {
		return ns, UTC, nil
	}
	if ns, ok := plainSeconds(s); ok {
		return ns, Seconds, nil
	}
	return parseTime(string(s))
}

func parseTime(s string) (ns int64, c Clock, err error) {
	if !strings.ContainsAny(s, "T:") {
		ns, err = parseSeconds(s)
		return ns, Seconds, err
	}
	t, err := time.Parse(time.RFC3339Nano, s)
	if err != nil {
		return 0, UTC, fmt.Errorf("%.60q is no RFC 3339 time such as 2026-05-12T09:15:30.2Z", s)
	}
	if y := t.UTC().Year(); y < 1678 || y > 2261 {
		return 0, UTC, fmt.Errorf("%.60q lies outside the years 1678 to 2261", s)
	}
	return t.UnixNano(), UTC, nil
}

func parseSeconds(s string) (int64, error) {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || !(math.Abs(v) < math.MaxInt64/1e9) || strings.ContainsAny(s, "xX_") {
		return 0, fmt.Errorf("%.60q is no time: use RFC 3339 (2026-05-12T09:15:30.2Z) or decimal seconds", s)
	}
	return int64(math.Round(v * 1e9)), nil
}
