package drawing

import "fmt"

// Ink is a colour of the house palette. The zero value, NoInk, paints nothing.
type Ink uint8

// The palette: a notebook's paper and ink, one accent, and the Okabe-Ito set
// for states.
const (
	NoInk      Ink = iota
	Ground         // the ground of a page on screen; white on paper
	Dark           // text and outlines
	Soft           // secondary text, dimension lines
	Rule           // grid lines and table rules
	Tint           // table heads, quiet fills
	Zebra          // every other row of a table
	Accent         // the one accent: titles, what to look at first
	Black          // Okabe-Ito 1
	Orange         // 2
	Sky            // 3
	Green          // 4, bluish green
	Yellow         // 5
	Blue           // 6
	Vermillion     // 7
	Purple         // 8, reddish purple
	inks           // number of inks
)

// The eight state colours are those of Okabe M, Ito K 2002 (revised 2008),
// Color Universal Design, jfly.uni-koeln.de/color, table of RGB values.
var palette = [inks][3]uint8{
	Ground:     {0xfb, 0xf9, 0xf4},
	Dark:       {0x1f, 0x24, 0x2b},
	Soft:       {0x5a, 0x60, 0x68},
	Rule:       {0xc4, 0xc0, 0xb6},
	Tint:       {0xea, 0xe6, 0xda},
	Zebra:      {0xf5, 0xf2, 0xea},
	Accent:     {0x1b, 0x55, 0x69},
	Black:      {0, 0, 0},
	Orange:     {230, 159, 0},
	Sky:        {86, 180, 233},
	Green:      {0, 158, 115},
	Yellow:     {240, 228, 66},
	Blue:       {0, 114, 178},
	Vermillion: {213, 94, 0},
	Purple:     {204, 121, 167},
}

// RGB returns the colour's parts, 0 to 255. NoInk is black.
func (k Ink) RGB() (r, g, b uint8) {
	if k >= inks {
		return 0, 0, 0
	}
	c := palette[k]
	return c[0], c[1], c[2]
}

// String returns the colour as CSS writes it: "#1f242b", or "none" for NoInk.
func (k Ink) String() string {
	if k == NoInk || k >= inks {
		return "none"
	}
	r, g, b := k.RGB()
	return fmt.Sprintf("#%02x%02x%02x", r, g, b)
}

// Dash is the pattern of a stroke. The zero value is a solid line.
type Dash uint8

// The patterns.
const (
	Solid Dash = iota
	Dashed
	Dotted
	DashDot // centre lines
)

// Lengths returns the lengths of ink and gap [mm] in turn, nil for Solid.
func (d Dash) Lengths() []float64 {
	switch d {
	case Dashed:
		return []float64{1.6, 1}
	case Dotted:
		return []float64{0.3, 0.8}
	case DashDot:
		return []float64{4, 0.8, 0.5, 0.8}
	}
	return nil
}

// Pen is how a line is drawn. The zero value draws nothing.
type Pen struct {
	Ink     Ink
	WidthMM float64
	Dash    Dash
}

// The pens that most drawings need.
var (
	Hair  = Pen{Ink: Soft, WidthMM: 0.13}
	Thin  = Pen{Ink: Dark, WidthMM: 0.2}
	Stout = Pen{Ink: Dark, WidthMM: 0.4}
	Grid  = Pen{Ink: Rule, WidthMM: 0.13}
)

// Of returns the pen with another ink.
func (p Pen) Of(k Ink) Pen { p.Ink = k; return p }

// With returns the pen with another pattern.
func (p Pen) With(d Dash) Pen { p.Dash = d; return p }

// Draws reports whether the pen leaves a mark.
func (p Pen) Draws() bool { return p.Ink != NoInk && p.WidthMM > 0 }
