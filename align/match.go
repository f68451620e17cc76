package align

import (
	"math"
	"slices"
)

// spread is the middle of some differences and how well it is known.
type spread struct {
	median, sd float64
	n          int
}

// spreadOf takes the median; its standard deviation is 1.25 times that of a
// mean, with the scale from the median absolute deviation (both for a normal
// law).
func spreadOf(v []float64) spread {
	if len(v) == 0 {
		return spread{nan, math.Inf(1), 0}
	}
	v = slices.Sorted(slices.Values(v))
	s := spread{median: middle(v), n: len(v)}
	away := make([]float64, len(v))
	for i, x := range v {
		away[i] = math.Abs(x - s.median)
	}
	slices.Sort(away)
	s.sd = 1.25 * 1.4826 * middle(away) / math.Sqrt(float64(len(v)))
	return s
}

func middle(sorted []float64) float64 {
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}

// matched pairs each edge of b with the nearest of a of the same direction, no
// further than reach from where it should be, and returns b less a.
func matched(a, b []edge, about, reach float64, up bool) []float64 {
	var out []float64
	for _, e := range a {
		if e.up != up {
			continue
		}
		best := nan
		for _, o := range b {
			if d := o.s - e.s - about; o.up == up && math.Abs(d) <= reach && !(math.Abs(d) >= math.Abs(best-about)) {
				best = o.s - e.s
			}
		}
		if best == best {
			out = append(out, best)
		}
	}
	return out
}

// bothWays is how far apart two lists of edges are, up and down taken for
// themselves.
type bothWays struct{ up, down spread }

func match(a, b []edge, about, reach float64) bothWays {
	return bothWays{spreadOf(matched(a, b, about, reach, true)), spreadOf(matched(a, b, about, reach, false))}
}

// least is how many edges either way there must be.
func (m bothWays) least() int { return min(m.up.n, m.down.n) }

// mid is the middle of both directions; lateness that both share with opposite
// sign falls out of it.
func (m bothWays) mid() float64 { return (m.up.median + m.down.median) / 2 }

// half is half of what the two directions differ by.
func (m bothWays) half() float64 { return math.Abs(m.up.median-m.down.median) / 2 }

func (m bothWays) sd() float64 { return math.Hypot(m.up.sd, m.down.sd) / 2 }

// lifts are turns seen as a work state: down at a turn's beginning, up at its
// end.
func lifts(ts []turn) []edge {
	var out []edge
	for _, t := range ts {
		out = append(out, edge{t.from, false}, edge{t.to, true})
	}
	return out
}
