package views

import (
	"cmp"
	"math"
	"slices"

	"runproof/drawing"
	"runproof/drill"
)

// ground maps places to a sheet at one scale, forward up, and leaves out
// stretches of the way ahead in which there is nothing to see, so that a long
// feed does not crush the scale. The zero ground maps all to the corner.
type ground struct {
	view  drawing.View
	cuts  []cut   // ascending, apart
	keepM float64 // what a stretch left out is still drawn as
}

// cut is a stretch of the forward axis that is left out, metres.
type cut struct{ from, to float64 }

// The measures of cuts.
const (
	cutMM     = 7.0  // what a cut is drawn as
	cutAsideM = 0.35 // kept beside what there is to see
	leastCutM = 1.0
)

// folded is the forward coordinate once what is cut is taken out, metres.
func (g ground) folded(forward float64) float64 {
	f := forward
	for _, c := range g.cuts {
		if inside := math.Min(forward, c.to) - c.from; inside > 0 {
			f -= inside * (1 - g.keepM/(c.to-c.from))
		}
	}
	return f
}

// at is the place on the sheet.
func (g ground) at(q drill.Point) drawing.Point { return g.view.At(q.Right, g.folded(q.Forward)) }

// path maps a way; where it enters or leaves a cut it gets a point more, so
// that it is straight on either side.
func (g ground) path(way []drill.Point) []drawing.Point {
	var pts []drawing.Point
	for i, q := range way {
		if i > 0 {
			for _, t := range g.crossings(way[i-1].Forward, q.Forward) {
				pts = append(pts, g.at(between(way[i-1], q, t)))
			}
		}
		pts = append(pts, g.at(q))
	}
	return pts
}

// crossings are the shares of the way from a to b at which an edge of a cut lies, ascending.
func (g ground) crossings(a, b float64) []float64 {
	var ts []float64
	for _, c := range g.cuts {
		for _, edge := range []float64{c.from, c.to} {
			if t := (edge - a) / (b - a); a != b && t > 0 && t < 1 {
				ts = append(ts, t)
			}
		}
	}
	slices.Sort(ts)
	return ts
}

func between(a, b drill.Point, t float64) drill.Point {
	return drill.Point{Forward: a.Forward + t*(b.Forward-a.Forward), Right: a.Right + t*(b.Right-a.Right), Up: a.Up + t*(b.Up-a.Up)}
}

// fitGround returns the ground that shows an extent within r at the largest
// drafting scale that its width allows. Where that is too high for r, the
// longest stretches without a forward coordinate of interest are cut, then the
// scale gives way.
func fitGround(e drawing.Extent, seen []float64, r drawing.Rect) ground {
	wide := drawing.FitView(e, drawing.Rect{W: r.W, H: math.Inf(1)}).MMPerM
	scale := min(largestMMPerM, wide)
	g := ground{keepM: cutMM / scale}
	for _, gap := range gapsBetween(seen) {
		if (e.DepthM()-g.savedM())*scale <= r.H || gap.to-gap.from < max(leastCutM, 2*g.keepM) {
			break
		}
		g.cuts = append(g.cuts, gap)
	}
	slices.SortFunc(g.cuts, func(a, b cut) int { return cmp.Compare(a.from, b.from) })
	e.Back, e.Front = g.folded(e.Back), g.folded(e.Front)
	g.view = drawing.FitView(e, r)
	if g.view.MMPerM > scale {
		g.view = drawing.CentredView(e, r, scale)
	}
	return g
}

func (g ground) savedM() float64 {
	saved := 0.0
	for _, c := range g.cuts {
		saved += c.to - c.from - g.keepM
	}
	return saved
}

// gapsBetween returns the stretches between neighbouring coordinates, made
// shorter by what stays beside them, longest first.
func gapsBetween(seen []float64) []cut {
	at := slices.Clone(seen)
	slices.Sort(at)
	var gaps []cut
	for i := 1; i < len(at); i++ {
		if c := (cut{at[i-1] + cutAsideM, at[i] - cutAsideM}); c.to > c.from {
			gaps = append(gaps, c)
		}
	}
	slices.SortStableFunc(gaps, func(a, b cut) int { return cmp.Compare(b.to-b.from, a.to-a.from) })
	return gaps
}
