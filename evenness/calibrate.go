package evenness

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/input"
)

// Calibrate finds each run's gain from a catch test and the counts recorded
// during it: one recording whose stretches of flow are the repeats in order, or
// one recording for each repeat. The gain of a run is
//
//	counts / (grams / (tkw/1000)) over all repeats with both
//
// and its standard deviation comes from how the ratio scatters from repeat to
// repeat, pooled over runs, what all runs of a repeat share taken off (that
// cancels between runs). With one repeat it is 1/sqrt(counts), as if particles
// were counted at random. The error is an input.Fault: flow and repeats do not
// agree.
func Calibrate(f *fit.Fit, c *Catch, logs []*flowlog.Log) (*Gains, error) {
	g := &Gains{Runproof: GainsVersion, Drill: f.Drill.Name, Revision: f.Revision, Day: c.Day}
	for i := range c.Products {
		p, err := calibrate(f, &c.Products[i], logs)
		if err != nil {
			return nil, err
		}
		if p != nil {
			g.Products = append(g.Products, *p)
		}
	}
	if len(g.Products) == 0 {
		return nil, input.Fault{What: "no port of the log belongs to a run that was caught", Remedy: "check that fit, bags and log are of the same drill; columns are named <node>:<port>"}
	}
	return g, nil
}

// calibrate is nil for a product of which no run is sensed in the logs.
func calibrate(f *fit.Fit, pc *ProductCatch, logs []*flowlog.Log) (*ProductGains, error) {
	t, err := tableOf(f, pc, logs)
	if t == nil || err != nil {
		return nil, err
	}
	g := &ProductGains{Product: pc.Product, Material: pc.Material, TKWG: pc.TKWG, Repeats: len(pc.Repeats), Without: []NoGain{}, Remarks: t.remarks, Runs: []Gain{}}
	unit := 1.0 // grams of a particle, or of a gram
	if pc.TKWG > 0 {
		unit = pc.TKWG / 1000
	} else {
		g.Remarks = append(g.Remarks, "the drill's description has no tkw_g: gains are counts per gram, which serves for comparing runs")
	}
	var kept []int
	for i, r := range pc.Runs {
		gain, why := t.gain(i, r, unit)
		if why != "" {
			g.Without = append(g.Without, NoGain{r.Run, why})
			continue
		}
		ref, _ := f.PortOf(r.Run)
		gain.Run, gain.Node, gain.Port = r.Run, ref.Node, ref.Port
		g.Runs, kept = append(g.Runs, gain), append(kept, i)
	}
	g.unweighed(f, pc)
	if len(g.Runs) > 0 {
		g.scatter(t, kept)
	}
	return g, nil
}

// unweighed lists the open sensed runs of the product without any bag.
func (g *ProductGains) unweighed(f *fit.Fit, pc *ProductCatch) {
	weighed := map[drill.RunID]bool{}
	for _, r := range pc.Runs {
		weighed[r.Run] = true
	}
	for _, r := range f.Drill.Runs() {
		if _, sensed := f.PortOf(r.ID); sensed && r.Product == pc.Product && !r.Closed && !weighed[r.ID] {
			g.Without = append(g.Without, NoGain{r.ID, "no bag of it was weighed"})
		}
	}
}

// caught is counts beside masses, runs by repeats.
type caught struct {
	grams   [][]float64 // NaN where no bag was weighed
	counts  [][]float64 // NaN where the port did not report
	heard   []bool      // whether the run's port is in the log
	seconds []float64   // of each repeat
	remarks []string
}

// tableOf finds each repeat in the logs; nil where no run of the product is in
// them.
func tableOf(f *fit.Fit, pc *ProductCatch, logs []*flowlog.Log) (*caught, error) {
	t := &caught{remarks: []string{}, heard: make([]bool, len(pc.Runs))}
	for _, r := range pc.Runs {
		row := make([]float64, len(r.Grams))
		for k, v := range r.Grams {
			row[k] = math.NaN()
			if v != nil {
				row[k] = *v
			}
		}
		t.grams, t.counts = append(t.grams, row), append(t.counts, nil)
	}
	found, heard := 0, false
	for _, l := range logs {
		columns := portColumns(l.Schema, f, pc.Runs)
		var sensed []int
		for i, c := range columns {
			if c != flowlog.None {
				sensed, t.heard[i] = append(sensed, c), true
			}
		}
		heard = heard || len(sensed) > 0
		all := spells(l, sensed)
		if len(logs) > 1 && len(all) > 1 { // one recording, one repeat
			all = []spell{joined(all)}
		}
		for _, s := range all {
			found++
			t.seconds = append(t.seconds, s.seconds)
			for i, c := range columns {
				v := math.NaN()
				if c != flowlog.None {
					v = s.counted(l, c, noiseHz(l, c, all))
				}
				t.counts[i] = append(t.counts[i], v)
			}
		}
	}
	if !heard {
		return nil, nil
	}
	if n := len(pc.Repeats); found != n {
		return nil, input.Fault{
			What:   fmt.Sprintf("%s flowed %s in the recording, and its bags were weighed in %s", pc.Product, times(found), plural(n, "repeat")),
			Remedy: "record each repeat with some seconds of standstill before and after, or give one recording for each repeat (--log r1.csv --log r2.csv)",
		}
	}
	return t, nil
}

func times(n int) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}

// joined is one spell from the first to the last.
func joined(all []spell) spell {
	s := spell{from: all[0].from, to: all[len(all)-1].to}
	for _, p := range all {
		s.seconds += p.seconds
		s.total += p.total
	}
	return s
}

// gain is the gain of run i without its standard deviation, or why it has none.
func (t *caught) gain(i int, r RunCatch, unit float64) (g Gain, why string) {
	if !t.heard[i] {
		return g, "its port is not in the recording, or the fit gives it none"
	}
	seconds := 0.0
	for k, c := range t.counts[i] {
		if v := t.grams[i][k]; v == v && c == c {
			g.Counts += c
			g.Grams += v
			seconds += t.seconds[k]
		}
	}
	switch {
	case seconds == 0:
		return g, "no repeat has both a weighed bag and a whole count"
	case g.Grams == 0:
		return g, "it gave no product"
	case g.Counts == 0:
		return g, "its sensor counted nothing while its bag filled: a dead sensor, a loose tube, or another port"
	}
	g.Gain.Value = g.Counts / (g.Grams / unit)
	g.RateHz = digits(g.Counts / seconds)
	g.Counts, g.Grams = digits(g.Counts), digits(g.Grams)
	return g, ""
}

// scatter finds the standard deviations and rounds.
func (g *ProductGains) scatter(t *caught, kept []int) {
	y := &grid{runs: make([]drill.Run, len(kept)), repeats: make([]int, len(t.seconds))}
	values := make([]float64, len(kept))
	for k, i := range kept {
		values[k] = g.Runs[k].Gain.Value
		row := make([]float64, len(t.seconds))
		per := g.Runs[k].Counts / g.Runs[k].Grams
		for r := range row {
			row[r] = t.counts[i][r] / t.grams[i][r] / per
			if t.grams[i][r] == 0 {
				row[r] = math.NaN()
			}
		}
		y.g = append(y.g, row)
	}
	g.MeanGain, g.SpreadCV = digits(meanOf(values)), finite(CV(values))
	within := meanSquare{}
	if f, ok := y.factors(); ok && len(kept) > 1 {
		within = analyse(y.level(f)).within
		g.sharedChange(f)
	}
	_, bags := y.means()
	g.DF = int(within.df)
	if within.df > 0 {
		g.RepeatSD = finite(math.Sqrt(within.value))
	} else {
		g.Remarks = append(g.Remarks, "one repeat: how well a gain repeats was not measured; its interval is that of counting alone")
	}
	for k := range g.Runs {
		r := &g.Runs[k]
		part, times := 1/math.Sqrt(r.Counts), distuv.UnitNormal.Quantile(1-tail)
		if within.df > 0 {
			part, times = math.Sqrt(within.value/float64(bags[k])), distuv.StudentsT{Nu: within.df, Sigma: 1}.Quantile(1-tail)
		}
		v := r.Gain.Value
		r.SD, r.Relative = digits(v*part), digits(v/g.MeanGain)
		r.Gain = Estimate{digits(v), finite(v * math.Max(0, 1-times*part)), finite(v * (1 + times*part))}
	}
}

// sharedChange remarks on repeats in which all sensors counted otherwise than in
// the rest: bags and flow may not belong together.
func (g *ProductGains) sharedChange(f []float64) {
	const much = 0.1
	if len(f) < 2 {
		return
	}
	mean := stat.Mean(f, nil)
	for r, v := range f {
		if math.Abs(v/mean-1) > much {
			g.Remarks = append(g.Remarks, fmt.Sprintf("in repeat %d all sensors counted %s against the usual for the same mass: bags were hung late, or bags and flow of the recording do not belong together", r+1, signed(v/mean-1)))
		}
	}
}
