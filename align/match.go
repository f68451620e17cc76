package align

import (
	"cmp"
	"math"
	"slices"
)

// spread is the middle of some differences and how well it is known.
type spread struct {
	at, sd float64
	n      int
}

// spreadOf takes the mean of what lies near the median: within three standard
// deviations as the median absolute deviation tells them (1.4826 of it, for a
// normal law), or within wide.
func spreadOf(v []float64, wide float64) spread {
	if len(v) == 0 {
		return spread{nan, math.Inf(1), 0}
	}
	v = slices.Sorted(slices.Values(v))
	median := middle(v)
	away := make([]float64, len(v))
	for i, x := range v {
		away[i] = math.Abs(x - median)
	}
	slices.Sort(away)
	limit := max(wide, 3*1.4826*middle(away))
	var sum, sum2, n float64
	for _, x := range v {
		if d := x - median; math.Abs(d) <= limit {
			sum += d
			sum2 += d * d
			n++
		}
	}
	mean := sum / n
	sd := math.Sqrt(max(0, sum2/n-mean*mean) / max(1, n-1))
	if n == 1 {
		sd = limit
	}
	return spread{median + mean, sd, int(n)}
}

func middle(sorted []float64) float64 {
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}

// nearest is the edge of the same direction nearest to where e should be in b,
// no further than reach.
func nearest(e edge, b []edge, about, reach float64) (best edge, ok bool) {
	for _, o := range b {
		d := math.Abs(o.s - e.s - about)
		if o.up == e.up && d <= reach && (!ok || d < math.Abs(best.s-e.s-about)) {
			best, ok = o, true
		}
	}
	return best, ok
}

// matched pairs each edge of a, of one direction, with the nearest of b, and
// returns b less a.
func matched(a, b []edge, about, reach float64, up bool) []float64 {
	var out []float64
	for _, e := range a {
		if o, ok := nearest(e, b, about, reach); ok && e.up == up {
			out = append(out, o.s-e.s)
		}
	}
	return out
}

// bothWays is how far apart two lists of edges are, up and down taken for
// themselves.
type bothWays struct{ up, down spread }

// match pairs the edges of two lists; differences up to wide of the middle count
// in any case.
func match(a, b []edge, about, reach, wide float64) bothWays {
	return bothWays{spreadOf(matched(a, b, about, reach, true), wide), spreadOf(matched(a, b, about, reach, false), wide)}
}

// least is how many edges either way there must be.
func (m bothWays) least() int { return min(m.up.n, m.down.n) }

// mid is the middle of both directions; lateness that both share with opposite
// sign falls out of it.
func (m bothWays) mid() float64 { return (m.up.at + m.down.at) / 2 }

// half is half of what the two directions differ by.
func (m bothWays) half() float64 { return math.Abs(m.up.at-m.down.at) / 2 }

// sd is the standard deviation of mid.
func (m bothWays) sd() float64 { return math.Hypot(m.up.sd, m.down.sd) / 2 }

// lifts are turns seen as a work state: down at a turn's beginning, up at its
// end.
func lifts(ts []turn) []edge {
	var out []edge
	for _, t := range ts {
		out = append(out, edge{t.from, false, 0}, edge{t.to, true, 0})
	}
	return out
}

// common is what the edges of two logs have in common when both are of one
// switch: each pair says that the difference lies within its samples, and most
// pairs together leave a narrow span. ok is false where less than nine in ten
// pairs agree on any: then it is not one switch.
func common(a, b []edge, about, reach float64) (at, sd float64, n int, ok bool) {
	type rim struct {
		s    float64
		step int
	}
	var rims []rim
	for _, up := range []bool{false, true} {
		for _, e := range a {
			if o, found := nearest(e, b, about, reach); found && e.up == up {
				d, half := o.s-e.s, o.half+e.half
				rims = append(rims, rim{d - half, 1}, rim{d + half, -1})
				n++
			}
		}
	}
	slices.SortFunc(rims, func(x, y rim) int { return cmp.Or(cmp.Compare(x.s, y.s), cmp.Compare(y.step, x.step)) })
	count, most, low, high := 0, 0, nan, nan
	for i, r := range rims {
		if count += r.step; count > most && i+1 < len(rims) {
			most, low, high = count, r.s, rims[i+1].s
		}
	}
	return (low + high) / 2, (high - low) / math.Sqrt(12), n, n > 0 && 10*most >= 9*n
}
