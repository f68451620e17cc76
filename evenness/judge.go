package evenness

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"runproof/drill"
	"runproof/input"
)

// Options is what a catch test may be judged with. The zero Options name no
// scale and judge no rate.
type Options struct {
	Day           string // year-month-day; "" = not said
	Scales        Scales
	SafeRates     SafeRates
	OpenerSpreadM float64 // over which the opener spreads seed and fertiliser together, m; 0 = not said
}

// Judge says what the bags tell of the drill. The error is an input.Fault
// without a place: nothing of a product can be judged.
func Judge(d *drill.Drill, bags Bags, opt Options) (*Catch, error) {
	c := &Catch{Runproof: CatchVersion, Drill: d.Name, Day: opt.Day, Siblings: Siblings(d, opt.SafeRates, opt.OpenerSpreadM)}
	for _, p := range d.Products {
		g, remarks := gridOf(d, bags, p.ID)
		if len(g.runs) == 0 {
			continue
		}
		pc := &ProductCatch{Product: p.ID, Material: p.Material, TKWG: p.TKWG, Remarks: remarks}
		if err := pc.judge(d, g, opt.Scales); err != nil {
			return nil, err
		}
		c.Products = append(c.Products, *pc)
	}
	if len(c.Products) == 0 {
		return nil, input.Fault{What: "no bag is of an open run", Remedy: "weigh the bags of runs that are not closed"}
	}
	return c, nil
}

// gridOf sorts the bags of a product's open runs.
func gridOf(d *drill.Drill, bags Bags, p drill.ProductID) (*grid, []string) {
	mass := map[Bag]float64{}
	seen, repeats := map[drill.RunID]bool{}, map[int]bool{}
	for _, b := range bags.Bags {
		mass[Bag{Run: b.Run, Repeat: b.Repeat}] = b.Grams
		seen[b.Run] = true
	}
	g := &grid{}
	remarks := []string{}
	for _, r := range d.Runs() {
		switch {
		case r.Product != p || !seen[r.ID]:
		case r.Closed:
			remarks = append(remarks, closedRemark(r, bags))
		default:
			g.runs = append(g.runs, r)
			for _, b := range bags.Bags {
				if b.Run == r.ID {
					repeats[b.Repeat] = true
				}
			}
		}
	}
	for n := range repeats {
		g.repeats = append(g.repeats, n)
	}
	slices.Sort(g.repeats)
	for _, r := range g.runs {
		row := make([]float64, len(g.repeats))
		for k, n := range g.repeats {
			v, ok := mass[Bag{Run: r.ID, Repeat: n}]
			if !ok {
				v = math.NaN()
			}
			row[k] = v
		}
		g.g = append(g.g, row)
	}
	return g, remarks
}

func closedRemark(r drill.Run, bags Bags) string {
	sum := 0.0
	for _, b := range bags.Bags {
		if b.Run == r.ID {
			sum += b.Grams
		}
	}
	if sum > 0 {
		return fmt.Sprintf("%s is closed in the drill's description, and gave %.4g g: it is not shut, or the description is wrong; it is left out", r.ID, sum)
	}
	return fmt.Sprintf("%s is closed and gave nothing, as it should; it is left out", r.ID)
}

// judge fills in everything that follows from the masses.
func (pc *ProductCatch) judge(d *drill.Drill, g *grid, scales Scales) error {
	if len(g.runs) < 2 {
		return input.Fault{What: fmt.Sprintf("of %s only run %s has a bag", pc.Product, g.runs[0].ID), Remedy: "evenness is between runs: hang bags on all of them"}
	}
	if !g.connected() {
		return input.Fault{What: fmt.Sprintf("bags of %s fall into groups that were never filled together", pc.Product), Remedy: "fill the bags of all runs at the same time; one head after the other shows no difference between heads"}
	}
	f, ok := g.factors()
	if !ok {
		return input.Fault{What: fmt.Sprintf("a repeat of %s has no mass in any bag", pc.Product), Remedy: "leave that repeat out of the file"}
	}
	level := g.level(f)
	a := analyse(level)
	pc.describe(d, g, f, a)
	pc.MeanG, pc.CV = digits(a.grand), cvEstimate(a.mean).rounded()
	head, used := make([]drill.HeadID, len(g.runs)), make([]bool, len(g.runs))
	for i, r := range g.runs {
		head[i], used[i] = r.Head, true
	}
	odd := outOfLine(a.mean, head, mostOdd(len(g.runs)))
	for _, o := range odd {
		used[o.i] = false
	}
	pc.OutOfLine = oddRuns(a.mean, g.runs, odd, used, "gave")
	pc.InLine = pc.CV
	if rest := cvEstimate(where(a.mean, func(i int) bool { return used[i] })); !math.IsNaN(rest.Value) {
		pc.InLine = rest.rounded()
	}
	pc.Division = divide(a.mean, g.runs, used, headOrder(d))
	pc.Parts = pc.parts(a)
	pc.Tilts = tilts(a.mean, g.runs, used, d, a.grand)
	pc.Outlets = outletPlaces(a.mean, g.runs, used, d)
	pc.Hose = hoseEffect(a.mean, g.runs, used, d, a.grand)
	pc.Bands = scales.Bands(pc.CV.Value, pc.Material)
	pc.remark(level, a)
	pc.say()
	return nil
}

// headOrder is the heads as the drill describes them.
func headOrder(d *drill.Drill) []drill.HeadID {
	ids := make([]drill.HeadID, len(d.Heads))
	for i, h := range d.Heads {
		ids[i] = h.ID
	}
	return ids
}

// describe lists repeats, runs and what is missing.
func (pc *ProductCatch) describe(d *drill.Drill, g *grid, f []float64, a anova) {
	for r, n := range g.repeats {
		rep := Repeat{Repeat: n, Factor: digits(f[r])}
		for i, row := range g.g {
			if math.IsNaN(row[r]) {
				pc.Missing = append(pc.Missing, Bag{Run: g.runs[i].ID, Repeat: n})
				continue
			}
			rep.Bags++
			rep.TotalG += row[r]
		}
		rep.TotalG = digits(rep.TotalG)
		pc.Repeats = append(pc.Repeats, rep)
	}
	weighed := map[drill.RunID]bool{}
	for i, r := range g.runs {
		weighed[r.ID] = true
		pc.Runs = append(pc.Runs, pc.runOf(r, g.g[i], i, a))
	}
	for _, r := range d.Runs() {
		if r.Product == pc.Product && !r.Closed && !weighed[r.ID] {
			for _, n := range g.repeats {
				pc.Missing = append(pc.Missing, Bag{Run: r.ID, Repeat: n})
			}
		}
	}
}

func (pc *ProductCatch) runOf(r drill.Run, row []float64, i int, a anova) RunCatch {
	rc := RunCatch{Run: r.ID, Head: r.Head, Outlet: r.Outlet, Row: r.Row, Deviation: digits(a.mean[i]/a.grand - 1)}
	sum := 0.0
	for _, v := range row {
		rc.Grams = append(rc.Grams, finite(v))
		if !math.IsNaN(v) {
			sum += v
		}
	}
	if pc.TKWG > 0 {
		rc.Particles = finite(sum / (pc.TKWG / 1000))
	}
	rc.MeanG.Value = digits(a.mean[i])
	half := math.NaN()
	switch {
	case a.within.df > 0:
		half = distuv.StudentsT{Nu: a.within.df, Sigma: 1}.Quantile(1-tail) * math.Sqrt(a.within.value/float64(a.bags[i]))
	case rc.Particles != nil && *rc.Particles > 0: // one repeat: chance alone, as a least width
		half = distuv.UnitNormal.Quantile(1-tail) * a.mean[i] / math.Sqrt(*rc.Particles)
	}
	rc.MeanG.Low, rc.MeanG.High = finite(math.Max(0, a.mean[i]-half)), finite(a.mean[i]+half)
	return rc
}

// oddRuns puts the runs out of line into words. did is what a run did: "gave".
func oddRuns(x []float64, runs []drill.Run, odd []oddOne, used []bool, did string) []Odd {
	out := []Odd{}
	for _, o := range odd {
		h := runs[o.i].Head
		others := where(x, func(i int) bool { return runs[i].Head == h && used[i] })
		if len(others) == 0 || meanOf(others) == 0 {
			others = x
		}
		dev := x[o.i]/meanOf(others) - 1
		side := "more"
		if dev < 0 {
			side = "less"
		}
		out = append(out, Odd{
			Run: runs[o.i].ID, Deviation: digits(dev), P: digits(o.p),
			Words: fmt.Sprintf("%s %s %.1f %% %s than the others of head %s (chance of any of %d runs so far out: %s)", runs[o.i].ID, did, 100*math.Abs(dev), side, h, len(runs), chance(o.p)),
		})
	}
	return out
}

func meanOf(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

// parts says what the CV is made of.
func (pc *ProductCatch) parts(a anova) Parts {
	p := Parts{How: "nothing", BagsPerRun: digits(a.perRun)}
	floor := math.NaN()
	if pc.TKWG > 0 {
		bag := Floor(a.grand / (pc.TKWG / 1000))
		floor = bag / math.Sqrt(a.perRun)
		p.FloorBag, p.FloorMean = finite(bag), finite(floor)
	}
	switch {
	case a.within.df > 0:
		p.How, p.RepeatDF = "repeats", int(a.within.df)
		v, l, h := difference(a.between, a.ofMean(), tail)
		e := asCV(v, l, h, a.grand).rounded()
		low, high := sdFactors(a.within.df, tail)
		r := math.Sqrt(a.within.value) / a.grand
		p.Between, p.Repeat = &e, &Estimate{digits(r), finite(r * low), finite(r * high)}
		if t, ok := fTest(a.between.value*a.perRun, int(a.between.df), a.within.value, int(a.within.df)); ok {
			p.RunsDiffer = &t
		}
	case p.FloorMean != nil:
		p.How = "counting floor"
		cv := cvEstimate(a.mean)
		e := Estimate{Value: digits(root(sq(cv.Value) - sq(floor)))}
		if cv.Low != nil {
			e.Low = finite(root(sq(*cv.Low) - sq(floor)))
		}
		if cv.High != nil {
			e.High = finite(root(sq(*cv.High) - sq(floor)))
		}
		p.Between = &e
	}
	if h, w := pc.Division.HeadsCV, pc.Division.WithinCV; h != nil && w != nil {
		p.TwoDivision = finite(TwoDivisions(*h, *w))
	}
	return p
}

// chance writes a probability.
func chance(p float64) string {
	switch {
	case p < 0.0001:
		return "under 0.0001"
	case p < 0.01:
		return fmt.Sprintf("%.4f", p)
	}
	return fmt.Sprintf("%.2f", p)
}
