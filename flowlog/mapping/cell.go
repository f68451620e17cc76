package mapping

import (
	"math"
	"strconv"
	"strings"

	"runproof/flowlog"
)

func (d Decimal) sign() byte {
	if d == 0 {
		return '.'
	}
	return byte(d)
}

// cell reads a value.
func (r *TextReader) cell(i int, s string) float64 {
	if s == "" {
		return flowlog.Missing()
	}
	for _, m := range r.m.Text.Missing {
		if s == m {
			return flowlog.Missing()
		}
	}
	f := &r.fields[i]
	for _, word := range f.on {
		if strings.EqualFold(word, s) {
			return 1
		}
	}
	if len(f.on) > 0 {
		return 0
	}
	sign := 1.0
	if f.isPlace {
		s, sign = sideOf(s)
	}
	if v, ok := r.m.Text.number(s); ok {
		return sign * v
	}
	r.odd.word(f.wanted, r.line, r.cells[i])
	return flowlog.Missing()
}

// number reads a number as the text writes them.
func (t *Text) number(s string) (v float64, ok bool) {
	if t.Thousands != 0 {
		if s, ok = t.Thousands.without(s, t.Decimal.sign()); !ok {
			return 0, false
		}
	}
	if t.Decimal == ',' {
		s = strings.Replace(s, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil && !math.IsInf(v, 0) && !strings.ContainsAny(s, "xX_")
}

// sideOf takes the letter of a hemisphere from either end of a position; west
// and south are negative.
func sideOf(s string) (rest string, sign float64) {
	letters := func(c byte) bool { return strings.IndexByte("NSEWnsew", c) >= 0 }
	switch {
	case len(s) > 1 && letters(s[len(s)-1]):
		return strings.TrimSpace(s[:len(s)-1]), signOf(s[len(s)-1:])
	case len(s) > 1 && letters(s[0]) && !strings.EqualFold(s, "nan"):
		return strings.TrimSpace(s[1:]), signOf(s[:1])
	}
	return s, 1
}

// signOf is the sign that a hemisphere gives, NaN where that is not known.
func signOf(side string) float64 {
	switch strings.ToLower(side) {
	case "n", "e", "north", "east":
		return 1
	case "s", "w", "south", "west":
		return -1
	}
	return math.NaN()
}

// sided gives a position the side that stands in a cell of its own.
func (r *TextReader) sided(i int, v float64) float64 {
	at := r.fields[i].side
	if at == none || v != v {
		return v
	}
	side := ""
	if at < len(r.cells) {
		side = strings.TrimSpace(r.cells[at])
	}
	sign := signOf(side)
	if sign != sign {
		r.odd.word(true, r.line, side)
	}
	return math.Abs(v) * sign
}
