package yard

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"runproof/drill"
	"runproof/measure"
)

// units writes quantities the way the drill's reader wants them.
type units struct{ measure.System }

func unitsOf(d drill.Display) units { return units{d} }

// length writes a length with two decimals; its unit stays on its line.
func (u units) length(m float64) string {
	return strings.ReplaceAll(u.fixed(measure.Length, m, 2), " ", "\u00a0")
}

// about writes a length that nobody measures finely: whole centimetres or inches.
func (u units) about(m float64) string {
	if u.System == measure.US {
		return fmt.Sprintf("%.0f\u00a0in", measure.Inch.Value(m))
	}
	return fmt.Sprintf("%.0f\u00a0cm", 100*m)
}

// tieEvery is how far from tie to tie of the harness: common practice, no source.
func (u units) tieEvery() string {
	if u.System == measure.US {
		return "12 to 20\u00a0in"
	}
	return "0.3 to 0.5\u00a0m"
}

// mm writes an inside diameter that is given in millimetres.
func (u units) mm(v float64) string { return u.Format(measure.Bore, v/1000) }

func (u units) fixed(q measure.Quantity, base float64, decimals int) string {
	return u.Unit(q).Fixed(base, decimals)
}

func (u units) volts(v float64) string { return u.fixed(measure.Voltage, v, 2) }

// cut writes the length that a tube is cut to: centimetres, or half inches,
// never less than it must be.
func (u units) cut(m float64) string {
	if u.System != measure.US {
		return fmt.Sprintf("%.2f m", math.Ceil(m*100-1e-6)/100)
	}
	halves := math.Ceil(measure.Inch.Value(m)*2 - 1e-6)
	return strconv.FormatFloat(halves/2, 'f', 1, 64) + " in"
}

// place says where a point is in words, from the middle of the front rank at
// ground level: "0.40 m behind, 4.50 m left, 1.60 m up".
func (u units) place(p drill.Point) string {
	side := func(v float64, plus, minus, none string) string {
		switch {
		case v > 0.005:
			return u.length(v) + " " + plus
		case v < -0.005:
			return u.length(-v) + " " + minus
		}
		return none
	}
	return strings.Join([]string{
		side(p.Forward, "ahead", "behind", "at the front rank"),
		side(p.Right, "right", "left", "in the middle"),
		side(p.Up, "up", "below the ground", "on the ground"),
	}, ", ")
}

// one writes a count with its noun: "1 cap", "4 caps".
func one(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// numbers writes ascending numbers as a person would: "1-4, 7".
func numbers(n []int) string { return drill.RowList(n).String() }

// listing joins items with commas and an "and".
func listing[T any](items []T, text func(T) string) string {
	words := make([]string, len(items))
	for i, it := range items {
		words[i] = text(it)
	}
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

func text[T ~string](s T) string { return string(s) }

// plural is the noun for a count, without it.
func plural(n int, noun string) string {
	if n == 1 {
		return noun
	}
	return noun + "s"
}

// withArticle puts "a" or "an" before a name.
func withArticle(name string) string {
	if name != "" && strings.ContainsRune("aeiouAEIOU", rune(name[0])) {
		return "an " + name
	}
	return "a " + name
}

// sentence begins a name with a capital.
func sentence(name string) string {
	if name == "" {
		return name
	}
	return strings.ToUpper(name[:1]) + name[1:]
}
