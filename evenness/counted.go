package evenness

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
)

// FieldOptions are what a day's evenness is judged with.
type FieldOptions struct {
	Gains    *Gains            // nil = not calibrated: no CV across runs
	Scales   Scales            // published scales to name the band on
	Faults   []Fault           // what was wrong on the day: such work says nothing of how even the drill is
	Progress func(samples int) // called now and then; nil = not wanted

	SafeRates     SafeRates // published rates to hold the siblings of blocked fertiliser runs against
	OpenerSpreadM float64   // over which the opener spreads seed and fertiliser together, m; 0 = not said
}

// Fault is a time in which counts of some runs were not those of a sound drill.
type Fault struct {
	Runs           []drill.RunID
	StartNS, EndNS int64
	Start          string  // StartNS in the log's form of time
	Lost           float64 // part of the flow that a single run lost; 0 = a fault of another kind
}

const (
	dayBlocks   = 24 // of a day: eight in each third
	leastBlocks = 6  // for a scatter or a change
	leastRuns   = 4  // with a gain, for a CV
)

func fieldOf(f *fit.Fit, p drill.Product, st *steady, opt FieldOptions, clock flowlog.Clock) ProductField {
	pf := ProductField{Product: p.ID, Material: p.Material, Faulty: []drill.RunID{}, Void: []NoGain{}, Runs: []RunField{}, OutOfLine: []Odd{}, Tilts: []Tilt{}, Bands: []Band{}, Says: []string{}, Remarks: []string{}}
	of := len(st.runs) + len(st.absent)
	pf.pick(st, opt.Faults)
	if len(st.cells) < leastBlocks || len(st.runs) < 2 {
		pf.WhyNo = fmt.Sprintf("Only %.0f s of steady work with all of %s reporting and sound: a minute of two runs is the least.", pf.SteadyS, plural(len(st.runs), "run"))
		pf.Says = append(pf.Says, pf.WhyNo)
		return pf
	}
	pf.Start, pf.End = clock.Format(st.cells[0].startNS), clock.Format(st.cells[len(st.cells)-1].endNS)
	blocks := st.blocks(dayBlocks)
	pf.Blocks = len(blocks)
	for k, r := range st.runs {
		sum := 0.0
		for _, c := range st.cells {
			sum += c.counts[k]
		}
		pf.Runs = append(pf.Runs, RunField{Run: r.ID, RateHz: digits(sum / pf.SteadyS)})
	}
	pf.changes(st, blocks)
	pf.across(f, p, st, blocks, opt, of)
	pf.sayField()
	return pf
}

// pick leaves the cells that can be used, and says what else there was.
func (pf *ProductField) pick(st *steady, faults []Fault) {
	if len(st.absent) > 0 {
		pf.Remarks = append(pf.Remarks, fmt.Sprintf("%s: the log lacks the port", runIDs(st.absent)))
	}
	if seldom := st.settle(); len(seldom) > 0 {
		pf.Remarks = append(pf.Remarks, fmt.Sprintf("%s: not reported in a fifth of the steady work or more; left out", runIDs(seldom)))
	}
	faulty, seconds := st.sound(faults)
	pf.Faulty, pf.FaultS = append(pf.Faulty, faulty...), digits(seconds)
	if len(faulty) > 0 {
		pf.Remarks = append(pf.Remarks, fmt.Sprintf("%s: at fault in a fifth of the steady work or more; left out", runIDs(faulty)))
	}
	for _, c := range st.cells {
		pf.SteadyS += c.seconds
	}
	pf.SteadyS = digits(pf.SteadyS)
}

// changes finds how each run's part of its head went from the first third of
// the blocks to the last. Blocks are long beside gusts and pulses, so their
// scatter holds them (batch means).
func (pf *ProductField) changes(st *steady, blocks [][]float64) {
	n := len(blocks)
	third := n / 3
	parts := headParts(st.runs, blocks)
	for k := range st.runs {
		early, late := parts[k][:third], parts[k][n-third:]
		m1, v1 := stat.MeanVariance(early, nil)
		m2, v2 := stat.MeanVariance(late, nil)
		df := 2 * (third - 1)
		if !(m1 > 0) || !(m2 >= 0) || df < 2 {
			continue
		}
		change := m2/m1 - 1
		se := math.Sqrt((v2+sq(m2/m1)*v1)/float64(third)) / m1 // delta method
		t := distuv.StudentsT{Nu: float64(df), Sigma: 1}
		half := t.Quantile(1-tail) * se
		p := 1.0
		if se > 0 {
			p = math.Min(1, float64(len(st.runs))*twoSided(change/se, df))
		}
		pf.Runs[k].Change = &Estimate{digits(change), finite(change - half), finite(change + half)}
		pf.Runs[k].ChangeP = finite(p)
		if p <= significant && math.Abs(change) >= toldChange {
			pf.Changed++
		}
	}
}

// toldChange is the least change that is told, whatever its significance: shares
// drift by a few percent with slope and hose lie.
const toldChange = 0.1

// headParts are the runs' parts of their heads, by run, then block. A head of
// one run is held against the whole product.
func headParts(runs []drill.Run, blocks [][]float64) [][]float64 {
	size := map[drill.HeadID]int{}
	for _, r := range runs {
		size[r.Head]++
	}
	out := make([][]float64, len(runs))
	for _, b := range blocks {
		head, all := map[drill.HeadID]float64{}, 0.0
		for k, v := range b {
			head[runs[k].Head] += v
			all += v
		}
		for k, v := range b {
			whole := head[runs[k].Head]
			if size[runs[k].Head] == 1 {
				whole = all
			}
			out[k] = append(out[k], v/math.Max(whole, 1e-300))
		}
	}
	return out
}

// across gives the CV between runs where gains allow it, or says why not.
func (pf *ProductField) across(f *fit.Fit, p drill.Product, st *steady, blocks [][]float64, opt FieldOptions, of int) {
	gains, why := usable(opt.Gains, p)
	if why != "" {
		pf.WhyNo = why
		return
	}
	gain, part := make([]float64, len(st.runs)), make([]float64, len(st.runs))
	has := make([]bool, len(st.runs))
	runs := 0
	for k, r := range st.runs {
		g, why := gains.holding(f, r.ID, opt.Gains.Day)
		if why != "" {
			pf.Void = append(pf.Void, NoGain{r.ID, why})
			continue
		}
		gain[k], part[k], has[k] = g.Gain.Value, g.SD/g.Gain.Value, true
		runs++
		pf.rates(k, g)
	}
	if runs < leastRuns || 2*runs < of {
		pf.WhyNo = fmt.Sprintf("Only %d of %d runs have a gain that holds: that is too few to speak for the drill. Do a catch test again, with the log recorded.", runs, of)
		return
	}
	c := counted{runs: st.runs, has: has, gain: gain, part: part, df: float64(gains.DF)}
	c.reckon(blocks)
	pf.fill(c, &f.Drill, of, opt.Scales)
	if tkw := gains.TKWG; tkw > 0 && p.TKWG > 0 && math.Abs(p.TKWG/tkw-1) > 0.1 {
		pf.Remarks = append(pf.Remarks, fmt.Sprintf("gains are of particles of %.4g g a thousand, the fit now says %.4g g: other particles may be counted otherwise, though alike by all sensors of a kind", tkw, p.TKWG))
	}
	if gains.DF == 0 {
		pf.Remarks = append(pf.Remarks, "the gains rest on one repeat: what weighing scatters is not in the interval")
	}
}

// usable are the gains of the product, or why there are none.
func usable(g *Gains, p drill.Product) (*ProductGains, string) {
	const how = " Do a catch test with the log recorded (runproof catch --log), and give its gains with --gains."
	if g == nil {
		return nil, "Sensors differ in gain by tens of percent, so counts of different runs say nothing of how even the drill is; each run can only be held against itself." + how
	}
	pg, ok := g.Of(p.ID)
	switch {
	case !ok:
		return nil, fmt.Sprintf("The gains hold nothing of %s.", p.ID) + how
	case plainWords(pg.Material) != plainWords(p.Material):
		return nil, fmt.Sprintf("The gains were taken with %s, and the fit says %s: a sensor counts another product otherwise.", orUnsaid(pg.Material), orUnsaid(p.Material)) + how
	}
	return pg, ""
}

func orUnsaid(s string) string {
	if s == "" {
		return "a product that is not said"
	}
	return s
}

// holding is the run's gain, or why it does not hold: a gain belongs to a
// sensor at a port, and a run that has moved since is heard by another.
func (pg *ProductGains) holding(f *fit.Fit, run drill.RunID, day string) (Gain, string) {
	if day == "" {
		day = "the catch test"
	}
	for _, g := range pg.Runs {
		if g.Run != run {
			continue
		}
		now, ok := f.PortOf(run)
		if was := (fit.PortRef{Node: g.Node, Port: g.Port}); ok && now != was {
			return g, fmt.Sprintf("since %s it moved from %s to %s (fit revision %d): its gain is void", day, was, now, f.Revision)
		}
		return g, ""
	}
	for _, w := range pg.Without {
		if w.Run == run {
			return Gain{}, "no gain: " + w.Why
		}
	}
	return Gain{}, "no gain: it was not in the catch test"
}

// rates remarks once on counts that come much faster or slower than in the
// catch test.
func (pf *ProductField) rates(k int, g Gain) {
	const much = 1.5
	if r := pf.Runs[k].RateHz / g.RateHz; (r > much || r < 1/much) && !pf.hasRateRemark() {
		pf.Remarks = append(pf.Remarks, fmt.Sprintf("%s %s counts %.0f/s here and %.0f/s in the catch test: at another rate a counter misses another part of what passes", rateRemark, g.Run, pf.Runs[k].RateHz, g.RateHz))
	}
}

const rateRemark = "rates differ:"

func (pf *ProductField) hasRateRemark() bool {
	for _, r := range pf.Remarks {
		if len(r) > len(rateRemark) && r[:len(rateRemark)] == rateRemark {
			return true
		}
	}
	return false
}

// counted is a day's counts over gains.
type counted struct {
	runs []drill.Run
	has  []bool
	gain []float64
	part []float64 // standard deviation of the gain, as a part of it
	df   float64   // of part; 0 = known

	kept       []drill.Run
	x          []float64 // mean over the blocks, the mean of the runs 1
	own        []float64 // standard error of x by counting
	of         []float64 // part, of the kept
	noise      meanSquare
	dispersion float64
}

// reckon finds each run's mean and its scatter between blocks, both over gains
// and as a part of the block's mean over runs.
func (c *counted) reckon(blocks [][]float64) {
	series := make([][]float64, 0, len(c.runs))
	for k := range c.runs {
		if c.has[k] {
			c.kept, c.of = append(c.kept, c.runs[k]), append(c.of, c.part[k])
			series = append(series, make([]float64, len(blocks)))
		}
	}
	counts := make([]float64, len(c.kept))
	for b, block := range blocks {
		sum, i := 0.0, 0
		for k, v := range block {
			if c.has[k] {
				series[i][b] = v / c.gain[k]
				sum += series[i][b]
				counts[i] += v
				i++
			}
		}
		for i := range series {
			series[i][b] *= float64(len(series)) / math.Max(sum, 1e-300)
		}
	}
	n, squares, spread, chance := float64(len(blocks)), 0.0, 0.0, 0.0
	for i, s := range series {
		m, v := stat.MeanVariance(s, nil)
		c.x, c.own = append(c.x, m), append(c.own, math.Sqrt(v/n))
		squares += v / n
		spread += v
		if counts[i] > 0 {
			chance += m * m / (counts[i] / n)
		}
	}
	k := float64(len(series))
	c.noise = meanSquare{squares / k, (k - 1) * (n - 1)}
	if chance > 0 {
		c.dispersion = spread / chance
	}
}

// gainError is the variance that the gains' errors put between runs.
func (c *counted) gainError() meanSquare {
	sum := 0.0
	for i, p := range c.of {
		sum += sq(p * c.x[i])
	}
	m := meanSquare{sum / float64(len(c.of)), math.Inf(1)}
	if c.df > 0 {
		m.df = c.df
	}
	return m
}

// together is the sum of two independent mean squares (Satterthwaite 1946).
func together(a, b meanSquare) meanSquare {
	sum := a.value + b.value
	if sum == 0 {
		return meanSquare{0, math.Inf(1)}
	}
	return meanSquare{sum, sq(sum) / (sq(a.value)/a.df + sq(b.value)/b.df)}
}

// fill puts the figures into the document.
func (pf *ProductField) fill(c counted, d *drill.Drill, of int, scales Scales) {
	grand, s2 := stat.MeanVariance(c.x, nil)
	errors := c.gainError()
	v, low, high := difference(meanSquare{s2, float64(len(c.x) - 1)}, together(c.noise, errors), tail)
	cv := asCV(v, low, high, grand).rounded()
	pf.CV = &cv
	pf.Parts = &FieldParts{
		Seen: cvEstimate(c.x).rounded(), Floor: digits(math.Sqrt(c.noise.value) / grand), Dispersion: digits(c.dispersion),
		Gain: digits(math.Sqrt(errors.value) / grand), Runs: len(c.x), Of: of,
	}
	index := map[drill.RunID]int{}
	for i := range pf.Runs {
		index[pf.Runs[i].Run] = i
	}
	times := distuv.UnitNormal.Quantile(1 - tail)
	if c.df > 0 {
		times = distuv.StudentsT{Nu: c.df, Sigma: 1}.Quantile(1 - tail)
	}
	head, used := make([]drill.HeadID, len(c.x)), make([]bool, len(c.x))
	for i, r := range c.kept {
		head[i], used[i] = r.Head, true
		x, se := c.x[i]/grand, math.Hypot(c.own[i], c.of[i]*c.x[i])/grand
		pf.Runs[index[r.ID]].Deviation = &Estimate{digits(x - 1), finite(x - 1 - times*se), finite(x - 1 + times*se)}
	}
	odd := outOfLine(c.x, head, mostOdd(len(c.x)))
	for _, o := range odd {
		used[o.i] = false
	}
	pf.OutOfLine = oddRuns(c.x, c.kept, odd, used, "is taken to have sown")
	division := divide(c.x, c.kept, used, headOrder(d))
	pf.Division = &division
	pf.Tilts = tilts(c.x, c.kept, used, d, grand)
	pf.Bands = scales.Bands(cv.Value, pf.Material)
}

func (pf *ProductField) sayField() {
	add := func(format string, args ...any) { pf.Says = append(pf.Says, fmt.Sprintf(format, args...)) }
	if pf.CV == nil {
		add("No CV across runs. %s", pf.WhyNo)
	} else {
		p := pf.Parts
		add("CV between %d of %d runs over %.0f minutes of steady work: %s.", p.Runs, p.Of, pf.SteadyS/60, pf.CV.Percent())
		add("Seen in counts over gains %.2f %%; of that chance in the counts %.2f %% (%.2f times as spread as particles that come independently), error of the gains %.2f %%.", 100*p.Seen.Value, 100*p.Floor, p.Dispersion, 100*p.Gain)
	}
	for _, o := range pf.OutOfLine {
		add("%s.", o.Words)
	}
	for _, v := range pf.Void {
		add("%s: %s.", v.Run, v.Why)
	}
	if pf.FaultS > 0 {
		add("%.0f minutes of work in which something was wrong are left out.", math.Ceil(pf.FaultS/60))
	}
	if pf.Changed == 0 {
		add("No run's part of its head changed by a tenth or more from the first third of the work to the last.")
	}
	for _, r := range pf.Runs {
		if r.ChangedForSure() {
			add("%s: its part of its head changed by %s from the first third of the work to the last (95 %%: %s to %s).", r.Run, signed(r.Change.Value), signed(*r.Change.Low), signed(*r.Change.High))
		}
	}
}
