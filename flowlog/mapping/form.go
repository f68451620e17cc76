package mapping

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"

	"runproof/flowlog"
	"runproof/input"
)

// Form is how a time is written: a word, or a pattern of YYYY (or YY), MM (or MMM
// for a month's name), DD, hh, mm, ss and AM (which stands for PM, too). Seconds may carry a fraction
// behind a point or a comma. A pattern with no day gives the time since the
// first midnight.
type Form string

// The words for times.
const (
	Auto         Form = ""             // RFC 3339 or decimal seconds
	RFC3339      Form = "rfc3339"      // with its zone
	Seconds      Form = "seconds"      // since the log's own zero
	Milliseconds Form = "milliseconds" // the same in milliseconds
	UnixS        Form = "unix_s"       // since 1970-01-01 UTC
	UnixMS       Form = "unix_ms"      // the same in milliseconds
	UnixUS       Form = "unix_us"      // the same in microseconds
	UnixNS       Form = "unix_ns"      // the same in nanoseconds
	ExcelDays    Form = "excel_days"   // days since 1899-12-30, local
)

// MarshalText writes the form as it was read.
func (f Form) MarshalText() ([]byte, error) { return []byte(f), nil }

// UnmarshalText reads a word or a pattern.
func (f *Form) UnmarshalText(b []byte) error {
	*f = Form(b)
	switch *f {
	case Auto, RFC3339, Seconds, Milliseconds, UnixS, UnixMS, UnixUS, UnixNS, ExcelDays:
		return nil
	}
	_, err := f.pattern()
	return err
}

// local says whether the form is in the time of some place.
func (f Form) local() bool {
	switch f {
	case Auto, RFC3339, Seconds, Milliseconds, UnixS, UnixMS, UnixUS, UnixNS:
		return false
	}
	return true
}

// clock is the flow log's form of time that this one becomes.
func (f Form) clock() flowlog.Clock {
	if f == Seconds || f == Milliseconds {
		return flowlog.Seconds
	}
	if p, err := f.pattern(); err == nil && !p.dated {
		return flowlog.Seconds
	}
	return flowlog.UTC
}

// piece is a part of a pattern: a field or a literal.
type piece struct {
	field   byte // Y M D h m s a, or 0
	digits  int
	literal string
}

type pattern struct {
	pieces []piece
	dated  bool
	half   bool // twelve-hour clock
}

var patternFields = []struct {
	text  string
	field byte
}{{"YYYY", 'Y'}, {"YY", 'y'}, {"MMM", 'M'}, {"MM", 'M'}, {"DD", 'D'}, {"hh", 'h'}, {"mm", 'm'}, {"ss", 's'}, {"AM", 'a'}}

// pattern cuts the form into its parts.
func (f Form) pattern() (*pattern, error) {
	p := &pattern{}
	seen := map[byte]bool{}
	for rest := string(f); rest != ""; {
		found := piece{literal: rest[:1]}
		for _, x := range patternFields {
			if strings.HasPrefix(rest, x.text) {
				found = piece{field: x.field, digits: len(x.text), literal: x.text}
				break
			}
		}
		if found.field == 0 && (rest[0] >= 'a' && rest[0] <= 'z' || rest[0] >= 'A' && rest[0] <= 'S' || rest[0] >= 'U' && rest[0] <= 'Z') {
			return nil, input.Fault{
				What:   fmt.Sprintf("%.40q is no form of time", string(f)),
				Remedy: "use rfc3339, seconds, milliseconds, unix_s, unix_ms, unix_us, unix_ns, excel_days, or a pattern such as DD.MM.YYYY hh:mm:ss",
			}
		}
		if found.field != 0 && seen[found.field] {
			return nil, input.Fault{What: fmt.Sprintf("%s stands twice in the form of time %.40q", found.literal, string(f)), Remedy: "MM is the month, mm the minute"}
		}
		seen[found.field] = true
		p.pieces = append(p.pieces, found)
		rest = rest[len(found.literal):]
	}
	year := seen['Y'] || seen['y']
	p.dated, p.half = year && seen['M'] && seen['D'], seen['a']
	if !seen['h'] || !seen['m'] || (year || seen['M'] || seen['D']) && !p.dated {
		return nil, input.Fault{What: fmt.Sprintf("the form of time %.40q leaves out what a time needs", string(f)), Remedy: "give hh and mm, and YYYY, MM and DD or none of these"}
	}
	return p, nil
}

// wall is a time on a wall clock.
type wall struct {
	year, month, day, hour, minute int
	ns                             int64 // of the minute
}

// read takes a cell apart by the pattern.
func (p *pattern) read(s string) (w wall, ok bool) {
	w = wall{year: 1970, month: 1, day: 1}
	pm, am := false, false
	for _, x := range p.pieces {
		switch x.field {
		case 0:
			if !strings.HasPrefix(s, x.literal) {
				return w, false
			}
			s = s[1:]
		case 'a':
			if len(s) < 2 {
				return w, false
			}
			am, pm = strings.EqualFold(s[:2], "AM"), strings.EqualFold(s[:2], "PM")
			if s = s[2:]; am == pm {
				return w, false
			}
		case 's':
			if w.ns, s, ok = secondsNS(s); !ok {
				return w, false
			}
		default:
			read := leadingInt
			if x.digits == named {
				read = leadingMonth
			}
			var v int
			if v, s, ok = read(s, x.digits); !ok {
				return w, false
			}
			w.set(x.field, v)
		}
	}
	if p.half && (w.hour < 1 || w.hour > 12) {
		return w, false
	}
	if am && w.hour == 12 {
		w.hour = 0
	} else if pm && w.hour < 12 {
		w.hour += 12
	}
	return w, strings.TrimSpace(s) == "" && w.valid()
}

func (w *wall) set(field byte, v int) {
	switch field {
	case 'Y':
		w.year = v
	case 'y': // as in NMEA: 80 is 1980, 79 is 2079
		if w.year = 2000 + v; v >= 80 {
			w.year = 1900 + v
		}
	case 'M':
		w.month = v
	case 'D':
		w.day = v
	case 'h':
		w.hour = v
	case 'm':
		w.minute = v
	}
}

func (w wall) valid() bool {
	t := time.Date(w.year, time.Month(w.month), w.day, 0, 0, 0, 0, time.UTC)
	return w.year >= 1900 && w.year <= 2200 && t.Day() == w.day && int(t.Month()) == w.month && w.hour < 24 && w.minute < 60
}

// utc is the wall's time in nanoseconds if the wall hung in Greenwich.
func (w wall) utc() int64 {
	return time.Date(w.year, time.Month(w.month), w.day, w.hour, w.minute, 0, 0, time.UTC).UnixNano() + w.ns
}

// leadingInt reads one to most digits.
func leadingInt(s string, most int) (v int, rest string, ok bool) {
	n := 0
	for n < len(s) && n < most && s[n] >= '0' && s[n] <= '9' {
		v = v*10 + int(s[n]-'0')
		n++
	}
	return v, s[n:], n > 0
}

// secondsNS reads seconds with or without a fraction, exactly.
func secondsNS(s string) (ns int64, rest string, ok bool) {
	v, rest, ok := leadingInt(s, 2)
	if !ok || v > 60 {
		return 0, rest, false
	}
	ns = int64(v) * 1e9
	if len(rest) > 1 && (rest[0] == '.' || rest[0] == ',') && rest[1] >= '0' && rest[1] <= '9' {
		unit := int64(1e8)
		for rest = rest[1:]; rest != "" && rest[0] >= '0' && rest[0] <= '9'; rest = rest[1:] {
			ns += int64(rest[0]-'0') * unit
			unit /= 10
		}
	}
	return ns, rest, true
}

// named is how many letters stand for a month's name in a pattern.
const named = 3

// months are the first letters of their names, in some languages. common
// practice, no source.
var months = [12]string{"jan ene gen", "feb fév fev", "mar mär mrz mrt", "apr avr abr", "mai may mei mag maj", "jun juin giu", "jul juil lug", "aug aoû aou ago", "sep set", "oct okt ott out", "nov", "dec dez déc dic"}

// leadingMonth reads the name of a month, short or whole, with or without a full
// stop.
func leadingMonth(s string, _ int) (month int, rest string, ok bool) {
	end := strings.IndexFunc(s, func(r rune) bool { return !unicode.IsLetter(r) })
	if end < 0 {
		end = len(s)
	}
	name, rest := strings.ToLower(s[:end]), strings.TrimPrefix(s[end:], ".")
	for m, starts := range months {
		for start := range strings.FieldsSeq(starts) {
			if strings.HasPrefix(name, start) {
				return m + 1, rest, true
			}
		}
	}
	return 0, rest, false
}

// number reads one of the counted forms.
func (f Form) number(s string, decimal byte) (ns int64, ok bool) {
	if decimal == ',' {
		s = strings.Replace(s, ",", ".", 1)
	}
	switch f {
	case UnixS, Seconds:
		ns, clock, err := flowlog.ParseTime(s)
		return ns, err == nil && clock == flowlog.Seconds
	case UnixNS: // more digits than a float64 has
		ns, err := strconv.ParseInt(s, 10, 64)
		return ns, err == nil
	}
	v, err := strconv.ParseFloat(s, 64)
	switch {
	case err != nil || v != v:
		return 0, false
	case (f == UnixMS || f == Milliseconds) && math.Abs(v) < 9e12:
		return int64(math.Round(v*1e3)) * 1e3, true
	case f == UnixUS && math.Abs(v) < 9e15:
		return int64(math.Round(v)) * 1e3, true
	case f == ExcelDays && v > 0 && v < 110000: // to the year 2201
		const epochDays = 25569 // 1970-01-01 counted from 1899-12-30
		return int64(math.Round((v-epochDays)*86400e6)) * 1e3, true
	}
	return 0, false
}
