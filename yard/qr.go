package yard

import (
	"image/color"

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

// edges tells for each corner which ways lead along an edge from it.
func (m modules) edges() map[corner]*[4]bool {
	from := map[corner]*[4]bool{}
	add := func(x, y, way int) {
		c := corner{x, y}
		if from[c] == nil {
			from[c] = new([4]bool)
		}
		from[c][way] = true
	}
	for y := range m {
		for x := range m[y] {
			if !m[y][x] {
				continue
			}
			if !m.dark(x, y-1) {
				add(x, y, 0)
			}
			if !m.dark(x+1, y) {
				add(x+1, y, 1)
			}
			if !m.dark(x, y+1) {
				add(x+1, y+1, 2)
			}
			if !m.dark(x-1, y) {
				add(x, y+1, 3)
			}
		}
	}
	return from
}

// outline returns the closed edges of the dark areas, to be filled even-odd.
// One shape has no seams between modules, which single squares would show in
// some viewers.
func (m modules) outline() [][]corner {
	from := m.edges()
	var rings [][]corner
	for y := range len(m) + 1 {
		for x := range len(m) + 1 {
			for from[corner{x, y}] != nil && *from[corner{x, y}] != [4]bool{} {
				rings = append(rings, follow(from, corner{x, y}))
			}
		}
	}
	return rings
}

// follow walks along edges, which it takes away, until none is left where it is; as
// many edges end at a corner as begin there, so that is where it began.
func follow(from map[corner]*[4]bool, at corner) []corner {
	var ring []corner
	last := -1
	for {
		way := -1
		for w := range ways {
			if from[at] != nil && from[at][w] {
				way = w
				break
			}
		}
		if way < 0 {
			return ring
		}
		if way != last {
			ring = append(ring, at)
		}
		from[at][way], last = false, way
		at = corner{at.x + ways[way].x, at.y + ways[way].y}
	}
}

// draw draws the code within a square, its quiet zone included.
func (m modules) draw(s *drawing.Sheet, r drawing.Rect) {
	size := r.W / float64(len(m)+2*quietModules)
	rings := m.outline()
	shape := make([][]drawing.Point, len(rings))
	for i, ring := range rings {
		for _, c := range ring {
			shape[i] = append(shape[i], drawing.Point{X: r.X + float64(c.x+quietModules)*size, Y: r.Y + float64(c.y+quietModules)*size})
		}
	}
	s.Polygons(shape, drawing.Pen{}, drawing.Black)
}
