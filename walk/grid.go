package walk

import (
	"fmt"
	"math"
	"slices"

	"runproof/fit"
	"runproof/flowlog"
	"runproof/input"
)

const (
	binAimS    = 0.25 // finer samples are added up to about this
	gapFactor  = 1.6  // a line later than this many usual intervals follows a gap...
	longGap    = 3.6  // ...and after this many it is left out
	coarsestS  = 3.0  // samples further apart cannot show a pinch
	largestMem = 120_000_000
)

// grid is the recording in equal bins. x[p][i] is what port p counted in bin i
// while it was observed for e[p][i] seconds; e = 0 means "not reported".
type grid struct {
	originNS int64   // left edge of bin 0, the log's time
	binS     float64 // width of a bin, s
	sampleS  float64 // usual sample interval, s
	usualS   float64 // longest interval that is no gap, s
	n        int     // bins
	ports    []fit.PortRef
	x, e     [][]float32
}

// newGrid lays the log's ports out in bins of about binAimS, never finer than
// the samples. A line that follows a few lost ones may carry their counts or
// not: it is taken for one of the usual length, and if it counts double, all
// ports do so together. After a long gap it is left out.
func newGrid(log *flowlog.Log) (*grid, error) {
	if log.Len() < 2 {
		return nil, input.Fault{What: fmt.Sprintf("the recording has %d samples", log.Len()), Remedy: "a walk needs at least some seconds of counts for each run"}
	}
	steps := make([]float64, log.Len()-1)
	for i := range steps {
		steps[i] = float64(log.TimeNS[i+1]-log.TimeNS[i]) / 1e9
	}
	slices.Sort(steps)
	g := &grid{sampleS: steps[len(steps)/2]}
	if g.sampleS > coarsestS {
		return nil, input.Fault{What: fmt.Sprintf("samples are %.3g s apart", g.sampleS), Remedy: fmt.Sprintf("record at least one sample every %.3g s: a pinch lasts a few seconds", coarsestS)}
	}
	g.usualS = max(gapFactor*g.sampleS, 1.3*steps[len(steps)*9/10])
	perBin := max(1, math.Floor(binAimS/g.sampleS+1e-6))
	g.binS = perBin * g.sampleS
	g.originNS = log.TimeNS[0] - int64(g.sampleS*1e9)
	g.n = int(float64(log.TimeNS[log.Len()-1]-g.originNS)/1e9/g.binS) + 1
	return g, g.fill(log)
}

func (g *grid) fill(log *flowlog.Log) error {
	cols := portColumns(log)
	if len(cols) == 0 {
		return input.Fault{What: "the recording has no column of a port", Remedy: "name the columns of counts <node>:<port>"}
	}
	if g.n*len(cols) > largestMem {
		return input.Fault{What: fmt.Sprintf("the recording spans %.1f h, far longer than a walk", float64(g.n)*g.binS/3600), Remedy: "cut the walk out of it"}
	}
	for _, c := range cols {
		x, e := make([]float32, g.n), make([]float32, g.n)
		for i, v := range log.Values[c] {
			d, bin := g.sample(log.TimeNS, i)
			if !flowlog.IsMissing(v) && d > 0 {
				x[bin] += float32(v)
				e[bin] += float32(d)
			}
		}
		g.ports = append(g.ports, log.Columns[c].Port)
		g.x, g.e = append(g.x, x), append(g.e, e)
	}
	return nil
}

// sample is the time that sample i stands for, s (0: for none), and the bin of
// its middle.
func (g *grid) sample(timeNS []int64, i int) (durS float64, bin int) {
	durS = g.sampleS
	if i > 0 {
		durS = float64(timeNS[i]-timeNS[i-1]) / 1e9
	}
	switch {
	case durS > longGap*g.usualS/gapFactor:
		return 0, 0
	case durS > g.usualS:
		durS = g.sampleS
	}
	bin = int((float64(timeNS[i]-g.originNS)/1e9 - durS/2) / g.binS)
	return durS, min(max(bin, 0), g.n-1)
}

func portColumns(log *flowlog.Log) []int {
	var cols []int
	for i, c := range log.Columns {
		if c.Kind == flowlog.Port {
			cols = append(cols, i)
		}
	}
	return cols
}

// seconds is a time of the log on the grid's own axis, s from bin 0.
func (g *grid) seconds(ns int64) float64 { return float64(ns-g.originNS) / 1e9 }

// ns is a time of the grid's own axis as the log counts it.
func (g *grid) ns(s float64) int64 { return g.originNS + int64(math.Round(s*1e9)) }

// spanS is the length of the grid, s.
func (g *grid) spanS() float64 { return float64(g.n) * g.binS }
