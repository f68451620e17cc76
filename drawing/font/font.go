// Package font carries the two weights of Runproof Sans, the typeface of every
// sheet and page, and knows how wide their characters are.
//
// The fonts are under the SIL Open Font License 1.1 (OFL.txt); SOURCE.md says
// where they come from and what was changed. Figures are tabular: every digit
// of a weight is equally wide, so columns of numbers line up. There is no
// kerning, so a text is exactly as wide as the sum of its characters.
package font

import (
	"embed"
	"sync"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Family is the name that pages and SVG files use for the typeface.
const Family = "Runproof Sans"

// Heights of both weights as parts of the size (units of 1000 in the font).
const (
	CapHeight = 0.656 // top of H above the base line
	XHeight   = 0.486 // top of x above the base line
	Descent   = 0.205 // bottom of p below the base line
)

//go:embed *.ttf *.woff2 OFL.txt
var files embed.FS

// Weight is how bold a text is. The zero value is Regular.
type Weight uint8

// The two weights.
const (
	Regular Weight = iota
	Bold
)

// String returns the CSS value of the weight.
func (w Weight) String() string {
	if w == Bold {
		return "700"
	}
	return "400"
}

// TTF returns the font file of a weight for embedding in a PDF.
func (w Weight) TTF() []byte { return read(w.file() + ".ttf") }

// WOFF2 returns the font file of a weight for a page or an SVG file.
func (w Weight) WOFF2() []byte { return read(w.file() + ".woff2") }

// Licence returns the text of the fonts' licence.
func Licence() string { return string(read("OFL.txt")) }

func (w Weight) file() string {
	if w == Bold {
		return "runproof-sans-bold"
	}
	return "runproof-sans-regular"
}

func read(name string) []byte {
	b, err := files.ReadFile(name)
	if err != nil {
		panic(err) // the name is one of ours: the file is in the binary
	}
	return b
}

// firstRune and lastRune bound the characters that the fonts may hold.
const firstRune, lastRune = ' ', '\u27ff'

type advances struct {
	of     [lastRune + 1 - firstRune]uint16 // 1/1000 of the size; 0 = no such character
	absent uint16                           // width of the box shown instead
}

var widths = [2]func() *advances{
	sync.OnceValue(func() *advances { return measure(Regular) }),
	sync.OnceValue(func() *advances { return measure(Bold) }),
}

func measure(w Weight) *advances {
	f, err := sfnt.Parse(w.TTF())
	if err != nil {
		panic(err) // our own file
	}
	var a advances
	var buf sfnt.Buffer
	advance := func(g sfnt.GlyphIndex) uint16 {
		v, err := f.GlyphAdvance(&buf, g, fixed.I(1000), 0)
		if err != nil {
			panic(err)
		}
		return uint16(v.Round())
	}
	a.absent = advance(0)
	for r := firstRune; r <= lastRune; r++ {
		if g, err := f.GlyphIndex(&buf, r); err == nil && g != 0 {
			a.of[r-firstRune] = advance(g)
		}
	}
	return &a
}

// Has reports whether the typeface can show the character.
func (w Weight) Has(r rune) bool {
	return r >= firstRune && r <= lastRune && widths[w]().of[r-firstRune] > 0
}

// Width returns the width of a text of size 1. Characters that the font lacks
// count as the box that is shown in their place.
func (w Weight) Width(s string) float64 {
	a, sum := widths[w](), 0
	for _, r := range s {
		if r >= firstRune && r <= lastRune && a.of[r-firstRune] > 0 {
			sum += int(a.of[r-firstRune])
		} else {
			sum += int(a.absent)
		}
	}
	return float64(sum) / 1000
}
