package mapping

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"runproof/flowlog"
)

// forms are the patterns that are tried, the unmistakable first.
var forms = []Form{
	RFC3339, "YYYY-MM-DDThh:mm:ss", "YYYY-MM-DD hh:mm:ss", "YYYY/MM/DD hh:mm:ss", "YYYY.MM.DD hh:mm:ss", "YYYYMMDD hh:mm:ss", "YYYYMMDDhhmmss", "YYYYMMDDThhmmss",
	"DD.MM.YYYY hh:mm:ss", "DD.MM.YY hh:mm:ss", "DD-MM-YYYY hh:mm:ss",
	"MM/DD/YYYY hh:mm:ss AM", "DD/MM/YYYY hh:mm:ss AM", "MM/DD/YY hh:mm:ss AM", "DD/MM/YY hh:mm:ss AM", "DD/MM/YYYY hh:mm:ss", "MM/DD/YYYY hh:mm:ss", "DD/MM/YY hh:mm:ss", "MM/DD/YY hh:mm:ss",
	"DD-MMM-YYYY hh:mm:ss", "DD MMM YYYY hh:mm:ss", "DD. MMM YYYY hh:mm:ss", "DD-MMM-YY hh:mm:ss", "MMM DD, YYYY hh:mm:ss AM", "MMM DD YYYY hh:mm:ss AM", "MMM DD, YYYY hh:mm:ss", "MMM DD YYYY hh:mm:ss",
	"YYYY-MM-DD hh:mm", "DD.MM.YYYY hh:mm", "hh:mm:ss", "hh:mm:ss AM",
}

// patterns are the forms, cut into their parts.
var patterns = func() (ps []*pattern) {
	for _, f := range forms {
		p, _ := f.pattern()
		ps = append(ps, p)
	}
	return ps
}()

// times finds the column of time, or the pair of date and time of day.
func (s *sniffed) times() {
	likely := s.likelyTimes()
	for _, i := range likely {
		if form, ok := s.formOf(func(row []string) string { return row[i] }); ok && !strings.HasPrefix(string(form), "hh") {
			s.tell(form, i)
			return
		}
	}
	for _, i := range likely {
		for _, j := range likely {
			if i == j {
				continue
			}
			if form, ok := s.formOf(func(row []string) string { return row[i] + " " + row[j] }); ok {
				s.tell(form, i, j)
				return
			}
		}
	}
	for _, i := range likely {
		if form, ok := s.formOf(func(row []string) string { return row[i] }); ok {
			s.tell(form, i)
			return
		}
	}
	s.countedTime()
}

// dateOrTime is what a date or a time of day has at least: two signs between
// digits or letters, or eight digits.
var dateOrTime = regexp.MustCompile(`^[0-9\pL]+[-/.: ,]+[0-9\pL]+\.?[-/.: ,]|[0-9]{8}`)

// likelyTimes are the first columns that may be times.
func (s *sniffed) likelyTimes() (columns []int) {
	const most = 16
	for i := range s.names {
		if len(s.rows) > 0 && len(columns) < most && dateOrTime.MatchString(s.rows[0][i]) {
			columns = append(columns, i)
		}
	}
	return columns
}

// formOf is the first form that reads the rows, but for one in twenty at most:
// a line of sums, another head.
func (s *sniffed) formOf(text func([]string) string) (Form, bool) {
	const odd = 20
	if len(s.rows) == 0 {
		return "", false
	}
next:
	for k, f := range forms {
		fails := 0
		for _, row := range s.rows {
			if !f.reads(patterns[k], text(row)) {
				if fails++; fails*odd > len(s.rows) {
					continue next
				}
			}
		}
		return f, true
	}
	return "", false
}

func (f Form) reads(p *pattern, s string) bool {
	if f == RFC3339 {
		_, clock, err := flowlog.ParseTime(s)
		return err == nil && clock == flowlog.UTC
	}
	_, ok := p.read(s)
	return ok
}

func (s *sniffed) tell(f Form, columns ...int) {
	s.time = Time{Form: f}
	for _, i := range columns {
		s.time.Columns = append(s.time.Columns, s.names[i])
	}
	if f == RFC3339 {
		s.time.Form = Auto
		return
	}
	if f.local() && f.clock() == flowlog.UTC {
		s.time.Zone = "UTC"
		s.notes = append(s.notes, "times carry no zone: write the recorder's under time, such as Europe/Berlin or -06:00")
	}
	if (strings.Contains(string(f), "DD/MM") || strings.Contains(string(f), "MM/DD/")) && !s.oneWay(columns[0]) {
		s.notes = append(s.notes, "every date of the sample can also be read with month and day the other way round: check the form")
	}
}

// oneWay says that some date has a day that can be no month.
func (s *sniffed) oneWay(column int) bool {
	const most = 12
	for _, row := range s.rows {
		first, rest, _ := leadingInt(row[column], 2)
		second, _, ok := leadingInt(strings.TrimPrefix(rest, "/"), 2)
		if ok && (first > most || second > most) {
			return true
		}
	}
	return false
}

// countedTime finds a column of figures that always rise: seconds, milliseconds
// since 1970, days of a spreadsheet. A column named for time goes first.
func (s *sniffed) countedTime() {
	named := regexp.MustCompile(`(?i)time|zeit|stamp|heure|hora|tid|^t$|^t[ ._-]|^sec|^s$|^ms$|milli|epoch|unix`)
	for _, wantName := range []bool{true, false} {
		for i, name := range s.names {
			if _, other := known(name, nil); wantName != named.MatchString(name) || other {
				continue
			}
			f, ok := s.rising(i)
			if !ok {
				continue
			}
			s.time = Time{Columns: Names{name}, Form: f}
			if !wantName {
				s.notes = append(s.notes, fmt.Sprintf("no column is named for time; %q rises from line to line and is taken for it: check under time", name))
			}
			if f == ExcelDays {
				s.time.Zone = "UTC"
				s.notes = append(s.notes, "times carry no zone: write the recorder's under time, such as Europe/Berlin or -06:00")
			}
			return
		}
	}
	s.notes = append(s.notes, "no column of times was found: name it under time, with its form")
}

// rising is the form of a column of figures that rise, where they do.
func (s *sniffed) rising(i int) (Form, bool) {
	var values []float64
	for _, row := range s.rows {
		v, ok := s.text.number(row[i])
		if !ok || len(values) > 0 && v < values[len(values)-1] {
			return "", false
		}
		values = append(values, v)
	}
	if len(values) < 2 || values[0] == values[len(values)-1] {
		return "", false
	}
	lo, hi := values[0], values[len(values)-1]
	switch {
	case lo > 6e17 && hi < 5e18:
		return UnixNS, true
	case lo > 6e14 && hi < 5e15:
		return UnixUS, true
	case lo > 6e11 && hi < 5e12:
		return UnixMS, true
	case lo > 6e8 && hi < 5e9:
		return UnixS, true
	case lo > 25569 && hi < 80000 && hi-lo < 60 && hi != math.Trunc(hi):
		return ExcelDays, true
	}
	return s.secondsOrMilli(i, values), true
}

// secondsOrMilli tells the two from the name, else from the steps: no drill is
// recorded every 10 s or less often.
func (s *sniffed) secondsOrMilli(i int, values []float64) Form {
	const rarestS = 10
	var steps []float64
	for k, v := range values {
		if v != math.Trunc(v) {
			return Seconds
		}
		if k > 0 && v > values[k-1] {
			steps = append(steps, v-values[k-1])
		}
	}
	slices.Sort(steps)
	mid := steps[len(steps)/2]
	if regexp.MustCompile(`(?i)(^|[^a-z])(ms|msec|milli[a-z]*)\b`).MatchString(s.names[i]) {
		return Milliseconds
	}
	if mid < rarestS {
		return Seconds
	}
	s.notes = append(s.notes, fmt.Sprintf("times go up by %s a line and are taken for milliseconds: check the form", strconv.FormatFloat(mid, 'f', -1, 64)))
	return Milliseconds
}
