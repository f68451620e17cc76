package views

import (
	"cmp"
	"math"
	"slices"

	"runproof/drawing"
)

// onLineMM is how near to a line a point must be to lie on it.
const onLineMM = 0.05

// spot is a point on a raster of 0.01 mm, so that points meet that should.
type spot struct{ x, y int64 }

func spotOf(p drawing.Point) spot {
	return spot{int64(math.Round(p.X * 100)), int64(math.Round(p.Y * 100))}
}

func (a spot) point() drawing.Point {
	return drawing.Point{X: float64(a.x) / 100, Y: float64(a.y) / 100}
}

func (a spot) before(b spot) bool { return a.x < b.x || a.x == b.x && a.y < b.y }

// step is the way between two neighbouring spots, the lesser one first.
type step struct{ a, b spot }

func stepOf(a, b spot) step {
	if b.before(a) {
		a, b = b, a
	}
	return step{a, b}
}

// sideBySide draws ways that share a stretch beside each other there, gapMM
// apart, in the order given, as cables lie in a loom; elsewhere each keeps its
// place.
func sideBySide(ways [][]drawing.Point, gapMM float64) [][]drawing.Point {
	split := splitWays(ways)
	users := map[step][]int{}
	for i, way := range split {
		for k := 1; k < len(way); k++ {
			s := stepOf(way[k-1], way[k])
			if !slices.Contains(users[s], i) {
				users[s] = append(users[s], i)
			}
		}
	}
	out := make([][]drawing.Point, len(ways))
	for i, way := range split {
		out[i] = moved(way, func(a, b spot) float64 {
			s := stepOf(a, b)
			off := (float64(slices.Index(users[s], i)) - float64(len(users[s])-1)/2) * gapMM
			if b.before(a) {
				return -off
			}
			return off
		})
	}
	return out
}

// splitWays puts each way on the raster, drops steps of no length, and gives it
// a spot wherever another way has one on it.
func splitWays(ways [][]drawing.Point) [][]spot {
	var all []spot
	for _, w := range ways {
		for _, p := range w {
			all = append(all, spotOf(p))
		}
	}
	slices.SortFunc(all, func(a, b spot) int { return cmp.Or(cmp.Compare(a.x, b.x), cmp.Compare(a.y, b.y)) })
	all = slices.Compact(all)
	out := make([][]spot, len(ways))
	for i, w := range ways {
		for k, p := range w {
			q := spotOf(p)
			if k > 0 {
				out[i] = append(out[i], spotsOn(spotOf(w[k-1]), q, all)...)
			}
			out[i] = append(out[i], q)
		}
		out[i] = slices.Compact(out[i])
	}
	return out
}

// spotsOn returns the spots strictly inside the step from a to b, in its order.
func spotsOn(a, b spot, all []spot) []spot {
	pa, pb := a.point(), b.point()
	dx, dy := pb.X-pa.X, pb.Y-pa.Y
	l := math.Hypot(dx, dy)
	if l == 0 {
		return nil
	}
	type hit struct {
		at float64
		s  spot
	}
	var hits []hit
	for _, s := range all {
		p := s.point()
		along, aside := ((p.X-pa.X)*dx+(p.Y-pa.Y)*dy)/l, ((p.Y-pa.Y)*dx-(p.X-pa.X)*dy)/l
		if s != a && s != b && along > 0 && along < l && math.Abs(aside) < onLineMM {
			hits = append(hits, hit{along, s})
		}
	}
	slices.SortFunc(hits, func(x, y hit) int { return cmp.Compare(x.at, y.at) })
	var in []spot
	for _, h := range hits {
		in = append(in, h.s)
	}
	return in
}

// moved returns the way with each step moved to its right, as seen by who
// goes along it, by what off says; steps that meet at an angle are cut or
// drawn out to their crossing.
func moved(way []spot, off func(a, b spot) float64) []drawing.Point {
	if len(way) == 1 {
		return []drawing.Point{way[0].point()}
	}
	var pts []drawing.Point
	for k := 1; k < len(way); k++ {
		a, b := shift(way[k-1], way[k], off(way[k-1], way[k]))
		if n := len(pts); n > 0 {
			if x, ok := crossing(pts[n-2], pts[n-1], a, b); ok {
				pts[n-1], a = x, x
			}
		}
		pts = append(pts, a, b)
	}
	return slices.Compact(pts)
}

func shift(a, b spot, off float64) (drawing.Point, drawing.Point) {
	pa, pb := a.point(), b.point()
	dx, dy := pb.X-pa.X, pb.Y-pa.Y
	l := math.Hypot(dx, dy)
	return pa.Add(-dy/l*off, dx/l*off), pb.Add(-dy/l*off, dx/l*off)
}

// crossing is where the lines a-b and c-d cross; ok is false where they are
// nearly parallel.
func crossing(a, b, c, d drawing.Point) (drawing.Point, bool) {
	ux, uy, vx, vy := b.X-a.X, b.Y-a.Y, d.X-c.X, d.Y-c.Y
	det := ux*vy - uy*vx
	if math.Abs(det) < 0.3*math.Hypot(ux, uy)*math.Hypot(vx, vy) {
		return drawing.Point{}, false
	}
	t := ((c.X-a.X)*vy - (c.Y-a.Y)*vx) / det
	return drawing.Point{X: a.X + t*ux, Y: a.Y + t*uy}, true
}

// nearestOn returns the point of a line nearest to p, and the line's direction there.
func nearestOn(line []drawing.Point, p drawing.Point) (at drawing.Point, ux, uy float64) {
	best, ux := math.Inf(1), 1.0
	at = p
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		dx, dy := b.X-a.X, b.Y-a.Y
		l := math.Hypot(dx, dy)
		if l == 0 {
			continue
		}
		t := math.Min(1, math.Max(0, ((p.X-a.X)*dx+(p.Y-a.Y)*dy)/(l*l)))
		q := a.Add(t*dx, t*dy)
		if d := math.Hypot(p.X-q.X, p.Y-q.Y); d < best {
			best, at, ux, uy = d, q, dx/l, dy/l
		}
	}
	return at, ux, uy
}
