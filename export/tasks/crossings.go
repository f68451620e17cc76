package tasks

import (
	"slices"

	"runproof/export"
)

// crossings are where the polygon's rings cross a line of cells, from the west.
// The lower end of an edge counts and the upper does not, so that a corner counts
// once.
func (g *grid) crossings(p export.Polygon, y float64) []float64 {
	var xs []float64
	for _, r := range p {
		for i := 0; i+1 < len(r); i++ {
			x0, y0 := g.at(r[i])
			x1, y1 := g.at(r[i+1])
			if y0 > y != (y1 > y) {
				xs = append(xs, x0+(y-y0)/(y1-y0)*(x1-x0))
			}
		}
	}
	slices.Sort(xs)
	return xs
}
