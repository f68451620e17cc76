package export

import (
	"cmp"
	"slices"

	"github.com/peterstace/simplefeatures/geom"
)

// Sound makes polygons fit to be handed on; see the package comment. Polygons of
// one Ground that overlap become one. crossed says that a ring crosses itself in
// a way that no strip does; it is kept as it is.
func Sound(polygons []Polygon) (g Ground, crossed bool) {
	var parts []Polygon
	for _, p := range polygons {
		mended, ok := sound(p)
		parts = append(parts, mended...)
		crossed = crossed || !ok
	}
	if !crossed {
		parts = joined(parts)
	}
	for _, p := range parts {
		g = append(g, cutAtMeridian(p)...)
	}
	return g, crossed
}

// sound tidies one polygon, and where its ring crosses itself takes it for a
// strip.
func sound(p Polygon) (parts []Polygon, ok bool) {
	out := make(Polygon, 0, len(p))
	for i, r := range p {
		r = tidy(r)
		switch {
		case r == nil && i == 0:
			return nil, true
		case r == nil:
			continue
		case i > 0: // a hole beside its ring, not a turn of the Earth away
			shift := near(r[0][0], out[0][0][0]) - r[0][0]
			for k := range r {
				r[k][0] += shift
			}
		}
		out = append(out, turned(r, i == 0))
	}
	if len(out) == 1 && plain(out[0]) || asGeom(out).Validate() == nil {
		return []Polygon{out}, true
	}
	if mended := swept(p[0]); len(mended) > 0 {
		return mended, true
	}
	return []Polygon{out}, false
}

// swept is the ground between the edges of a strip: its ring goes forward along
// one edge and back along the other, with as many places on each. A piece whose
// inner edge runs backwards, in a turn tighter than the strip is far out, counts
// with all ground between its corners.
func swept(r Ring) []Polygon {
	run := slices.Clone(r)
	for i := 1; i < len(run); i++ {
		run[i][0] = near(run[i][0], run[i-1][0])
	}
	if len(run) < 5 || run[0] != run[len(run)-1] || len(run)%2 == 0 {
		return nil
	}
	n := (len(run) - 1) / 2
	var pieces []geom.Geometry
	for i := 0; i+1 < n; i++ {
		a, b, c, d := run[i], run[i+1], run[2*n-2-i], run[2*n-1-i]
		corners := geom.NewLineString(geom.NewSequence([]float64{a[0], a[1], b[0], b[1], c[0], c[1], d[0], d[1]}, geom.DimXY))
		if hull := corners.ConvexHull(); hull.Type() == geom.TypePolygon {
			pieces = append(pieces, hull)
		}
	}
	whole, err := geom.UnionMany(pieces)
	if err != nil {
		return nil
	}
	return fromGeom(whole)
}

// joined unites polygons that overlap.
func joined(parts []Polygon) []Polygon {
	type box struct {
		low, high Position
		p         Polygon
		cluster   int
	}
	boxes := make([]box, len(parts))
	for i, p := range parts {
		low, high, _ := Layer{Features: []Feature{{Ground: Ground{p}}}}.Bounds()
		boxes[i] = box{low, high, p, i}
	}
	met := false
	for i := range boxes {
		for j := range i {
			a, b := &boxes[i], &boxes[j]
			if a.cluster == b.cluster || a.low[0] > b.high[0] || b.low[0] > a.high[0] || a.low[1] > b.high[1] || b.low[1] > a.high[1] ||
				!geom.Intersects(asGeom(a.p).AsGeometry(), asGeom(b.p).AsGeometry()) {
				continue
			}
			met = true
			from, to := a.cluster, b.cluster
			for k := range boxes {
				if boxes[k].cluster == from {
					boxes[k].cluster = to
				}
			}
		}
	}
	if !met {
		return parts
	}
	slices.SortStableFunc(boxes, func(a, b box) int { return cmp.Compare(a.cluster, b.cluster) })
	var out []Polygon
	for i := 0; i < len(boxes); {
		var group []geom.Geometry
		k := i
		for ; k < len(boxes) && boxes[k].cluster == boxes[i].cluster; k++ {
			group = append(group, asGeom(boxes[k].p).AsGeometry())
		}
		if whole, err := geom.UnionMany(group); err == nil && len(group) > 1 {
			out = append(out, fromGeom(whole)...)
		} else {
			for ; i < k; i++ {
				out = append(out, boxes[i].p)
			}
		}
		i = k
	}
	return out
}

// cutAtMeridian cuts a polygon whose longitudes run on beyond 180 degrees into
// what lies on either side.
func cutAtMeridian(p Polygon) Ground {
	low, high, _ := Layer{Features: []Feature{{Ground: Ground{p}}}}.Bounds()
	if low[0] >= -180 && high[0] <= 180 {
		return Ground{p}
	}
	var g Ground
	for _, turn := range []float64{-360, 0, 360} {
		west, east := turn-180, turn+180
		if high[0] <= west || low[0] >= east {
			continue
		}
		side := geom.NewEnvelope(geom.XY{X: west, Y: -91}, geom.XY{X: east, Y: 91}).AsGeometry()
		half, err := geom.Intersection(asGeom(p).AsGeometry(), side)
		if err != nil {
			return Ground{p}
		}
		for _, q := range fromGeom(half) {
			for _, r := range q {
				for i := range r {
					r[i][0] -= turn
				}
			}
			g = append(g, q)
		}
	}
	return g
}
