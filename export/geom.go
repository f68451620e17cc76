package export

import (
	"math"
	"slices"

	"github.com/peterstace/simplefeatures/geom"
)

func asGeom(p Polygon) geom.Polygon {
	rings := make([]geom.LineString, len(p))
	for i, r := range p {
		flat := make([]float64, 0, 2*len(r))
		for _, at := range r {
			flat = append(flat, at[0], at[1])
		}
		rings[i] = geom.NewLineString(geom.NewSequence(flat, geom.DimXY))
	}
	return geom.NewPolygon(rings)
}

// fromGeom takes the polygons of a geometry, with outer rings counter-clockwise;
// points and lines, where parts only touched, are left out.
func fromGeom(g geom.Geometry) []Polygon {
	var out []Polygon
	switch g.Type() {
	case geom.TypePolygon:
		if p := ringsOf(g.MustAsPolygon()); p != nil {
			out = append(out, p)
		}
	case geom.TypeMultiPolygon:
		m := g.MustAsMultiPolygon()
		for i := range m.NumPolygons() {
			if p := ringsOf(m.PolygonN(i)); p != nil {
				out = append(out, p)
			}
		}
	case geom.TypeGeometryCollection:
		c := g.MustAsGeometryCollection()
		for i := range c.NumGeometries() {
			out = append(out, fromGeom(c.GeometryN(i))...)
		}
	}
	return out
}

// sliver is what a hole is too small for to be ground that was sown, square
// degrees (a tenth of a square metre): it is where edges of strips cross at a small
// angle, and rounding would make it cross itself.
const sliver = 1e-11

// ringsOf rounds places to 1e-7 degrees, a centimetre, as all forms write them.
func ringsOf(p geom.Polygon) Polygon {
	var out Polygon
	for i, line := range p.DumpRings() {
		seq := line.Coordinates()
		r := make(Ring, seq.Length())
		for k := range r {
			xy := seq.GetXY(k)
			r[k] = Position{round7(xy.X), round7(xy.Y)}
		}
		r = thinned(r)
		switch {
		case r == nil && i == 0:
			return nil
		case r == nil || i > 0 && math.Abs(Twice(r)) < 2*sliver:
			continue
		}
		out = append(out, turned(r, i == 0))
	}
	return out
}

// thinned takes out of a closed ring what rounding left over: places that lie on
// the line between their neighbours or beyond it, there and back.
func thinned(r Ring) Ring {
	open := slices.Clone(r[:len(r)-1])
	for i, kept := 0, 0; kept < len(open) && len(open) >= 3; {
		n := len(open)
		if straight(open[(i+n-1)%n], open[i%n], open[(i+1)%n]) {
			open = slices.Delete(open, i%n, i%n+1)
			i, kept = (i+len(open)-1)%len(open), 0 // its neighbours may lie on a line now
			continue
		}
		i, kept = i+1, kept+1
	}
	if len(open) < 3 {
		return nil
	}
	return append(open, open[0])
}

// straight says whether three places lie on a line, counted in whole steps of
// 1e-7 degrees.
func straight(a, b, c Position) bool {
	step := func(from, to Position, k int) int64 { return int64(math.Round((to[k] - from[k]) * 1e7)) }
	return step(a, b, 0)*step(b, c, 1) == step(a, b, 1)*step(b, c, 0)
}

func round7(v float64) float64 { return math.Round(v*1e7) / 1e7 }
