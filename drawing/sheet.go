package drawing

import "math"

// Point is a place on a sheet [mm]: x to the right, y down, from the top left corner.
type Point struct{ X, Y float64 }

// Add returns the point moved by dx and dy [mm].
func (p Point) Add(dx, dy float64) Point { return Point{p.X + dx, p.Y + dy} }

// Rect is an upright rectangle [mm] from its top left corner.
type Rect struct{ X, Y, W, H float64 }

// Right and Bottom are the far edges; Centre is the middle.
func (r Rect) Right() float64  { return r.X + r.W }
func (r Rect) Bottom() float64 { return r.Y + r.H } // lower edge
func (r Rect) Centre() Point   { return Point{r.X + r.W/2, r.Y + r.H/2} }

// Inset returns the rectangle made smaller by d [mm] on every side, or larger if d is negative.
func (r Rect) Inset(d float64) Rect {
	return Rect{r.X + d, r.Y + d, math.Max(0, r.W-2*d), math.Max(0, r.H-2*d)}
}

// Corners returns the four corners, clockwise from the top left.
func (r Rect) Corners() []Point {
	return []Point{{r.X, r.Y}, {r.Right(), r.Y}, {r.Right(), r.Bottom()}, {r.X, r.Bottom()}}
}

// Size is the extent of a sheet [mm].
type Size struct{ WMM, HMM float64 }

// Item is one thing drawn on a sheet: a Path, a Disc, a Text or a Tag.
type Item interface{ item() }

// Path is a set of polylines drawn with one pen and filled with one ink
// (even-odd, so an inner ring is a hole).
type Path struct {
	Lines  [][]Point
	Closed bool
	Pen    Pen
	Fill   Ink
}

// Disc is a circle.
type Disc struct {
	Centre Point
	RMM    float64
	Pen    Pen
	Fill   Ink
}

// Tag opens (or with Close ends) a group of items that belong together, so
// that a page can name, find and describe them. Paper ignores it.
type Tag struct {
	ID    string // e.g. "run-C-7"
	Title string // what a person is told who points at it
	Close bool
}

func (Path) item() {}
func (Disc) item() {}
func (Text) item() {}
func (Tag) item()  {}

// Sheet is one page or one picture. The zero value is an empty sheet without extent.
type Sheet struct {
	Size      Size
	Title     string // what the picture shows, for those who cannot see it
	Items     []Item // in painting order
	Bookmarks []Bookmark
}

// Bookmark is an entry of a document's outline that leads to a place on the sheet.
type Bookmark struct {
	Title string
	Level int // 0 = chapter, 1 = below the last chapter
	YMM   float64
}

// NewSheet returns an empty sheet.
func NewSheet(size Size) *Sheet { return &Sheet{Size: size} }

// Bounds returns the whole sheet as a rectangle.
func (s *Sheet) Bounds() Rect { return Rect{0, 0, s.Size.WMM, s.Size.HMM} }

func (s *Sheet) add(i Item) { s.Items = append(s.Items, i) }

// Line draws a straight line.
func (s *Sheet) Line(a, b Point, p Pen) { s.Polyline([]Point{a, b}, p) }

// Polyline draws connected lines. Fewer than two points draw nothing.
func (s *Sheet) Polyline(pts []Point, p Pen) { s.Polylines([][]Point{pts}, p) }

// Polylines draws several polylines as one item. Lines of fewer than two points draw nothing.
func (s *Sheet) Polylines(lines [][]Point, p Pen) {
	kept := longEnough(lines, 2)
	if len(kept) > 0 && p.Draws() {
		s.add(Path{Lines: kept, Pen: p})
	}
}

// Polygon draws a closed outline and fills it. Fewer than three points draw nothing.
func (s *Sheet) Polygon(pts []Point, p Pen, fill Ink) { s.Polygons([][]Point{pts}, p, fill) }

// Polygons draws several closed outlines as one item, filled even-odd.
func (s *Sheet) Polygons(rings [][]Point, p Pen, fill Ink) {
	kept := longEnough(rings, 3)
	if len(kept) > 0 && (p.Draws() || fill != NoInk) {
		s.add(Path{Lines: kept, Closed: true, Pen: p, Fill: fill})
	}
}

// Rect draws a rectangle.
func (s *Sheet) Rect(r Rect, p Pen, fill Ink) { s.Polygon(r.Corners(), p, fill) }

// Circle draws a circle of radius r [mm].
func (s *Sheet) Circle(c Point, r float64, p Pen, fill Ink) {
	if r > 0 && (p.Draws() || fill != NoInk) {
		s.add(Disc{Centre: c, RMM: r, Pen: p, Fill: fill})
	}
}

// Arc draws part of a circle of radius r [mm] as ArcPoints gives it.
func (s *Sheet) Arc(c Point, r, fromDeg, toDeg float64, p Pen) {
	s.Polyline(ArcPoints(c, r, fromDeg, toDeg), p)
}

// Group draws what draw does as one named thing.
func (s *Sheet) Group(id, title string, draw func()) {
	s.add(Tag{ID: id, Title: title})
	draw()
	s.add(Tag{Close: true})
}

func longEnough(lines [][]Point, n int) [][]Point {
	var kept [][]Point
	for _, l := range lines {
		if len(l) >= n {
			kept = append(kept, l)
		}
	}
	return kept
}

// arcToleranceMM is how far an arc's chords may leave the arc.
const arcToleranceMM = 0.02

// ArcPoints returns points on a circle of radius r [mm] from one angle to the
// other [deg], clockwise as seen when toDeg > fromDeg; 0 points to the right,
// 90 down. The chords between them stay within 0.02 mm of the arc: the sagitta
// of a chord of angle t is r (1 - cos(t/2)). A radius of 0 gives the centre.
func ArcPoints(c Point, r, fromDeg, toDeg float64) []Point {
	if r <= 0 {
		return []Point{c}
	}
	step := 2 * math.Acos(math.Max(0.5, 1-arcToleranceMM/r))
	sweep := (toDeg - fromDeg) * math.Pi / 180
	n := int(math.Ceil(math.Abs(sweep)/step)) + 1
	pts := make([]Point, n+1)
	for i := range pts {
		sin, cos := math.Sincos(fromDeg*math.Pi/180 + sweep*float64(i)/float64(n))
		pts[i] = Point{c.X + r*cos, c.Y + r*sin}
	}
	return pts
}
