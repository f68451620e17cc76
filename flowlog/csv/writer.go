package csv

import (
	"bufio"
	"io"
	"math"
	"strconv"
	"strings"

	"runproof/flowlog"
)

// Writer writes a log as text: time first, then the columns in order. It
// implements flowlog.Writer.
type Writer struct {
	w    *bufio.Writer
	s    flowlog.Schema
	line []byte
}

// NewWriter writes the head.
func NewWriter(w io.Writer, s flowlog.Schema) (*Writer, error) {
	cw := &Writer{w: bufio.NewWriterSize(w, 64<<10), s: s}
	cw.line = append(cw.line, flowlog.TimeName...)
	for _, c := range s.Columns {
		cw.line = append(cw.line, ',')
		cw.line = appendName(cw.line, c.Name)
	}
	return cw, cw.endLine()
}

// Write writes one line a sample.
func (w *Writer) Write(b *flowlog.Batch) error {
	for i, ns := range b.TimeNS {
		w.line = w.s.Clock.Append(w.line, ns)
		for _, v := range b.Values {
			w.line = append(w.line, ',')
			w.line = appendValue(w.line, v[i])
		}
		if err := w.endLine(); err != nil {
			return err
		}
	}
	return nil
}

// Close writes what is held back.
func (w *Writer) Close() error { return w.w.Flush() }

func (w *Writer) endLine() error {
	_, err := w.w.Write(append(w.line, '\n'))
	w.line = w.line[:0]
	return err
}

// appendValue writes the shortest digits that read back as v.
func appendValue(b []byte, v float64) []byte {
	switch {
	case flowlog.IsMissing(v):
		return b
	case v == math.Trunc(v) && math.Abs(v) < 1e15:
		return strconv.AppendInt(b, int64(v), 10)
	case math.Abs(v) < 1e15 && math.Abs(v) >= 1e-6:
		return strconv.AppendFloat(b, v, 'f', -1, 64)
	}
	return strconv.AppendFloat(b, v, 'g', -1, 64)
}

func appendName(b []byte, name string) []byte {
	if !strings.ContainsAny(name, "\",\r\n") && strings.Trim(name, " \t") == name {
		return append(b, name...)
	}
	b = append(b, '"')
	b = append(b, strings.ReplaceAll(name, `"`, `""`)...)
	return append(b, '"')
}
