package mapping

import (
	"bytes"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"runproof/flowlog"
)

// sampleLines is how many lines of a text are looked at.
const sampleLines = 2000

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
	all := linesOf(plain)
	if len(raw) == sampleBytes && len(all) > 1 {
		all = all[:len(all)-1] // cut by us
	}
	s.lines = all[:min(len(all), sampleLines)]
	s.delimiter()
	s.head()
	if len(s.names)-1 > flowlog.MaxColumns {
		return s, nil // NewText says so
	}
	s.tidy()
	s.numbers()
	s.missing()
	s.times()
	return s, nil
}

// linesOf cuts a text into its lines.
func linesOf(text []byte) (lines []string) {
	for len(text) > 0 {
		n, line := cutLine(text, true)
		lines, text = append(lines, string(line)), text[n:]
	}
	return lines
}

// tidy takes out heads that come again, and lines without a figure.
func (s *sniffed) tidy() {
	rows := s.rows[:0]
	for _, row := range s.rows {
		if figures(row) > 0 && !slices.Equal(row, s.names) {
			rows = append(rows, row)
		}
	}
	s.rows = rows
}

// encoding: bytes that are no UTF-8 are taken for the Western code page that
// older recorders write.
func (s *sniffed) encoding(raw []byte) {
	switch {
	case bytes.HasPrefix(raw, []byte("\xff\xfe")), bytes.HasPrefix(raw, []byte("\xfe\xff")):
		s.text.Encoding = "utf-16"
	case len(raw) > 3 && raw[0] != 0 && raw[1] == 0 && raw[2] != 0:
		s.text.Encoding = "utf-16le"
	case len(raw) > 3 && raw[0] == 0 && raw[1] != 0 && raw[2] == 0:
		s.text.Encoding = "utf-16be"
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
	if (figures(s.names)-ports(s.names))*2 > width {
		s.text.NoHead = true
		s.notes = append(s.notes, "the file names no columns: they are #1, #2 and so on; write under columns which is position, speed, work and which port")
		rest = s.lines[at:]
		for i := range s.names {
			s.names[i] = "#" + strconv.Itoa(i+1)
		}
	}
	for i, n := range s.names {
		if n == "" {
			s.names[i] = "#" + strconv.Itoa(i+1)
		}
	}
	tellApart(s.names)
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

// ports is how many names are those of ports, such as 4103:1: they are no figures.
func ports(names []string) (n int) {
	for _, name := range names {
		if flowlog.ColumnNamed(name).Kind == flowlog.Port {
			n++
		}
	}
	return n
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
