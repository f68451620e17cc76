package csv

import (
	"bytes"
	"errors"
)

var (
	errBareQuote  = errors.New(`a quote stands inside a cell that does not begin with one`)
	errAfterQuote = errors.New(`something stands between a closing quote and the next comma`)
)

// split cuts a line into its cells as RFC 4180 has it: quotes off, doubled
// quotes made single. at holds where each cell begins, in bytes from 0. It is
// the slow road, for the head and for lines with quotes in them; cells beyond
// limit are left uncut in the last.
func split(line []byte, limit int) (cells [][]byte, at []int, err error) {
	for i := 0; ; {
		at = append(at, i)
		if len(at) == limit {
			return append(cells, line[i:]), at, nil
		}
		cell, next, err := cut(line, i)
		if err != nil {
			return cells, at, err
		}
		cells = append(cells, cell)
		if next >= len(line) {
			return cells, at, nil
		}
		i = next + 1
	}
}

// cut gives the cell that begins at i and the place of the comma behind it, or
// the line's length.
func cut(line []byte, i int) (cell []byte, next int, err error) {
	if i == len(line) || line[i] != '"' {
		next = len(line)
		if n := bytes.IndexByte(line[i:], ','); n >= 0 {
			next = i + n
		}
		if bytes.IndexByte(line[i:next], '"') >= 0 {
			return nil, next, errBareQuote
		}
		return bytes.Trim(line[i:next], " \t"), next, nil
	}
	for i++; ; i++ {
		n := bytes.IndexByte(line[i:], '"')
		if n < 0 {
			return nil, len(line), errBareQuote
		}
		cell = append(cell, line[i:i+n]...)
		i += n + 1
		if i == len(line) || line[i] == ',' {
			return cell, i, nil
		}
		if line[i] != '"' {
			return nil, i, errAfterQuote
		}
		cell = append(cell, '"')
	}
}
