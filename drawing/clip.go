package drawing

import "math"

// ClipPolyline returns the parts of a polyline inside a rectangle (Liang and
// Barsky 1984, ACM Trans. Graphics 3(1), applied to each segment). Points that
// are not numbers break the line.
func ClipPolyline(pts []Point, r Rect) [][]Point {
	var parts [][]Point
	var part []Point
	flush := func() {
		if len(part) > 1 {
			parts = append(parts, part)
		}
		part = nil
	}
	for i := 1; i < len(pts); i++ {
		a, b, ok := clipSegment(pts[i-1], pts[i], r)
		if !ok {
			flush()
			continue
		}
		if len(part) == 0 || part[len(part)-1] != a {
			flush()
			part = []Point{a}
		}
		part = append(part, b)
		if b != pts[i] {
			flush()
		}
	}
	flush()
	return parts
}

// clipSegment returns the part of a segment inside r; ok is false if there is none.
func clipSegment(a, b Point, r Rect) (from, to Point, ok bool) {
	dx, dy := b.X-a.X, b.Y-a.Y
	if math.IsNaN(dx + dy) {
		return a, b, false
	}
	t0, t1 := 0.0, 1.0
	for _, e := range [4][2]float64{{-dx, a.X - r.X}, {dx, r.Right() - a.X}, {-dy, a.Y - r.Y}, {dy, r.Bottom() - a.Y}} {
		p, q := e[0], e[1]
		switch {
		case p == 0 && q < 0:
			return a, b, false
		case p < 0:
			t0 = math.Max(t0, q/p)
		case p > 0:
			t1 = math.Min(t1, q/p)
		}
	}
	if t0 > t1 {
		return a, b, false
	}
	from, to = a, b
	if t0 > 0 {
		from = Point{a.X + t0*dx, a.Y + t0*dy}
	}
	if t1 < 1 {
		to = Point{a.X + t1*dx, a.Y + t1*dy}
	}
	return from, to, true
}

// ClipPolygon returns the part of a ring inside a rectangle (Sutherland and
// Hodgman 1974, CACM 17(1)). Parts of a concave ring may be joined along the rectangle's edge.
func ClipPolygon(ring []Point, r Rect) []Point {
	edges := []func(Point) float64{ // distance inside the edge
		func(p Point) float64 { return p.X - r.X },
		func(p Point) float64 { return r.Right() - p.X },
		func(p Point) float64 { return p.Y - r.Y },
		func(p Point) float64 { return r.Bottom() - p.Y },
	}
	for _, inside := range edges {
		ring = clipByEdge(ring, inside)
	}
	return ring
}

func clipByEdge(ring []Point, inside func(Point) float64) []Point {
	var out []Point
	for i, b := range ring {
		a := ring[(i+len(ring)-1)%len(ring)]
		da, db := inside(a), inside(b)
		if (da >= 0) != (db >= 0) {
			t := da / (da - db)
			out = append(out, Point{a.X + t*(b.X-a.X), a.Y + t*(b.Y-a.Y)})
		}
		if db >= 0 {
			out = append(out, b)
		}
	}
	return out
}
