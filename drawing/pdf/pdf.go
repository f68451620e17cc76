// Package pdf writes a book of package drawing as a PDF file: one page for each
// sheet, with the typeface embedded and cut down to the characters used, the
// bookmarks as outline, and the book's title and author.
//
// The same book gives the same bytes: the file holds no time and no random
// number. The ground of a sheet is left white, and ink of that colour is white:
// paper brings its own. The file is written by github.com/carlos7ags/folio.
package pdf

import (
	"fmt"
	"io"
	"math"
	"strconv"

	"github.com/carlos7ags/folio/document"
	folio "github.com/carlos7ags/folio/font"

	"runproof/drawing"
	"runproof/drawing/font"
)

const ptPerMM = 1 / drawing.MMPerPT

// Write writes the book. A book needs at least one sheet.
func Write(w io.Writer, b *drawing.Book) error {
	if len(b.Sheets) == 0 {
		return fmt.Errorf("the book %q has no pages; add at least one sheet", b.Info.Title)
	}
	doc := document.NewDocument(pageSize(b.Sheets[0].Size))
	doc.Info = document.Info{
		Title: b.Info.Title, Subject: b.Info.Subject, Author: b.Info.Author,
		Creator: "Runproof", Language: "en",
	}
	fonts, err := faces()
	if err != nil {
		return err
	}
	for _, s := range b.Sheets {
		size := pageSize(s.Size)
		p := &page{Page: doc.AddPage().SetSize(size), fonts: fonts, heightMM: s.Size.HMM}
		p.AddRectFilled(0, 0, size.Width, size.Height, [3]float64{1, 1, 1}) // makes the page's stream
		for _, item := range s.Items {
			p.item(item)
		}
		p.flush()
	}
	outline(doc, b)
	_, err = doc.WriteToWithOptions(w, document.WriteOptions{Deterministic: true, CompressionLevel: packing})
	return err
}

// packing is zlib's level: the best, 9, takes eight times as long for a file that
// is a twentieth smaller.
const packing = 4

func pageSize(s drawing.Size) document.PageSize {
	return document.PageSize{Width: round(s.WMM * ptPerMM), Height: round(s.HMM * ptPerMM)}
}

// faces returns the two weights, which the writer cuts down to what the book uses.
func faces() (fonts [2]*folio.EmbeddedFont, err error) {
	for _, w := range []font.Weight{font.Regular, font.Bold} {
		face, err := folio.ParseTTF(w.TTF())
		if err != nil {
			return fonts, err
		}
		fonts[w] = folio.NewEmbeddedFont(face)
	}
	return fonts, nil
}

// outline turns bookmarks into the document's outline; a bookmark of level 1
// goes below the last one of level 0, if there is one.
func outline(doc *document.Document, b *drawing.Book) {
	var chapter *document.Outline
	for i, s := range b.Sheets {
		for _, m := range s.Bookmarks {
			to := document.Destination{PageIndex: i, Type: document.DestXYZ, Top: round((s.Size.HMM - m.YMM) * ptPerMM)}
			if m.Level > 0 && chapter != nil {
				chapter.AddChild(m.Title, to)
			} else {
				chapter = doc.AddOutline(m.Title, to)
			}
		}
	}
}

// page gathers drawing operators until text, which goes through the library, comes in between.
type page struct {
	*document.Page
	fonts    [2]*folio.EmbeddedFont
	heightMM float64
	ops      []byte
}

func (p *page) flush() {
	p.ContentStream().AppendBytes(p.ops)
	p.ops = nil
}

// op appends numbers and an operator.
func (p *page) op(operator string, numbers ...float64) {
	for _, v := range numbers {
		p.ops = append(strconv.AppendFloat(p.ops, round(v), 'f', -1, 64), ' ')
	}
	p.ops = append(append(p.ops, operator...), '\n')
}

// round keeps three decimals of a point; what is not a number becomes 0.
func round(v float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	return math.Round(v*1000)/1000 + 0
}

func (p *page) xy(q drawing.Point) (x, y float64) {
	return q.X * ptPerMM, (p.heightMM - q.Y) * ptPerMM
}

func (p *page) item(item drawing.Item) {
	switch i := item.(type) {
	case drawing.Path:
		p.paint(i.Pen, i.Fill, func() { p.lines(i.Lines, i.Closed) })
	case drawing.Disc:
		p.paint(i.Pen, i.Fill, func() { p.disc(i.Centre, i.RMM) })
	case drawing.Text:
		p.text(i)
	}
}

func (p *page) lines(lines [][]drawing.Point, closed bool) {
	for _, line := range lines {
		for i, q := range line {
			x, y := p.xy(q)
			if i == 0 {
				p.op("m", x, y)
			} else {
				p.op("l", x, y)
			}
		}
		if closed {
			p.op("h")
		}
	}
}

// kappa places the control points of a quarter circle's cubic: 4/3 (sqrt 2 - 1).
const kappa = 0.5522847498307936

func (p *page) disc(c drawing.Point, rMM float64) {
	x, y := p.xy(c)
	r := rMM * ptPerMM
	k := kappa * r
	p.op("m", x+r, y)
	p.op("c", x+r, y+k, x+k, y+r, x, y+r)
	p.op("c", x-k, y+r, x-r, y+k, x-r, y)
	p.op("c", x-r, y-k, x-k, y-r, x, y-r)
	p.op("c", x+k, y-r, x+r, y-k, x+r, y)
	p.op("h")
}

// paint sets colours and pen, lets shape draw a path and paints it.
func (p *page) paint(pen drawing.Pen, fill drawing.Ink, shape func()) {
	p.op("q")
	if fill != drawing.NoInk {
		p.op("rg", colour(fill)...)
	}
	if pen.Draws() {
		p.op("RG", colour(pen.Ink)...)
		p.op("w", pen.WidthMM*ptPerMM)
		p.dash(pen.Dash)
	}
	shape()
	switch {
	case pen.Draws() && fill != drawing.NoInk:
		p.op("B*")
	case fill != drawing.NoInk:
		p.op("f*")
	default:
		p.op("S")
	}
	p.op("Q")
}

func (p *page) dash(d drawing.Dash) {
	lengths := d.Lengths()
	if lengths == nil {
		return
	}
	p.ops = append(p.ops, '[')
	for _, l := range lengths {
		p.ops = append(strconv.AppendFloat(p.ops, round(l*ptPerMM), 'f', -1, 64), ' ')
	}
	p.op("] 0 d")
}

// colour returns the parts of an ink, 0 to 1; the ground is white.
func colour(k drawing.Ink) []float64 {
	if k == drawing.Ground {
		return []float64{1, 1, 1}
	}
	r, g, b := k.RGB()
	return []float64{float64(r) / 255, float64(g) / 255, float64(b) / 255}
}

func (p *page) text(t drawing.Text) {
	x, y := p.xy(t.At)
	sin, cos := math.Sincos(-t.Style.AngleDeg * math.Pi / 180)
	w := t.Style.WidthMM(t.Text) * ptPerMM
	switch t.Style.Align {
	case drawing.Centre:
		x, y = x-w/2*cos, y-w/2*sin
	case drawing.Right:
		x, y = x-w*cos, y-w*sin
	}
	p.op("q")
	p.op("rg", colour(t.Style.Colour())...)
	p.op("cm", cos, sin, -sin, cos, x, y)
	p.flush()
	p.AddTextEmbedded(t.Text, p.fonts[t.Style.Weight], round(t.Style.Size()), 0, 0)
	p.op("Q")
}
