package measure

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"runproof/input"
)

// Parse reads a number with or without a unit ("10 in", "25cm", "0.25") and
// returns it in the quantity's base unit; a bare number is taken to be in that
// unit. The error is an input.Fault without a place.
func Parse(q Quantity, s string) (base float64, err error) {
	number, symbol := splitNumber(strings.TrimSpace(s))
	v, perr := strconv.ParseFloat(number, 64)
	if perr != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return 0, input.Fault{What: fmt.Sprintf("%q is no %s", s, q), Remedy: fmt.Sprintf("write a number and its unit, like %q", exampleOf(q))}
	}
	if symbol == "" {
		return v, nil
	}
	if symbol[0] == ',' {
		return 0, input.Fault{What: fmt.Sprintf("%q has a decimal comma", s), Remedy: "write " + strings.Replace(strings.TrimSpace(s), ",", ".", 1)}
	}
	for _, u := range q.units() {
		if u.called(symbol) && !math.IsInf(u.Base(v), 0) {
			return u.Base(v), nil
		}
	}
	return 0, input.Fault{What: fmt.Sprintf("%q is no unit of %s", symbol, q), Remedy: input.DidYouMean(symbol, symbols(q.units()))}
}

// splitNumber parts "25cm" into "25" and "cm". An exponent belongs to the
// number only where digits follow the e.
func splitNumber(s string) (number, symbol string) {
	end := 0
	for end < len(s) && strings.IndexByte("+-.0123456789", s[end]) >= 0 {
		end++
	}
	if end > 0 && end < len(s) && (s[end] == 'e' || s[end] == 'E') {
		rest := strings.TrimLeft(s[end+1:], "+-")
		digits := len(rest) - len(strings.TrimLeft(rest, "0123456789"))
		if digits > 0 {
			end = len(s) - len(rest) + digits
		}
	}
	return s[:end], strings.TrimSpace(s[end:])
}

// units are all units of the quantity, the base unit first, each once.
func (q Quantity) units() []Unit {
	r := q.row()
	var units []Unit
	seen := map[string]bool{"": true}
	for _, u := range append([]Unit{r.base, r.metric, r.us}, r.more...) {
		if !seen[u.symbol] {
			seen[u.symbol] = true
			units = append(units, u)
		}
	}
	return units
}

func (u Unit) called(s string) bool {
	if strings.EqualFold(s, u.symbol) {
		return true
	}
	for _, n := range u.names {
		if strings.EqualFold(s, n) {
			return true
		}
	}
	return false
}

func symbols(units []Unit) []string {
	var words []string
	for _, u := range units {
		words = append(words, u.symbol)
		for _, n := range u.names {
			if utf8.RuneCountInString(n) > 1 {
				words = append(words, n)
			}
		}
	}
	return words
}

func exampleOf(q Quantity) string { return q.row().metric.Format(1) }
