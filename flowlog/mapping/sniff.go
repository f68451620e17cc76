package mapping

import (
	"bytes"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"runproof/flowlog"
)

// sampleLines is how many lines of a text are looked at.
const sampleLines = 400

// sampleBytes is how much of a text is looked at.
const sampleBytes = 1 << 20

// sniffed is what a look at a text has shown.
type sniffed struct {
	text  Text
	time  Time
	lines []string   // not empty, undecoded ones apart
	rows  [][]string // data
	names []string
	units []string // of the line below the names, where there is one
	notes []string
}

// sniff finds how a text is written from its first lines.
func sniff(src io.Reader) (*sniffed, error) {
	raw, err := io.ReadAll(io.LimitReader(src, sampleBytes))
	if err != nil {
		return nil, err
	}
	s := &sniffed{}
	s.encoding(raw)
	text, err := decoded(bytes.NewReader(raw), s.text.Encoding)
	if err != nil {
		return nil, err
	}
	plain, err := io.ReadAll(text)
	if err != nil {
		return nil, err
	}
	all := strings.Split(strings.ReplaceAll(string(plain), "\r\n", "\n"), "\n")
	if len(raw) == sampleBytes {
		all = all[:len(all)-1] // cut by us
	}
	s.lines = all[:min(len(all), sampleLines)]
	s.delimiter()
	s.head()
	s.decimal()
	s.times()
	return s, nil
}

// encoding: bytes that are no UTF-8 are taken for the Western code page that
// older recorders write.
func (s *sniffed) encoding(raw []byte) {
	switch {
	case bytes.HasPrefix(raw, []byte("\xff\xfe")), bytes.HasPrefix(raw, []byte("\xfe\xff")):
		s.text.Encoding = "utf-16"
	case bytes.IndexByte(raw, 0) >= 0 && len(raw) > 3 && raw[1] == 0:
		s.text.Encoding = "utf-16le"
	case !utf8.Valid(raw[:max(0, len(raw)-utf8.UTFMax)]):
		s.text.Encoding = "windows-1252"
	}
}

// cells cuts a line by a delimiter.
func cells(line string, d Delimiter) []string {
	r := TextReader{m: &Map{Text: Text{Delimiter: d}}}
	r.split([]byte(line))
	out := make([]string, len(r.cells))
	for i, c := range r.cells {
		out[i] = strings.TrimSpace(c)
	}
	return out
}

// delimiter: the one that cuts most lines into the same number of cells. Where
// decimal commas are about, the comma does so, too; so the others come first.
func (s *sniffed) delimiter() {
	best, bestScore := Delimiter(','), 0.0
	for _, d := range []Delimiter{';', '\t', '|', ',', ' '} {
		counts, lines := map[int]int{}, 0
		for _, line := range s.lines {
			if strings.TrimSpace(line) != "" {
				counts[len(cells(line, d))]++
				lines++
			}
		}
		for n, times := range counts {
			if n < 2 {
				continue
			}
			score := float64(times) / float64(max(lines, 1))
			if d == ' ' {
				score *= 0.7 // times and names have spaces in them
			}
			if score > bestScore+0.05 {
				best, bestScore = d, score
			}
		}
	}
	if s.text.Delimiter = best; best == ',' {
		s.text.Delimiter = 0
	}
}

// head finds the line of names: the first with as many cells as most.
func (s *sniffed) head() {
	counts := map[int]int{}
	for _, line := range s.lines {
		if n := len(cells(line, s.text.Delimiter)); strings.TrimSpace(line) != "" && n > 1 {
			counts[n]++
		}
	}
	width, most := 0, 0
	for n, times := range counts {
		if times > most || times == most && n > width {
			width, most = n, times
		}
	}
	at := -1
	for i, line := range s.lines {
		if len(cells(line, s.text.Delimiter)) == width {
			at = i
			break
		}
	}
	if at < 0 {
		return
	}
	s.text.SkipLines = at
	s.names = cells(s.lines[at], s.text.Delimiter)
	rest := s.lines[at+1:]
	if figures(s.names)*2 > width {
		s.text.NoHead = true
		rest = s.lines[at:]
		for i := range s.names {
			s.names[i] = "#" + strconv.Itoa(i+1)
		}
	}
	for i, line := range rest {
		c := cells(line, s.text.Delimiter)
		if i == 0 && !s.text.NoHead && len(rest) > 1 && figures(c) == 0 && figures(cells(rest[1], s.text.Delimiter)) > 0 {
			s.text.SkipAfter = 1
			s.units = c
			continue
		}
		if len(c) == width {
			s.rows = append(s.rows, c)
		}
	}
}

var figure = regexp.MustCompile(`^[-+]?[0-9][-+0-9.,:/TZ ]*([eE][-+]?[0-9]+)?$`)

// figures is how many cells hold figures, times among them.
func figures(cs []string) int {
	n := 0
	for _, c := range cs {
		if figure.MatchString(c) {
			n++
		}
	}
	return n
}

var decimalComma = regexp.MustCompile(`^[-+]?[0-9]+,[0-9]+$`)

func (s *sniffed) decimal() {
	if s.text.Delimiter.byte() == ',' {
		return
	}
	for _, row := range s.rows {
		for _, c := range row {
			if decimalComma.MatchString(c) {
				s.text.Decimal = ','
				return
			}
		}
	}
}

// forms are the patterns that are tried, the unmistakable first.
var forms = []Form{
	RFC3339, "YYYY-MM-DDThh:mm:ss", "YYYY-MM-DD hh:mm:ss", "YYYY/MM/DD hh:mm:ss", "YYYY.MM.DD hh:mm:ss", "YYYYMMDD hh:mm:ss", "YYYYMMDDhhmmss", "YYYYMMDDThhmmss",
	"DD.MM.YYYY hh:mm:ss", "DD.MM.YY hh:mm:ss", "DD-MM-YYYY hh:mm:ss",
	"DD/MM/YYYY hh:mm:ss AM", "MM/DD/YYYY hh:mm:ss AM", "DD/MM/YYYY hh:mm:ss", "MM/DD/YYYY hh:mm:ss", "DD/MM/YY hh:mm:ss", "MM/DD/YY hh:mm:ss",
	"YYYY-MM-DD hh:mm", "DD.MM.YYYY hh:mm", "hh:mm:ss",
}

// times finds the column of time, or the pair of date and time of day.
func (s *sniffed) times() {
	for i := range s.names {
		if form, ok := s.formOf(func(row []string) string { return row[i] }); ok && form != "hh:mm:ss" {
			s.tell(form, s.names[i])
			return
		}
	}
	for i := range s.names {
		for j := range s.names {
			if i == j {
				continue
			}
			if form, ok := s.formOf(func(row []string) string { return row[i] + " " + row[j] }); ok {
				s.tell(form, s.names[i], s.names[j])
				return
			}
		}
	}
	for i := range s.names {
		if form, ok := s.formOf(func(row []string) string { return row[i] }); ok {
			s.tell(form, s.names[i])
			return
		}
	}
	s.countedTime()
}

// formOf is the first form that reads every row.
func (s *sniffed) formOf(text func([]string) string) (Form, bool) {
	if len(s.rows) == 0 {
		return "", false
	}
next:
	for _, f := range forms {
		p, _ := f.pattern()
		for _, row := range s.rows {
			t := text(row)
			if f == RFC3339 {
				_, clock, err := flowlog.ParseTime(t)
				if err != nil || clock != flowlog.UTC {
					continue next
				}
			} else if _, ok := p.read(t); !ok {
				continue next
			}
		}
		return f, true
	}
	return "", false
}

func (s *sniffed) tell(f Form, columns ...string) {
	s.time = Time{Columns: columns, Form: f}
	if f == RFC3339 {
		s.time.Form = Auto
		return
	}
	if f.local() && f.clock() == flowlog.UTC {
		s.time.Zone = "UTC"
		s.notes = append(s.notes, "times carry no zone: write the recorder's under time, such as Europe/Berlin or -06:00")
	}
	if strings.Contains(string(f), "DD/MM") {
		s.notes = append(s.notes, "every date of the sample can also be read with month and day the other way round: check the form")
		for _, row := range s.rows {
			if day, _, _ := leadingInt(row[fieldNamed(s.names, columns[0])], 2); day > 12 {
				s.notes = s.notes[:len(s.notes)-1]
				break
			}
		}
	}
}

// countedTime finds a column of figures that always rise: seconds, milliseconds
// since 1970, days of a spreadsheet. A column named for time goes first.
func (s *sniffed) countedTime() {
	named := regexp.MustCompile(`(?i)time|zeit|stamp|heure|tid|^t$|^sec|^s$`)
	for _, wantName := range []bool{true, false} {
		for i, name := range s.names {
			if wantName && !named.MatchString(name) {
				continue
			}
			if f, ok := s.rising(i); ok {
				s.time = Time{Columns: Names{name}, Form: f}
				if f == ExcelDays {
					s.time.Zone = "UTC"
					s.notes = append(s.notes, "times carry no zone: write the recorder's under time, such as Europe/Berlin or -06:00")
				}
				return
			}
		}
	}
	s.notes = append(s.notes, "no column of times was found: name it under time, with its form")
}

func (s *sniffed) rising(i int) (Form, bool) {
	last, lo := math.Inf(-1), math.Inf(1)
	for _, row := range s.rows {
		c := row[i]
		if s.text.Decimal == ',' {
			c = strings.Replace(c, ",", ".", 1)
		}
		v, err := strconv.ParseFloat(c, 64)
		if err != nil || v < last {
			return "", false
		}
		last, lo = v, min(lo, v)
	}
	switch {
	case len(s.rows) < 2 || !(last > lo):
		return "", false
	case lo > 6e11 && last < 5e12:
		return UnixMS, true
	case lo > 6e8 && last < 5e9:
		return UnixS, true
	case lo > 25569 && last < 80000 && last-lo < 60 && last != math.Trunc(last):
		return ExcelDays, true
	}
	return Seconds, true
}
