package drill

import (
	"fmt"
	"strconv"
	"strings"

	"runproof/measure"
)

// unitOf is the quantity and unit that a key wants, from its name.
func unitOf(key string) (measure.Quantity, measure.Unit, bool) {
	switch key {
	case "forward", "right", "up":
		return measure.Length, measure.Metre, true
	}
	for _, s := range []struct {
		suffix string
		q      measure.Quantity
		u      measure.Unit
	}{
		{"_m", measure.Length, measure.Metre},
		{"_mm", measure.Bore, measure.Millimetre},
		{"_mps", measure.Speed, measure.MetrePerSecond},
		{"_kg_ha", measure.Rate, measure.KgPerHa},
	} {
		if strings.HasSuffix(key, s.suffix) {
			return s.q, s.u, true
		}
	}
	return 0, measure.Unit{}, false
}

// hint is the remedy for a number that could not be read or is out of its
// limits: written with a unit, or in another unit than the key wants.
func hint(key, text string, lo, hi float64) string {
	q, want, ok := unitOf(key)
	if !ok {
		return ""
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return unitTaken(q, want, text)
	}
	if -v >= lo && -v <= hi {
		return "did you mean " + tidy(-v) + "?"
	}
	var guesses []string
	for _, m := range measure.Misread(q, want, v, lo, hi) {
		guesses = append(guesses, fmt.Sprintf("%s (%s %s)", tidy(m.Value), text, m.Unit.Symbol()))
	}
	switch len(guesses) {
	case 0:
		return "write it in " + want.Symbol()
	case 1:
		return "did you mean " + guesses[0] + "?"
	}
	return "did you mean " + guesses[0] + " or " + guesses[1] + "?"
}

// unitTaken is the remedy for "25 cm" where the key says metres.
func unitTaken(q measure.Quantity, want measure.Unit, text string) string {
	base, err := measure.Parse(q, text)
	if err != nil {
		return ""
	}
	return fmt.Sprintf("write %s: the key says %s", tidy(want.Value(base)), want.Symbol())
}

// tidy writes four significant digits without an exponent or idle zeros.
func tidy(v float64) string {
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 4, 64), 64)
	return strconv.FormatFloat(v, 'f', -1, 64)
}
