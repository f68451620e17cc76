package fit

import (
	"bufio"
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"runproof/input"
)

// CompareSerials orders serial numbers as a person does: stretches of digits
// count as numbers, so that 980 comes before 4103 and N2 before N10; all else
// goes by letter. Of serials that differ in leading zeros only, the one with
// fewer comes first.
func CompareSerials(a, b string) int {
	s, t := a, b
	for s != "" && t != "" {
		x, restS := chunk(s)
		y, restT := chunk(t)
		if c := compareChunks(x, y); c != 0 {
			return c
		}
		s, t = restS, restT
	}
	return cmp.Or(cmp.Compare(len(s), len(t)), cmp.Compare(len(a), len(b)), cmp.Compare(a, b))
}

// chunk cuts off the leading stretch of digits, or of anything else.
func chunk(s string) (head, rest string) {
	digit := isDigit(s[0])
	i := 1
	for i < len(s) && isDigit(s[i]) == digit {
		i++
	}
	return s[:i], s[i:]
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// compareChunks compares numbers of any length by value, words by letter, and
// puts numbers before words.
func compareChunks(x, y string) int {
	if !isDigit(x[0]) || !isDigit(y[0]) {
		return cmp.Compare(x, y)
	}
	x, y = strings.TrimLeft(x, "0"), strings.TrimLeft(y, "0")
	return cmp.Or(cmp.Compare(len(x), len(y)), cmp.Compare(x, y))
}

// ReadSerials reads one serial a line, in any order, and returns them
// ascending. Blank lines, and lines that begin with #, are passed over. name
// is the file's name for messages. The error is input.Faults with every fault,
// or what r returned.
func ReadSerials(r io.Reader, name string) ([]string, error) {
	var faults input.Faults
	var serials []string
	first := make(map[string]int)
	sc := bufio.NewScanner(r)
	line := 0
	for sc.Scan() {
		line++
		s := strings.TrimSpace(strings.TrimPrefix(sc.Text(), "\ufeff"))
		if s == "" || s[0] == '#' {
			continue
		}
		at := input.Place{File: name, Line: line, Col: 1}
		if why := serialFault(s); why != "" {
			faults.Add(at, "write one serial a line, as it stands on the box", "serial %q %s", s, why)
			continue
		}
		if k, twice := first[s]; twice {
			faults.Add(at, "write each node's own", "serial %s stands on line %d already", s, k)
			continue
		}
		first[s] = line
		serials = append(serials, s)
	}
	if err := sc.Err(); err == bufio.ErrTooLong {
		faults.Add(input.Place{File: name, Line: line + 1}, "write one serial a line", "the line is far longer than a serial")
	} else if err != nil {
		return nil, err
	}
	slices.SortFunc(serials, CompareSerials)
	return serials, faults.Err()
}

// NumberedSerials are N1, N2, ..., for nodes whose serials are not known yet.
func NumberedSerials(n int) []string {
	serials := make([]string, n)
	for i := range serials {
		serials[i] = fmt.Sprintf("N%d", i+1)
	}
	return serials
}

const maxSerial = 40

// serialFault says what is wrong with a serial, or "". Serials become names of
// columns in logs, <serial>:<port>, and of cells in tables: they hold letters,
// digits and . _ - / + only.
func serialFault(s string) string {
	switch n := utf8.RuneCountInString(s); {
	case n == 0:
		return "is empty"
	case n > maxSerial:
		return "is too long"
	case s == "sec":
		return "means a section in a flow log"
	case s == "supply" || s == "gateway":
		return "means a place of the harness"
	}
	for _, r := range s {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune("._-/+", r) {
			continue
		}
		if unicode.IsSpace(r) {
			return "has a space in it"
		}
		return fmt.Sprintf("has %q in it", r)
	}
	return ""
}
