package drawing

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"runproof/drawing/font"
)

// MMPerPT is the length of a typographic point of 1/72 inch [mm].
const MMPerPT = 25.4 / 72

// Align is where a text lies relative to its point. The zero value is Left.
type Align uint8

// The alignments.
const (
	Left   Align = iota // the text begins at the point
	Centre              // the point is its middle
	Right               // it ends at the point
)

// TextStyle is how a text is set. The zero value is 9 pt regular, dark, from the point to the right.
type TextStyle struct {
	SizePT   float64 // 0 means 9
	Weight   font.Weight
	Ink      Ink // NoInk means Dark
	Align    Align
	AngleDeg float64 // clockwise about the point; -90 reads upwards
}

// Size returns the size [pt].
func (t TextStyle) Size() float64 {
	if t.SizePT <= 0 {
		return 9
	}
	return t.SizePT
}

// SizeMM returns the size [mm].
func (t TextStyle) SizeMM() float64 { return t.Size() * MMPerPT }

// Colour returns the ink that the text is set in.
func (t TextStyle) Colour() Ink {
	if t.Ink == NoInk {
		return Dark
	}
	return t.Ink
}

// CapMM returns the height of a capital [mm].
func (t TextStyle) CapMM() float64 { return t.SizeMM() * font.CapHeight }

// LineMM returns the distance of base lines of a paragraph [mm].
func (t TextStyle) LineMM() float64 { return t.SizeMM() * 1.28 }

// WidthMM returns the width of a text in this style [mm].
func (t TextStyle) WidthMM(text string) float64 { return t.Weight.Width(text) * t.SizeMM() }

// Bold, In, Aligned, Sized and Turned return the style with one thing changed.
func (t TextStyle) Bold() TextStyle              { t.Weight = font.Bold; return t }
func (t TextStyle) In(k Ink) TextStyle           { t.Ink = k; return t }        // another ink
func (t TextStyle) Aligned(a Align) TextStyle    { t.Align = a; return t }      // another alignment
func (t TextStyle) Sized(pt float64) TextStyle   { t.SizePT = pt; return t }    // another size [pt]
func (t TextStyle) Turned(deg float64) TextStyle { t.AngleDeg = deg; return t } // another angle [deg]

// Text is one line of text; At is on its base line.
type Text struct {
	At    Point
	Text  string
	Style TextStyle
}

// Text writes one line with its base line at a point. White space counts as
// single spaces; an empty text writes nothing.
func (s *Sheet) Text(at Point, text string, style TextStyle) {
	if text = strings.Join(words(strings.ToValidUTF8(text, "?")), " "); text != "" {
		s.add(Text{At: at, Text: text, Style: style})
	}
}

// words splits at white space; no-break spaces hold their words together.
func words(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool {
		return unicode.IsSpace(r) && r != '\u00a0' && r != '\u202f'
	})
}

// Label writes one line with the middle of its capitals at the height of the point.
func (s *Sheet) Label(at Point, text string, style TextStyle) {
	if style.AngleDeg == 0 {
		at.Y += style.CapMM() / 2
	} else if style.AngleDeg == -90 {
		at.X += style.CapMM() / 2
	}
	s.Text(at, text, style)
}

// Fit returns the text, cut and ended with an ellipsis if it is wider than w [mm].
func (t TextStyle) Fit(text string, w float64) string {
	if t.WidthMM(text) <= w {
		return text
	}
	for len(text) > 0 {
		_, n := utf8.DecodeLastRuneInString(text)
		text = text[:len(text)-n]
		if cut := strings.TrimRight(text, " ") + "…"; t.WidthMM(cut) <= w {
			return cut
		}
	}
	return ""
}

// Shrink returns the style with the size reduced, to no less than minPT, so that the text fits w [mm].
func (t TextStyle) Shrink(text string, w, minPT float64) TextStyle {
	if have := t.WidthMM(text); have > w {
		t.SizePT = max(minPT, t.Size()*w/have)
	}
	return t
}

// Wrap breaks a text into lines no wider than w [mm]. It breaks at white
// space, at a line feed always; a word wider than the line is broken where it
// must be. It returns at least one line, which may be empty.
func (t TextStyle) Wrap(text string, w float64) []string {
	var lines []string
	for _, para := range strings.Split(text, "\n") {
		lines = append(lines, t.wrapParagraph(words(para), w)...)
	}
	return lines
}

func (t TextStyle) wrapParagraph(parts []string, w float64) []string {
	lines, line := []string(nil), ""
	for _, word := range parts {
		joined := word
		if line != "" {
			joined = line + " " + word
		}
		if t.WidthMM(joined) <= w {
			line = joined
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		var full []string
		full, line = t.breakWord(word, w)
		lines = append(lines, full...)
	}
	return append(lines, line)
}

// breakWord cuts a word into full lines and a rest that fits w; each piece has at least one character.
func (t TextStyle) breakWord(word string, w float64) (full []string, rest string) {
	for t.WidthMM(word) > w {
		_, n := utf8.DecodeRuneInString(word)
		for n < len(word) {
			_, more := utf8.DecodeRuneInString(word[n:])
			if t.WidthMM(word[:n+more]) > w {
				break
			}
			n += more
		}
		if n == len(word) {
			break
		}
		full, word = append(full, word[:n]), word[n:]
	}
	return full, word
}

// Texts returns what is written on the sheet, in the order of writing. It is
// what a test or a search reads.
func (s *Sheet) Texts() []string {
	var texts []string
	for _, i := range s.Items {
		if t, ok := i.(Text); ok {
			texts = append(texts, t.Text)
		}
	}
	return texts
}
