package ground

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/peterstace/simplefeatures/geom"
)

// round9 rounds degrees to a tenth of a millimetre: a strip of one row is a
// quarter of a metre wide.
func round9(v float64) float64 { return math.Round(v*1e9) / 1e9 }

// leastPieceM2: what is left of a strip in pieces smaller than this is where
// edges nearly meet.
const leastPieceM2 = 0.01

// without is a polygon without what other passes sowed. Where the overlay fails
// it is the polygon as it was: too much is shown rather than too little, and the
// area does not rest on it.
func without(polygon []LocalRing, sown []*shape) [][]LocalRing {
	slices.SortFunc(sown, func(a, b *shape) int { return cmp.Compare(a.ns0, b.ns0) })
	sown = slices.Compact(sown)
	var over []geom.Geometry
	for _, s := range sown {
		var ring LocalRing
		for i := range s.n {
			ring = append(ring, [2]float64{s.corners[i].east, s.corners[i].north})
		}
		over = append(over, polygonOf([]LocalRing{append(ring, ring[0])}))
	}
	rest, err := overlay(func() (geom.Geometry, error) {
		taken, err := geom.UnionMany(over)
		if err != nil {
			return taken, err
		}
		return geom.Difference(polygonOf(polygon), taken)
	})
	if err != nil {
		return [][]LocalRing{polygon}
	}
	var out [][]LocalRing
	for _, p := range polygonsOf(rest) {
		if math.Abs(ringM2(p[0])) >= leastPieceM2 {
			out = append(out, turned(p, polygon[0][0]))
		}
	}
	return out
}

// overlay runs an operation of the library, which panics where rounding breaks
// its own invariants.
func overlay(op func() (geom.Geometry, error)) (g geom.Geometry, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("ground cannot be overlaid: %v", r)
		}
	}()
	return op()
}

// polygonOf hands rings to the library, on whole tenths of a millimetre.
func polygonOf(rings []LocalRing) geom.Geometry {
	lines := make([]geom.LineString, len(rings))
	for i, r := range rings {
		flat := make([]float64, 0, 2*len(r))
		for _, p := range r {
			flat = append(flat, math.Round(p[0]*1e4)/1e4, math.Round(p[1]*1e4)/1e4)
		}
		lines[i] = geom.NewLineString(geom.NewSequence(flat, geom.DimXY))
	}
	return geom.NewPolygon(lines).AsGeometry()
}

// polygonsOf takes the polygons of a geometry; points and lines, where parts only
// touched, are left out.
func polygonsOf(g geom.Geometry) [][]LocalRing {
	var out [][]LocalRing
	switch g.Type() {
	case geom.TypePolygon:
		var rings []LocalRing
		for _, line := range g.MustAsPolygon().DumpRings() {
			seq := line.Coordinates()
			r := make(LocalRing, seq.Length())
			for k := range r {
				xy := seq.GetXY(k)
				r[k] = [2]float64{xy.X, xy.Y}
			}
			rings = append(rings, r)
		}
		if len(rings) > 0 && len(rings[0]) > 3 {
			out = append(out, rings)
		}
	case geom.TypeMultiPolygon:
		m := g.MustAsMultiPolygon()
		for i := range m.NumPolygons() {
			out = append(out, polygonsOf(m.PolygonN(i).AsGeometry())...)
		}
	case geom.TypeGeometryCollection:
		c := g.MustAsGeometryCollection()
		for i := range c.NumGeometries() {
			out = append(out, polygonsOf(c.GeometryN(i))...)
		}
	}
	return out
}

// turned makes the outer ring run counter-clockwise and the holes the other way
// (RFC 7946, 3.1.6), the outer one from the corner nearest to start.
func turned(rings []LocalRing, start [2]float64) []LocalRing {
	for i, r := range rings {
		if (ringM2(r) > 0) != (i == 0) {
			slices.Reverse(r)
		}
	}
	open := rings[0][:len(rings[0])-1]
	first, least := 0, math.Inf(1)
	for i, p := range open {
		if d := math.Hypot(p[0]-start[0], p[1]-start[1]); d < least {
			first, least = i, d
		}
	}
	outer := append(slices.Clone(open[first:]), open[:first]...)
	rings[0] = append(outer, outer[0])
	return rings
}

// ringM2 is the signed area of a ring on the plane.
func ringM2(r LocalRing) float64 {
	sum := 0.0
	for i := 0; i+1 < len(r); i++ {
		ax, ay := r[i][0]-r[0][0], r[i][1]-r[0][1]
		bx, by := r[i+1][0]-r[0][0], r[i+1][1]-r[0][1]
		sum += ax*by - bx*ay
	}
	return sum / 2
}
