package evenness

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"runproof/drill"
)

// Hose is the effect of a run's length: the regression of run means on reach,
// within heads. Reach is the straight way from the head to the opener, which no
// hose is shorter than; the drill's description has no length for each hose.
type Hose struct {
	Runs      int      `json:"runs"`       // runs in line
	SpanM     float64  `json:"span_m"`     // longest reach less shortest, m
	PerM      Estimate `json:"per_m"`      // change with each metre of reach, as a part of the mean
	P         float64  `json:"p"`          // chance of so great a slope where length does nothing
	Explained float64  `json:"explained"`  // part of the scatter within heads that it explains
	OverSpan  float64  `json:"over_span"`  // what the slope makes from the shortest to the longest, as a part of the mean
	LengthsOf string   `json:"lengths_of"` // what the lengths are
}

// leastSpanM is the least difference of reach that a slope can rest on, m.
const leastSpanM = 0.3

// hoseEffect is nil where reach hardly differs or too few runs are in line.
func hoseEffect(x []float64, runs []drill.Run, used []bool, d *drill.Drill, mean float64) *Hose {
	reach := make([]float64, len(runs))
	for i, r := range runs {
		h, _ := d.Head(r.Head)
		reach[i] = d.ReachM(h, r.Row)
	}
	return slope(x, reach, runs, used, mean)
}

// slope is the regression of x over mean on reach within heads.
func slope(x, reach []float64, runs []drill.Run, used []bool, mean float64) *Hose {
	least, most := math.Inf(1), 0.0
	for i, m := range reach {
		if used[i] {
			least, most = math.Min(least, m), math.Max(most, m)
		}
	}
	y, l := residuals(x, runs, used), residuals(reach, runs, used)
	df := y.df() - 1
	var xx, xy, yy float64
	for i := range y.e {
		xx += sq(l.e[i])
		xy += l.e[i] * y.e[i] / mean
		yy += sq(y.e[i] / mean)
	}
	if df < 2 || !(most-least >= leastSpanM) || xx < 1e-9 || yy == 0 {
		return nil
	}
	slope := xy / xx
	se := math.Sqrt(math.Max(0, yy-slope*xy) / float64(df) / xx)
	half := se * distuv.StudentsT{Nu: float64(df), Sigma: 1}.Quantile(1-tail)
	h := &Hose{
		Runs: len(y.e), SpanM: digits(most - least), Explained: digits(slope * xy / yy), OverSpan: digits(slope * (most - least)),
		PerM: Estimate{digits(slope), finite(slope - half), finite(slope + half)}, LengthsOf: "straight ways from head to opener",
	}
	if se > 0 {
		h.P = digits(twoSided(slope/se, df))
	}
	return h
}
