package yard

import (
	"image/color"
	"slices"

	"github.com/boombuler/barcode/qr"

	"runproof/drawing"
)

// quietModules is the empty border that ISO/IEC 18004 asks for around a QR code.
const quietModules = 4

// modules is a QR code, true where it is dark; square.
type modules [][]bool

// encode makes the QR code of a text, with error correction M (15 % of the
// code words may be lost), as small as its text lets it be. It fails where the text is
// longer than the largest code holds.
func encode(text string) (modules, error) {
	code, err := qr.Encode(text, qr.M, qr.Auto)
	if err != nil {
		return nil, err
	}
	n := code.Bounds().Dx()
	m := make(modules, n)
	for y := range m {
		m[y] = make([]bool, n)
		for x := range m[y] {
			m[y][x] = color.GrayModel.Convert(code.At(x, y)) == color.Gray{}
		}
	}
	return m, nil
}

func (m modules) dark(x, y int) bool {
	return y >= 0 && y < len(m) && x >= 0 && x < len(m) && m[y][x]
}

// corner is a corner of modules, counted from the top left.
type corner struct{ x, y int }

// The ways along an edge with the dark module on the right hand.
var ways = [4]corner{{1, 0}, {0, 1}, {-1, 0}, {0, -1}}

// edges tells for each corner which ways lead along an edge from it, row by
// row from the top left.
type edges struct {
	across int // corners in a row
	from   [][4]bool
}

func (e edges) at(c corner) *[4]bool { return &e.from[c.y*e.across+c.x] }

func (e edges) add(c corner, way int, edge bool) {
	if edge {
		e.at(c)[way] = true
	}
}

func (m modules) edges() edges {
	e := edges{across: len(m) + 1, from: make([][4]bool, (len(m)+1)*(len(m)+1))}
	for y := range m {
		for x := range m[y] {
			if !m[y][x] {
				continue
			}
			e.add(corner{x, y}, 0, !m.dark(x, y-1))
			e.add(corner{x + 1, y}, 1, !m.dark(x+1, y))
			e.add(corner{x + 1, y + 1}, 2, !m.dark(x, y+1))
			e.add(corner{x, y + 1}, 3, !m.dark(x-1, y))
		}
	}
	return e
}

// outline returns the closed edges of the dark areas, to be filled even-odd.
// One shape has no seams between modules, which single squares would show in
// some viewers.
func (m modules) outline() [][]corner {
	e := m.edges()
	var rings [][]corner
	for y := range e.across {
		for x := range e.across {
			for *e.at(corner{x, y}) != [4]bool{} {
				rings = append(rings, e.follow(corner{x, y}))
			}
		}
	}
	return rings
}

// follow walks along edges, which it takes away, until none is left where it is; as
// many edges end at a corner as begin there, so that is where it began.
func (e edges) follow(at corner) []corner {
	var ring []corner
	last := -1
	for {
		way := slices.Index(e.at(at)[:], true)
		if way < 0 {
			return ring
		}
		if way != last {
			ring = append(ring, at)
		}
		e.at(at)[way], last = false, way
		at = corner{at.x + ways[way].x, at.y + ways[way].y}
	}
}

// code is a QR code ready to be drawn.
type code struct {
	text  string
	side  int // in modules, its quiet zone included
	rings [][]corner
}

// codes keeps the code made last: both ends of a run carry the same one, and to
// choose the best of the eight masks takes a while.
type codes struct{ last code }

func (k *codes) of(text string) (code, error) {
	if k.last.text == text && text != "" {
		return k.last, nil
	}
	m, err := encode(text)
	if err != nil {
		return code{}, err
	}
	k.last = code{text, len(m) + 2*quietModules, m.outline()}
	return k.last, nil
}

// draw draws the code within a square, its quiet zone included.
func (k code) draw(s *drawing.Sheet, r drawing.Rect) {
	size, rings := r.W/float64(k.side), k.rings
	shape := make([][]drawing.Point, len(rings))
	for i, ring := range rings {
		for _, c := range ring {
			shape[i] = append(shape[i], drawing.Point{X: r.X + float64(c.x+quietModules)*size, Y: r.Y + float64(c.y+quietModules)*size})
		}
	}
	s.Polygons(shape, drawing.Pen{}, drawing.Black)
}
