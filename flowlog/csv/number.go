package csv

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"

	"runproof/flowlog"
	"runproof/input"
)

// pow10 are the powers of ten that a float64 holds exactly.
var pow10 = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// decimal reads [-]digits[.digits] with at most 15 digits in all. Both the
// digits and the power of ten are exact in a float64, so that one division
// rounds correctly (Clinger 1990, "How to read floating point numbers
// accurately", PLDI, the simple case).
func decimal(cell []byte) (v float64, ok bool) {
	neg := len(cell) > 0 && cell[0] == '-'
	if neg {
		cell = cell[1:]
	}
	if len(cell) == 0 || len(cell) > 16 {
		return 0, false
	}
	n, digits, point := uint64(0), 0, -1
	for i, c := range cell {
		if d := c - '0'; d <= 9 {
			n = n*10 + uint64(d)
			digits++
		} else if c == '.' && point < 0 {
			point = i
		} else {
			return 0, false
		}
	}
	if digits == 0 || digits > 15 {
		return 0, false
	}
	v = float64(n)
	if point >= 0 {
		v /= pow10[len(cell)-1-point]
	}
	if neg {
		v = 0 - v // never -0
	}
	return v, true
}

// value reads a cell of a column: a number in the kind's range, a state word,
// or nothing.
func value(cell []byte, k flowlog.Kind) (float64, error) {
	v, ok := decimal(cell)
	if !ok {
		var err error
		if v, err = rareValue(bytes.Trim(cell, " \t"), k); err != nil || v != v {
			return v, err
		}
	}
	return v, k.Check(v)
}

func rareValue(cell []byte, k flowlog.Kind) (float64, error) {
	if len(cell) == 0 {
		return flowlog.Missing(), nil
	}
	if k == flowlog.Work || k == flowlog.Section {
		switch {
		case bytes.EqualFold(cell, []byte("true")):
			return 1, nil
		case bytes.EqualFold(cell, []byte("false")):
			return 0, nil
		}
	}
	text := string(cell)
	if strings.Trim(text, "0123456789.eE+-") == "" {
		if v, err := strconv.ParseFloat(text, 64); err == nil && !math.IsInf(v, 0) {
			return v + 0, nil
		}
	}
	return 0, input.Fault{What: fmt.Sprintf("%.60q is no number", text), Remedy: numberRemedy(text)}
}

func numberRemedy(text string) string {
	if strings.Trim(text, "0123456789,+-") == "" {
		return "write a decimal point, not a comma"
	}
	return "write a number, or leave the cell empty where nothing was reported"
}
