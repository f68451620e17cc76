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
	// rounding what was overlaid may have moved an edge over a place
	return g, crossed || slices.ContainsFunc(g, func(p Polygon) bool { return !simple(p) })
}

// simple says whether no ring of the polygon crosses itself or another.
func simple(p Polygon) bool {
	return len(p) == 1 && plain(p[0]) || asGeom(p).Validate() == nil
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
	if simple(out) {
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
		if h := hull(run[i], run[i+1], run[2*n-2-i], run[2*n-1-i]); h != nil {
			pieces = append(pieces, asGeom(Polygon{h}).AsGeometry())
		}
	}
	whole, err := overlay(func() (geom.Geometry, error) { return geom.UnionMany(pieces) })
	if err != nil {
		return nil
	}
	return fromGeom(whole)
}

// joined unites polygons that overlap.
func joined(parts []Polygon) []Polygon {
	group := groups(parts)
	var out []Polygon
	members := map[int][]geom.Geometry{}
	for i, p := range parts {
		members[group[i]] = append(members[group[i]], asGeom(p).AsGeometry())
	}
	for i, p := range parts {
		switch mine := members[group[i]]; {
		case len(mine) == 1:
			out = append(out, p)
		case group[i] == i: // the first of several
			whole, err := overlay(func() (geom.Geometry, error) { return geom.UnionMany(mine) })
			if err != nil {
				return parts
			}
			out = append(out, fromGeom(whole)...)
		}
	}
	return out
}

// groups gives each polygon the first of those that it hangs together with. The
// polygons are taken from west to east, so that each is compared with the few
// that it can meet.
func groups(parts []Polygon) []int {
	type box struct{ low, high Position }
	boxes, order, group := make([]box, len(parts)), make([]int, len(parts)), make([]int, len(parts))
	for i, p := range parts {
		boxes[i].low, boxes[i].high, _ = Layer{Features: []Feature{{Ground: Ground{p}}}}.Bounds()
		order[i], group[i] = i, i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(boxes[a].low[0], boxes[b].low[0]) })
	first := func(i int) int {
		for group[i] != i {
			i = group[i]
		}
		return i
	}
	var near []int
	for _, i := range order {
		near = slices.DeleteFunc(near, func(j int) bool { return boxes[j].high[0] < boxes[i].low[0] })
		for _, j := range near {
			a, b := first(i), first(j)
			if a != b && boxes[j].low[1] <= boxes[i].high[1] && boxes[i].low[1] <= boxes[j].high[1] &&
				geom.Intersects(asGeom(parts[i]).AsGeometry(), asGeom(parts[j]).AsGeometry()) {
				group[max(a, b)] = min(a, b)
			}
		}
		near = append(near, i)
	}
	for i := range group {
		group[i] = first(i)
	}
	return group
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
		// no larger than it must be: the overlay snaps in proportion to what it is given
		edge := max(high[0]-low[0], high[1]-low[1])
		side := geom.NewEnvelope(
			geom.XY{X: max(west, low[0]-edge), Y: low[1] - edge}, geom.XY{X: min(east, high[0]+edge), Y: high[1] + edge},
		).AsGeometry()
		half, err := overlay(func() (geom.Geometry, error) { return geom.Intersection(asGeom(p).AsGeometry(), side) })
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
