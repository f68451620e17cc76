package drill

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"runproof/input"
	"runproof/input/yamldoc"
)

// RowList is the rows that a head feeds, outlet 1 first. A person writes it as
// "13-18, 20, 22-26", as a single row, or as a list of either; documents made
// by the program carry plain numbers.
type RowList []int

// MaxRows is the widest drill the program takes.
const MaxRows = 400

// ParseRowList reads "13-18, 20, 22-26". A range runs upward; a row may stand
// once. The error is an input.Fault without a place.
func ParseRowList(s string) (RowList, error) {
	var rows RowList
	seen := make(map[int]bool)
	for part := range strings.SplitSeq(s, ",") {
		first, last, err := parseRange(strings.TrimSpace(part))
		if err != nil {
			return nil, err
		}
		for row := first; row <= last; row++ {
			if seen[row] {
				return nil, rowFault("name each row once", "row %d stands twice in the list %q", row, s)
			}
			seen[row] = true
			rows = append(rows, row)
		}
	}
	return rows, nil
}

func parseRange(part string) (first, last int, err error) {
	a, b, ranged := strings.Cut(part, "-")
	if first, err = parseRow(a, part); err != nil {
		return 0, 0, err
	}
	if !ranged {
		return first, first, nil
	}
	if last, err = parseRow(b, part); err != nil {
		return 0, 0, err
	}
	if last < first {
		return 0, 0, rowFault(fmt.Sprintf("write %d-%d, or name the rows one by one in the order of the outlets", last, first),
			"range %q runs backward", part)
	}
	return first, last, nil
}

func parseRow(s, part string) (int, error) {
	s = strings.TrimSpace(s)
	if s == "" {
		return 0, rowFault(`write rows like "1-12, 15, 20-24"`, "%q lacks a row number", part)
	}
	row, err := strconv.Atoi(s)
	if err != nil {
		return 0, rowFault(`write rows like "1-12, 15, 20-24"`, "%q is no row number", s)
	}
	if row < 1 || row > MaxRows {
		return 0, rowFault(fmt.Sprintf("rows count from 1 at the left to at most %d", MaxRows), "row %d is out of range", row)
	}
	return row, nil
}

func rowFault(remedy, what string, args ...any) error {
	return input.Fault{What: fmt.Sprintf(what, args...), Remedy: remedy}
}

// String writes the list as a person would: "13-18, 20, 22-26".
func (l RowList) String() string {
	var parts []string
	for _, st := range l.Stretches() {
		if st[0] == st[1] {
			parts = append(parts, strconv.Itoa(st[0]))
		} else {
			parts = append(parts, fmt.Sprintf("%d-%d", st[0], st[1]))
		}
	}
	return strings.Join(parts, ", ")
}

// Stretches splits the list, in its order, into stretches of rows that follow
// each other: the first and the last row of each.
func (l RowList) Stretches() [][2]int {
	var out [][2]int
	for i, r := range l {
		if i > 0 && r == l[i-1]+1 {
			out[len(out)-1][1] = r
		} else {
			out = append(out, [2]int{r, r})
		}
	}
	return out
}

// UnmarshalItems reads a scalar or a list of scalars of a YAML document.
func (l *RowList) UnmarshalItems(items []yamldoc.Item) input.Faults {
	var faults input.Faults
	seen := make(map[int]bool)
	*l = nil
	for _, item := range items {
		rows, err := ParseRowList(item.Text)
		var f input.Fault
		if errors.As(err, &f) {
			faults.Add(item.At, f.Remedy, "%s", f.What)
		}
		for _, row := range rows {
			if seen[row] {
				faults.Add(item.At, "name each row once", "row %d stands twice in the list", row)
			}
			seen[row] = true
		}
		*l = append(*l, rows...)
	}
	return faults
}
