// Package svg writes a sheet of package drawing as an SVG 1.1 picture.
//
// Lengths are in user units of one millimetre: the picture's width and height
// are in mm and its viewBox in the same numbers. Text stays text. The typeface
// is named, for pages that load it themselves, or embedded, for files that
// stand alone; kerning and ligatures are off, so that text is as wide as
// package drawing measured it. The same sheet gives the same bytes.
package svg

import (
	"bufio"
	"encoding/base64"
	"io"
	"math"
	"strconv"
	"strings"

	"runproof/drawing"
	"runproof/drawing/font"
)

// FontSource says where a picture gets its typeface from. The zero value names it only.
type FontSource uint8

// The sources.
const (
	Named    FontSource = iota // the page that shows the picture has the font
	Embedded                   // the picture carries the weights that it uses (some 45 kB each)
)

// Options choose how a picture is written. The zero value suits a page.
type Options struct {
	Font     FontSource
	NoGround bool // leave the ground transparent
}

// Write writes the sheet as one svg element.
func Write(w io.Writer, s *drawing.Sheet, o Options) error {
	b := &writer{Writer: bufio.NewWriter(w)}
	b.open(s, o)
	for _, item := range s.Items {
		b.item(item)
	}
	b.text("</svg>\n")
	return b.Flush()
}

type writer struct{ *bufio.Writer } // its first error is kept and returned by Flush

func (b *writer) text(parts ...string) {
	for _, p := range parts {
		b.WriteString(p) //nolint:errcheck // bufio keeps the error for Flush
	}
}

func (b *writer) open(s *drawing.Sheet, o Options) {
	w, h := num(s.Size.WMM), num(s.Size.HMM)
	b.text(`<svg xmlns="http://www.w3.org/2000/svg" width="`, w, `mm" height="`, h, `mm" viewBox="0 0 `, w, " ", h, `" role="img"`)
	if s.Title != "" {
		b.text(` aria-label="`, escape(s.Title), `"`)
	}
	b.text(` font-family="'`, font.Family, `',sans-serif" style="font-kerning:none;font-variant-ligatures:none">`, "\n")
	if s.Title != "" {
		b.text("<title>", escape(s.Title), "</title>\n")
	}
	if o.Font == Embedded {
		b.fonts(s)
	}
	if !o.NoGround {
		b.text(`<rect width="`, w, `" height="`, h, `" fill="`, drawing.Ground.String(), `"/>`, "\n")
	}
}

// fonts embeds the weights that the sheet uses.
func (b *writer) fonts(s *drawing.Sheet) {
	var used [2]bool
	for _, item := range s.Items {
		if t, ok := item.(drawing.Text); ok {
			used[t.Style.Weight] = true
		}
	}
	b.text("<style>")
	for _, w := range []font.Weight{font.Regular, font.Bold} {
		if used[w] {
			b.text("@font-face{font-family:'", font.Family, "';font-weight:", w.String(), ";src:url(data:font/woff2;base64,",
				base64.StdEncoding.EncodeToString(w.WOFF2()), ") format('woff2')}")
		}
	}
	b.text("</style>\n")
}

func (b *writer) item(item drawing.Item) {
	switch i := item.(type) {
	case drawing.Path:
		b.path(i)
	case drawing.Disc:
		b.text(`<circle cx="`, num(i.Centre.X), `" cy="`, num(i.Centre.Y), `" r="`, num(i.RMM), `"`)
		b.paint(i.Pen, i.Fill)
		b.text("/>\n")
	case drawing.Text:
		b.label(i)
	case drawing.Tag:
		b.tag(i)
	}
}

func (b *writer) path(p drawing.Path) {
	b.text(`<path d="`)
	for _, line := range p.Lines {
		var at drawing.Point
		for i, q := range line {
			q = drawing.Point{X: round(q.X), Y: round(q.Y)}
			if i == 0 {
				b.text("M", num(q.X), " ", num(q.Y))
			} else {
				b.step(at, q)
			}
			at = q
		}
		if p.Closed {
			b.text("z")
		}
	}
	b.text(`"`)
	if len(p.Lines) > 1 && p.Fill != drawing.NoInk {
		b.text(` fill-rule="evenodd"`)
	}
	b.paint(p.Pen, p.Fill)
	b.text("/>\n")
}

// step writes a straight step in the shortest of the forms.
func (b *writer) step(from, to drawing.Point) {
	switch {
	case from.Y == to.Y:
		b.text("H", num(to.X))
	case from.X == to.X:
		b.text("V", num(to.Y))
	default:
		b.text("L", num(to.X), " ", num(to.Y))
	}
}

func (b *writer) paint(p drawing.Pen, fill drawing.Ink) {
	if fill == drawing.NoInk {
		b.text(` fill="none"`)
	} else {
		b.text(` fill="`, fill.String(), `"`)
	}
	if !p.Draws() {
		return
	}
	b.text(` stroke="`, p.Ink.String(), `" stroke-width="`, num(p.WidthMM), `"`)
	if d := p.Dash.Lengths(); d != nil {
		parts := make([]string, len(d))
		for i, l := range d {
			parts[i] = num(l)
		}
		b.text(` stroke-dasharray="`, strings.Join(parts, " "), `"`)
	}
}

func (b *writer) label(t drawing.Text) {
	b.text(`<text x="`, num(t.At.X), `" y="`, num(t.At.Y), `" font-size="`, num(t.Style.SizeMM()), `" fill="`, t.Style.Colour().String(), `"`)
	if t.Style.Weight == font.Bold {
		b.text(` font-weight="700"`)
	}
	switch t.Style.Align {
	case drawing.Centre:
		b.text(` text-anchor="middle"`)
	case drawing.Right:
		b.text(` text-anchor="end"`)
	}
	if a := t.Style.AngleDeg; a != 0 {
		b.text(` transform="rotate(`, num(a), " ", num(t.At.X), " ", num(t.At.Y), `)"`)
	}
	b.text(">", escape(t.Text), "</text>\n")
}

func (b *writer) tag(t drawing.Tag) {
	if t.Close {
		b.text("</g>\n")
		return
	}
	b.text("<g")
	if t.ID != "" {
		b.text(` id="`, escape(t.ID), `"`)
	}
	b.text(">")
	if t.Title != "" {
		b.text("<title>", escape(t.Title), "</title>")
	}
	b.text("\n")
}

// round keeps three decimals of a millimetre; what is not a number becomes 0.
func round(v float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	return math.Round(v*1000)/1000 + 0 // + 0 turns a negative zero into zero
}

func num(v float64) string { return strconv.FormatFloat(round(v), 'f', -1, 64) }

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;")

// escape makes a text safe within an element or an attribute; characters that XML cannot hold are left out.
func escape(s string) string {
	s = strings.Map(func(r rune) rune {
		if r < ' ' && r != '\t' && r != '\n' || r == 0xfffe || r == 0xffff || r == 0xfffd {
			return -1
		}
		return r
	}, s)
	return escaper.Replace(s)
}
