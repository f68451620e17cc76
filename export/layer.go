package export

import "runproof/drill"

// Safety is said wherever ground for re-seeding is handed on.
const Safety = "Reckoned from a recording, and no more than a proposal: before a task file is loaded into a terminal, " +
	"the operator checks product, rates, field and boundaries, walks a strip to see that it is bare, and keeps to the seed's and the fertiliser's limits."

// FieldType is what the cells of a column hold. The zero FieldType is Text.
type FieldType int

// The types of column, and what a cell is in Go; nil is a cell that is not known.
const (
	Text    FieldType = iota // string
	Whole                    // int64
	Decimal                  // float64
	Truth                    // bool
)

// Field is one column.
type Field struct {
	Name   string    // as in the review's own documents
	Short  string    // for forms that allow ten characters
	Type   FieldType // of its cells
	Digits int       // behind the point, where Decimal
	Means  string    // with the unit
}

// GeometryKind is what a layer's features have for a place. The zero
// GeometryKind is None.
type GeometryKind int

// The kinds of geometry.
const (
	None GeometryKind = iota
	Point
	MultiPolygon
	MultiLineString
)

// String is the name of the kind in the standards (OGC 06-103r4, RFC 7946).
func (k GeometryKind) String() string {
	return [...]string{"none", "Point", "MultiPolygon", "MultiLineString"}[k]
}

// Position is longitude and latitude, degrees.
type Position = [2]float64

// Ring is a closed line: its last position is its first.
type Ring []Position

// Polygon is an outer ring, counter-clockwise, and its holes, clockwise.
type Polygon []Ring

// Feature is one line of a layer and its place. Which of the three is used is the
// layer's Geometry; a nil place is not known.
type Feature struct {
	Cells []any // as many as the layer has fields
	At    *Position
	Lines []Line
	Ground
}

// Placed says whether the feature has a place.
func (f Feature) Placed() bool { return f.At != nil || len(f.Ground)+len(f.Lines) > 0 }

// Ground is polygons that do not overlap.
type Ground []Polygon

// Layer is a table whose features may have a place.
type Layer struct {
	Name     string
	Title    string // for people
	Geometry GeometryKind
	Fields   []Field
	Features []Feature
}

// Description says what the layer is, and of ground what it is not.
func (l Layer) Description() string {
	if l.Geometry == MultiPolygon {
		return l.Title + ". " + Safety
	}
	return l.Title + "."
}

// Unplaced is how many features have no place though the layer is one of places.
func (l Layer) Unplaced() int {
	n := 0
	for _, f := range l.Features {
		if l.Geometry != None && !f.Placed() {
			n++
		}
	}
	return n
}

// Bounds are the least and the greatest position; false where nothing is placed.
func (l Layer) Bounds() (low, high Position, ok bool) {
	for _, f := range l.Features {
		if f.At != nil {
			low, high, ok = widen(low, high, ok, *f.At)
		}
		for _, p := range f.Ground {
			for _, at := range p[0] {
				low, high, ok = widen(low, high, ok, at)
			}
		}
		for _, line := range f.Lines {
			for _, at := range line {
				low, high, ok = widen(low, high, ok, at)
			}
		}
	}
	return low, high, ok
}

func widen(low, high Position, begun bool, at Position) (Position, Position, bool) {
	if !begun {
		return at, at, true
	}
	for i, v := range at {
		low[i], high[i] = min(low[i], v), max(high[i], v)
	}
	return low, high, true
}

// text is a cell that is empty where nothing is said.
func text[S ~string](s S) any {
	if s == "" {
		return nil
	}
	return string(s)
}

func id(run drill.RunID, head drill.HeadID, product drill.ProductID) []any {
	return []any{text(run), text(head), text(product)}
}
