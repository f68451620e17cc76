package export

import (
	"math"

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
		if r == nil && i == 0 {
			return nil
		}
		if r != nil {
			out = append(out, turned(r, i == 0))
		}
	}
	return out
}

// thinned takes out equal neighbours of a closed ring.
func thinned(r Ring) Ring {
	out := r[:0:0]
	for _, at := range r {
		if len(out) == 0 || at != out[len(out)-1] {
			out = append(out, at)
		}
	}
	if len(out) < 4 || Twice(out) == 0 {
		return nil
	}
	return out
}

func round7(v float64) float64 { return math.Round(v*1e7) / 1e7 }
