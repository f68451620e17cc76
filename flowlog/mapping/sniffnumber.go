package mapping

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
)

var (
	decimalComma = regexp.MustCompile(`^[-+]?[0-9]+,[0-9]+$`)
	commaGroups  = regexp.MustCompile(`^[-+]?[1-9][0-9]{0,2}(,[0-9]{3})+$`)
	bothSigns    = regexp.MustCompile(`^[-+]?[0-9]{1,3}(,[0-9]{3})+\.[0-9]+$`)
	pointGroups  = regexp.MustCompile(`^[-+]?[0-9]{1,3}(\.[0-9]{3})+(,[0-9]+)?$`)
	otherGroups  = regexp.MustCompile("^[-+]?[0-9]{1,3}([ '\u2019\u00a0\u202f][0-9]{3})+([.,][0-9]+)?$")
)

// cellsLike is how many cells of figures a pattern fits.
func (s *sniffed) cellsLike(p *regexp.Regexp) (n int) {
	for _, row := range s.rows {
		for _, c := range row {
			if p.MatchString(c) {
				n++
			}
		}
	}
	return n
}

// numbers finds the decimal sign, and what stands between groups of three digits.
// Where the comma is the delimiter, quotes hold together the numbers that have
// one: then it is the decimal sign unless all of them have it before each three
// digits.
func (s *sniffed) numbers() {
	commas, groups := s.cellsLike(decimalComma), s.cellsLike(commaGroups)
	switch {
	case s.cellsLike(bothSigns) > 0, s.text.Delimiter.byte() == ',' && commas > 0 && groups == commas:
		s.grouped(',', "1,234")
	case commas > 0:
		s.text.Decimal = ','
		if s.text.Delimiter == 0 {
			s.text.Delimiter = ','
		}
	}
	switch {
	case s.text.Thousands != 0:
	case s.cellsLike(otherGroups) > 0 && s.apostrophes():
		s.grouped('\'', "1'234")
	case s.cellsLike(otherGroups) > 0:
		s.grouped(' ', "1 234")
	case s.text.Decimal == ',' && s.cellsLike(pointGroups) > 0:
		s.grouped('.', "1.234")
	}
}

func (s *sniffed) grouped(sign Thousands, example string) {
	s.text.Thousands = sign
	s.notes = append(s.notes, fmt.Sprintf("%s is read as a thousand and more (thousands)", example))
}

func (s *sniffed) apostrophes() bool {
	for _, row := range s.rows {
		for _, c := range row {
			if otherGroups.MatchString(c) && strings.ContainsAny(c, "'\u2019") {
				return true
			}
		}
	}
	return false
}

// missing finds words in columns of figures: they say that nothing was reported.
func (s *sniffed) missing() {
	const most, long = 8, 12
	var words []string
	for i := range s.names {
		n, here := 0, map[string]bool{}
		for _, row := range s.rows {
			switch c := row[i]; {
			case figure.MatchString(c) || otherGroups.MatchString(c):
				n++
			case c != "" && len(c) <= long:
				here[c] = true
			}
		}
		if 2*n > len(s.rows) {
			for w := range here {
				if !slices.Contains(words, w) && !s.ended(i, w) {
					words = append(words, w)
				}
			}
		}
	}
	if len(words) == 0 || len(words) > most {
		return
	}
	slices.Sort(words)
	s.text.Missing = words
	s.notes = append(s.notes, "cells that say "+strings.Join(words, ", ")+" are taken for not reported (missing)")
}

// ended says that a word of a column belongs to a line of another kind, such as
// that of the sums: there the first cell is a word, too.
func (s *sniffed) ended(column int, word string) bool {
	for _, row := range s.rows {
		if row[column] == word && !figure.MatchString(row[0]) {
			return true
		}
	}
	return false
}
