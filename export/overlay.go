package export

import (
	"fmt"

	"github.com/peterstace/simplefeatures/geom"
)

// overlay runs an operation of the library. It panics where rounding breaks its
// own invariants; a file someone drew must not stop the program for that.
func overlay(op func() (geom.Geometry, error)) (g geom.Geometry, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("ground cannot be overlaid: %v", r)
		}
	}()
	return op()
}

// Union is all ground of several, each place once.
func Union(grounds ...Ground) Ground {
	var parts []Polygon
	for _, g := range grounds {
		parts = append(parts, g...)
	}
	return joined(parts)
}

// Without is the ground that is not also in other.
func Without(g, other Ground) Ground {
	var out Ground
	for _, p := range g {
		out = append(out, less(p, other)...)
	}
	return out
}

func less(p Polygon, other Ground) []Polygon {
	low, high, _ := Layer{Features: []Feature{{Ground: Ground{p}}}}.Bounds()
	rest := asGeom(p).AsGeometry()
	cut := false
	for _, q := range other {
		l, h, _ := Layer{Features: []Feature{{Ground: Ground{q}}}}.Bounds()
		if l[0] >= high[0] || h[0] <= low[0] || l[1] >= high[1] || h[1] <= low[1] {
			continue
		}
		next, err := overlay(func() (geom.Geometry, error) { return geom.Difference(rest, asGeom(q).AsGeometry()) })
		if err != nil {
			continue // a place sown twice is better than one left bare
		}
		rest, cut = next, true
	}
	if !cut {
		return []Polygon{p}
	}
	return fromGeom(rest)
}
