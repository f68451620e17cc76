package export

import (
	"cmp"
	"math"
	"slices"
)

// tidy closes a ring, rounds its places to the steps of 1e-7 degrees in which all
// forms write them, makes its longitudes run on over the 180th meridian, and takes
// out places that are the same as the one before; nil where nothing with an area
// is left.
func tidy(r Ring) Ring {
	out := make(Ring, 0, len(r)+1)
	for _, at := range r {
		at = Position{round7(at[0]), round7(at[1])}
		if n := len(out); n > 0 {
			at[0] = near(at[0], out[n-1][0])
			if at == out[n-1] {
				continue
			}
		} else {
			at[0] = wrap(at[0])
		}
		out = append(out, at)
	}
	for len(out) > 1 && out[0] == out[len(out)-1] {
		out = out[:len(out)-1]
	}
	if len(out) < 3 {
		return nil
	}
	out = append(out, out[0])
	if Twice(out) == 0 {
		return nil
	}
	return out
}

// near is a longitude as it is reached from another the short way round.
func near(lon, from float64) float64 { return lon + 360*math.Round((from-lon)/360) }

// Twice is twice the signed area of a ring in square degrees, positive where it
// runs counter-clockwise (the shoelace formula, about the first place so that
// digits are kept).
func Twice(r Ring) float64 {
	sum := 0.0
	for i := 0; i+1 < len(r); i++ {
		ax, ay := r[i][0]-r[0][0], r[i][1]-r[0][1]
		bx, by := r[i+1][0]-r[0][0], r[i+1][1]-r[0][1]
		sum += ax*by - bx*ay
	}
	return sum
}

// turned gives the ring the direction asked for, in place.
func turned(r Ring, counterClockwise bool) Ring {
	if Twice(r) > 0 != counterClockwise {
		slices.Reverse(r)
	}
	return r
}

// plain proves quickly of most strips that they do not cross themselves: seen
// along some direction the ring goes once there and once back, and the way there
// stays on one side of the way back. A ring of which that is not so may still be
// simple.
func plain(r Ring) bool {
	far, most := 0, 0.0
	scale := math.Cos(r[0][1] * math.Pi / 180)
	for i, at := range r {
		if d := math.Hypot((at[0]-r[0][0])*scale, at[1]-r[0][1]); d > most {
			far, most = i, d
		}
	}
	heading := math.Atan2(r[far][1]-r[0][1], (r[far][0]-r[0][0])*scale)
	// a little off the strip's own direction, or its ends would stand square to it
	return monotone(r, scale, heading+0.0137) || monotone(r, scale, heading-0.0173)
}

// monotone says whether the ring is two chains that go along the heading and do
// not meet but at their ends.
func monotone(r Ring, scale, heading float64) bool {
	n := len(r) - 1
	sin, cos := math.Sincos(heading)
	pts := make([][2]float64, n)
	low, high := 0, 0
	for i := range n {
		x, y := (r[i][0]-r[0][0])*scale, r[i][1]-r[0][1]
		pts[i] = [2]float64{x*cos + y*sin, y*cos - x*sin}
		if pts[i][0] < pts[low][0] {
			low = i
		}
		if pts[i][0] > pts[high][0] {
			high = i
		}
	}
	there, back := chain(pts, low, high, 1), chain(pts, low, high, n-1)
	return there != nil && back != nil && apart(there, back)
}

// chain goes from one point of a ring to another by steps, as long as it gets on.
func chain(pts [][2]float64, from, to, step int) [][2]float64 {
	out := [][2]float64{pts[from]}
	for i := from; i != to; {
		next := (i + step) % len(pts)
		if pts[next][0] <= pts[i][0] {
			return nil
		}
		i = next
		out = append(out, pts[i])
	}
	return out
}

// clearDeg is how far apart two chains must be at their places to be seen as apart,
// degrees: places stand on steps of 1e-7.
const clearDeg = 3e-8

// apart says whether two chains with the same ends stay apart between them.
func apart(a, b [][2]float64) bool {
	side := 0.0
	for _, pair := range [][2][][2]float64{{a, b}, {b, a}} {
		other, k := pair[1], 0
		for _, p := range pair[0][1 : len(pair[0])-1] {
			for other[k+1][0] < p[0] {
				k++
			}
			w := (p[0] - other[k][0]) / (other[k+1][0] - other[k][0])
			d := p[1] - (other[k][1] + w*(other[k+1][1]-other[k][1]))
			if math.Abs(d) < clearDeg || side*d < 0 {
				return false
			}
			side = d
		}
		side = -side
	}
	return true
}

// hull is the convex ring around places, counter-clockwise, reckoned in whole
// steps of 1e-7 degrees so that it is exact; nil where they lie on a line (Andrew
// 1979, Another efficient algorithm for convex hulls in two dimensions).
func hull(places ...Position) Ring {
	type step struct{ x, y int64 }
	var pts []step
	for _, p := range places {
		pts = append(pts, step{int64(math.Round(p[0] * 1e7)), int64(math.Round(p[1] * 1e7))})
	}
	slices.SortFunc(pts, func(a, b step) int { return cmp.Or(cmp.Compare(a.x, b.x), cmp.Compare(a.y, b.y)) })
	pts = slices.Compact(pts)
	left := func(a, b, c step) bool { return (b.x-a.x)*(c.y-a.y)-(b.y-a.y)*(c.x-a.x) > 0 }
	half := func() []step {
		var h []step
		for _, p := range pts {
			for len(h) >= 2 && !left(h[len(h)-2], h[len(h)-1], p) {
				h = h[:len(h)-1]
			}
			h = append(h, p)
		}
		return h[:len(h)-1]
	}
	around := half()
	slices.Reverse(pts)
	around = append(around, half()...)
	if len(around) < 3 {
		return nil
	}
	r := make(Ring, 0, len(around)+1)
	for _, p := range around {
		r = append(r, Position{float64(p.x) / 1e7, float64(p.y) / 1e7})
	}
	return append(r, r[0])
}
