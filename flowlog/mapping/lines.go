package mapping

import (
	"bytes"
	"strings"
)

// cutLine is bufio.ScanLines for all three ends of lines: a line feed, a
// carriage return, or both.
func cutLine(data []byte, atEOF bool) (n int, line []byte) {
	end := bytes.IndexByte(data, '\n')
	if end < 0 {
		end = len(data)
	}
	switch cr := bytes.IndexByte(data[:end], '\r'); {
	case cr >= 0 && cr+1 < len(data) && data[cr+1] != '\n', cr >= 0 && cr+1 == len(data) && atEOF:
		return cr + 1, data[:cr]
	case cr >= 0 && cr+1 < len(data):
		return cr + 2, data[:cr]
	case cr >= 0: // what comes next tells
		return 0, nil
	case end < len(data):
		return end + 1, data[:end]
	case atEOF && end > 0:
		return end, data
	}
	return 0, nil
}

// split cuts a line into cells. Quotes hold a cell together; a quote inside is
// written twice.
func (r *TextReader) split(b []byte) {
	r.cells = r.cells[:0]
	sep, s := r.m.Text.Delimiter.byte(), string(b)
	for {
		if sep == ' ' {
			s = strings.TrimLeft(s, " ")
		}
		var cell string
		if len(s) > 0 && s[0] == '"' {
			cell, s = quoted(s[1:])
		}
		end := strings.IndexByte(s, sep)
		if end < 0 {
			r.cells = append(r.cells, cell+s)
			break
		}
		r.cells = append(r.cells, cell+s[:end])
		s = s[end+1:]
	}
	if n := len(r.cells); sep == ' ' && n > 1 && r.cells[n-1] == "" {
		r.cells = r.cells[:n-1]
	}
}

// quoted reads up to the closing quote and gives what stands behind it.
func quoted(s string) (cell, rest string) {
	var b strings.Builder
	for {
		end := strings.IndexByte(s, '"')
		if end < 0 {
			return b.String() + s, ""
		}
		b.WriteString(s[:end])
		s = s[end+1:]
		if s == "" || s[0] != '"' {
			return b.String(), s
		}
		b.WriteByte('"')
		s = s[1:]
	}
}
