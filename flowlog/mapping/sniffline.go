package mapping

import (
	"fmt"
	"regexp"
	"slices"
)

// lineNames are names of columns that hold the name of what a line tells of, and
// lineValues of those that hold its value. common practice, no source.
var (
	lineNames  = regexp.MustCompile(`(?i)\b(run|row|port|channel|sensor|tag|signal|outlet|kanal|reihe|säreihe|canal|rang|name|id)\b`)
	lineValues = regexp.MustCompile(`(?i)\b(counts?|value|val|pulses|seeds|particles|anzahl|wert|zähler|körner|valeur|valor|n)\b`)
)

// oneALine finds that lines tell of one column each: times come again and again,
// a column of names is different on all lines of one time, and another has the
// values. It gives the names.
func (p *Proposal) oneALine(s *sniffed) (names []Column) {
	if !s.timesRepeat() {
		return nil
	}
	name, value := none, none
	for i, n := range s.names {
		switch plain := plainName(n); {
		case slices.Contains(s.time.Columns, n):
		case name == none && lineNames.MatchString(plain) && s.onceATime(i):
			name = i
		case value == none && lineValues.MatchString(plain) && s.allFigures(i):
			value = i
		}
	}
	if name == none || value == none {
		return nil
	}
	p.Line = Line{s.names[name], s.names[value]}
	p.Notes = append(p.Notes, fmt.Sprintf("each line is taken to tell of one port: its name in %q, its count in %q; names that the sample does not show are left out", p.Line.Name, p.Line.Value))
	seen := map[string]bool{}
	for _, row := range s.rows {
		if n := row[name]; n != "" && !seen[n] {
			seen[n] = true
			names = append(names, Column{From: n, To: n})
		}
	}
	return names
}

// keep names what is no port, so that its lines are not left out.
func (p *Proposal) keep(names []Column) {
	for _, n := range names {
		if !slices.ContainsFunc(p.Columns, func(c Column) bool { return c.From == n.From }) {
			p.Columns = append(p.Columns, n)
		}
	}
}

// timeOf is the time of a row, as it is written.
func (s *sniffed) timeOf(row []string) (text string) {
	for i, n := range s.names {
		if slices.Contains(s.time.Columns, n) {
			text += row[i] + " "
		}
	}
	return text
}

// timesRepeat says that most rows have the time of the row before.
func (s *sniffed) timesRepeat() bool {
	again, last := 0, ""
	for _, row := range s.rows {
		text := s.timeOf(row)
		if text == last {
			again++
		}
		last = text
	}
	return len(s.time.Columns) > 0 && 2*again >= len(s.rows)
}

// onceATime says that a column does not say the same twice at one time, but does
// at different times.
func (s *sniffed) onceATime(i int) bool {
	pairs, cells := map[[2]string]bool{}, map[string]bool{}
	for _, row := range s.rows {
		pairs[[2]string{s.timeOf(row), row[i]}] = true
		cells[row[i]] = true
	}
	const odd = 20
	return (len(s.rows)-len(pairs))*odd <= len(s.rows) && len(cells)*2 <= len(s.rows)
}

func (s *sniffed) allFigures(i int) bool {
	for _, row := range s.rows {
		if row[i] != "" && !figure.MatchString(row[i]) && !slices.Contains(s.text.Missing, row[i]) {
			return false
		}
	}
	return true
}
