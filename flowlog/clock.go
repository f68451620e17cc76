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

// Format writes the time in the clock's form, with no more digits than it
// needs.
func (c Clock) Format(ns int64) string { return string(c.Append(nil, ns)) }

// Append appends Format's text to b.
func (c Clock) Append(b []byte, ns int64) []byte {
	if c == UTC {
		return time.Unix(0, ns).UTC().AppendFormat(b, time.RFC3339Nano)
	}
	if ns < 0 {
		b, ns = append(b, '-'), -ns
	}
	b = strconv.AppendInt(b, ns/1e9, 10)
	if frac := ns % 1e9; frac != 0 {
		b = append(b, strings.TrimRight(fmt.Sprintf(".%09d", frac), "0")...)
	}
	return b
}

// ParseTime reads RFC 3339 or decimal seconds and says which it was. Seconds
// are read exactly to the nanosecond, without passing through floating point.
func ParseTime(s string) (ns int64, c Clock, err error) {
	if strings.ContainsAny(s, "T:") {
		t, err := time.Parse(time.RFC3339Nano, s)
		if err != nil {
			return 0, UTC, fmt.Errorf("%q is no RFC 3339 time such as 2026-05-12T09:15:30.2Z", s)
		}
		if y := t.Year(); y < 1678 || y > 2261 {
			return 0, UTC, fmt.Errorf("%q lies outside the years 1678 to 2261", s)
		}
		return t.UnixNano(), UTC, nil
	}
	ns, err = parseSeconds(s)
	return ns, Seconds, err
}

func parseSeconds(s string) (int64, error) {
	whole, frac, _ := strings.Cut(strings.TrimPrefix(s, "-"), ".")
	if isDigits(whole+frac) && whole+frac != "" && len(whole) <= 10 {
		w, _ := strconv.ParseInt("0"+whole, 10, 64)
		f, _ := strconv.ParseInt((frac + "000000000")[:9], 10, 64)
		if w < math.MaxInt64/1_000_000_000 {
			return sign(s) * (w*1e9 + f), nil
		}
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(v) || math.Abs(v) >= math.MaxInt64/1e9 {
		return 0, fmt.Errorf("%q is no time: use RFC 3339 (2026-05-12T09:15:30.2Z) or decimal seconds", s)
	}
	return int64(math.Round(v * 1e9)), nil
}

func isDigits(s string) bool { return strings.Trim(s, "0123456789") == "" }

func sign(s string) int64 {
	if strings.HasPrefix(s, "-") {
		return -1
	}
	return 1
}
