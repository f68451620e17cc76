package shapefile

import (
	"encoding/binary"
	"strings"
	"time"
	"unicode/utf8"

	"runproof/export"
)

// Limits of a column: dBASE III.
const (
	maxText   = 254
	maxNumber = 20
	maxName   = 10
)

// column is one column with the width that its cells need.
type column struct {
	export.Field
	kind  byte // C, N or L
	width int
}

// table makes .dbf; cut is how many texts were too long. day stands in the head
// as the day of change.
func table(l export.Layer, day time.Time) (dbf []byte, cut int) {
	cols := columns(l)
	recordLen := 1
	for _, c := range cols {
		recordLen += c.width
	}
	headLen := 32 + 32*len(cols) + 1
	b := make([]byte, 0, headLen+recordLen*len(l.Features)+1)
	b = append(b, 0x03, byte((day.Year()-1900)%256), byte(day.Month()), byte(day.Day()))
	b = binary.LittleEndian.AppendUint32(b, uint32(len(l.Features)))
	b = binary.LittleEndian.AppendUint16(b, uint16(headLen))
	b = binary.LittleEndian.AppendUint16(b, uint16(recordLen))
	b = append(b, make([]byte, 20)...) // no code page of dBASE: .cpg says UTF-8
	for _, c := range cols {
		b = c.describe(b)
	}
	b = append(b, 0x0d)
	for _, f := range l.Features {
		b = append(b, ' ') // not deleted
		for i, c := range cols {
			var short bool
			if b, short = c.cell(b, f.Cells[i]); short {
				cut++
			}
		}
	}
	return append(b, 0x1a), cut
}

func (c column) describe(b []byte) []byte {
	name := make([]byte, maxName+1)
	copy(name[:maxName], c.Short)
	digits := byte(0)
	if c.Type == export.Decimal {
		digits = byte(c.Digits)
	}
	b = append(append(b, name...), c.kind, 0, 0, 0, 0, byte(c.width), digits)
	return append(b, make([]byte, 14)...)
}

func columns(l export.Layer) []column {
	cols := make([]column, len(l.Fields))
	for i, f := range l.Fields {
		c := column{f, 'N', 9}
		switch f.Type {
		case export.Text:
			c.kind, c.width = 'C', 1
		case export.Truth:
			c.kind, c.width = 'L', 1
		case export.Decimal:
			c.width = 12
		}
		for _, feature := range l.Features {
			c.widen(feature.Cells[i])
		}
		cols[i] = c
	}
	return cols
}

func (c *column) widen(cell any) {
	switch c.kind {
	case 'C':
		s, _ := cell.(string)
		c.width = min(maxText, max(c.width, len(s)))
	case 'N':
		if b, ok := export.Number(nil, cell, c.Field); ok && len(b) <= maxNumber {
			c.width = max(c.width, len(b))
		}
	}
}

// cell writes a cell in the width of its column; short says that a text was cut.
func (c column) cell(b []byte, cell any) (out []byte, short bool) {
	var text string
	switch v := cell.(type) {
	case string:
		text = cutAt(strings.ToValidUTF8(v, "\ufffd"), c.width)
		return append(append(b, text...), strings.Repeat(" ", c.width-len(text))...), len(text) < len(v)
	case bool:
		return append(b, map[bool]byte{true: 'T', false: 'F'}[v]), false
	}
	if c.kind == 'L' {
		return append(b, '?'), false
	}
	if n, ok := export.Number(nil, cell, c.Field); ok && len(n) <= c.width {
		text = string(n)
	}
	return append(append(b, strings.Repeat(" ", c.width-len(text))...), text...), false
}

// cutAt cuts between letters.
func cutAt(s string, most int) string {
	if len(s) <= most {
		return s
	}
	for most > 0 && !utf8.RuneStart(s[most]) {
		most--
	}
	return s[:most]
}
