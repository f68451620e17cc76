package evenness

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"runproof/drill"
)

// oddBag is the family-wise chance under which a single bag is remarked on.
const oddBag = 0.01

// remark finds what is wrong with bags and runs.
func (pc *ProductCatch) remark(level *grid, a anova) {
	say := func(format string, args ...any) { pc.Remarks = append(pc.Remarks, fmt.Sprintf(format, args...)) }
	if n := len(pc.Missing); n > 0 {
		say("%d of %d bags were not weighed: %s", n, n+bagsOf(pc), listBags(pc.Missing))
	}
	for i, r := range level.runs {
		zeros := 0
		for _, v := range level.g[i] {
			if v == 0 {
				zeros++
			}
		}
		switch {
		case zeros > 0 && zeros == a.bags[i]:
			say("%s gave nothing in any repeat: blocked, or its bag was not on", r.ID)
		case zeros > 0:
			say("%s gave nothing in %d of %d repeats: a bag that was not on, or a run that plugs at times; weigh that again", r.ID, zeros, a.bags[i])
		}
	}
	for _, b := range oddBags(level.steadied(), a) {
		id, mass := level.runs[b.run].ID, *pc.Runs[b.run].Grams[b.repeat]
		if b.pair {
			say("%s: its two bags do not agree (repeat %d: %.4g g, where the other lets %.4g g be expected); weigh both again, or look for a mix-up of bags", id, level.repeats[b.repeat], mass, b.others)
			continue
		}
		say("%s, repeat %d: %.4g g does not go with that run's other bags (about %.4g g); weigh again, or look for a mix-up of bags", id, level.repeats[b.repeat], mass, b.others)
	}
}

func bagsOf(pc *ProductCatch) int {
	n := 0
	for _, r := range pc.Repeats {
		n += r.Bags
	}
	return n
}

// listBags names bags, a dozen at most.
func listBags(bags []Bag) string {
	const most = 12
	var w []string
	for i, b := range bags {
		if i == most {
			w = append(w, fmt.Sprintf("and %d more", len(bags)-most))
			break
		}
		w = append(w, fmt.Sprintf("%s repeat %d", b.Run, b.Repeat))
	}
	return strings.Join(w, ", ")
}

// bagAt is a bag that does not go with its run's others.
type bagAt struct {
	run, repeat int
	others      float64 // mean of the run's other bags
	pair        bool    // it has one other bag: either may be the odd one
}

// oddBags finds bags far from their run's others, by the deleted residual over
// all bags (Bonferroni), one after the other like outOfLine; zeros are remarked
// on by themselves.
func oddBags(level *grid, a anova) []bagAt {
	var out []bagAt
	gone := map[[2]int]bool{}
	total := 0
	for i := range level.g {
		total += a.bags[i]
	}
	for range total / 8 {
		b, p := farthestBag(level, gone)
		if p > oddBag {
			break
		}
		gone[[2]int{b.run, b.repeat}] = true
		if level.g[b.run][b.repeat] != 0 {
			out = append(out, b)
		}
	}
	return out
}

func farthestBag(level *grid, gone map[[2]int]bool) (worst bagAt, p float64) {
	mean, n := make([]float64, len(level.g)), make([]float64, len(level.g))
	in := func(i, r int) bool { return !math.IsNaN(level.g[i][r]) && !gone[[2]int{i, r}] }
	left, rss, groups := 0, 0.0, 0
	for i, row := range level.g {
		for r, v := range row {
			if in(i, r) {
				mean[i] += v
				n[i]++
				left++
			}
		}
		if n[i] > 0 {
			mean[i] /= n[i]
			groups++
		}
		for r, v := range row {
			if in(i, r) {
				rss += sq(v - mean[i])
			}
		}
	}
	df := left - groups - (len(level.repeats) - 1) - 1
	if df < 1 {
		return worst, 1
	}
	most := 0.0
	for i, row := range level.g {
		for r, v := range row {
			if !in(i, r) || n[i] < 2 {
				continue
			}
			e, lever := v-mean[i], 1-1/n[i]
			t := math.Abs(e) / math.Sqrt(lever*math.Max(rss-sq(e)/lever, 1e-12*rss)/float64(df))
			if t > most {
				most, worst = t, bagAt{i, r, (mean[i]*n[i] - v) / (n[i] - 1), n[i] == 2}
			}
		}
	}
	return worst, math.Min(1, float64(left)*2*distuv.StudentsT{Nu: float64(df), Sigma: 1}.Survival(most))
}

// say puts the findings into sentences.
func (pc *ProductCatch) say() {
	pc.Says = []string{}
	add := func(format string, args ...any) { pc.Says = append(pc.Says, fmt.Sprintf(format, args...)) }
	add("CV of %d runs over %s: %s.", len(pc.Runs), plural(len(pc.Repeats), "repeat"), pc.CV.Percent())
	pc.sayParts(add)
	for _, o := range pc.OutOfLine {
		add("%s.", o.Words)
	}
	if len(pc.OutOfLine) > 0 {
		add("Without %s the CV is %s.", itOrThose(len(pc.OutOfLine)), pc.InLine.Percent())
	}
	pc.sayPatterns(add)
}

func (pc *ProductCatch) sayParts(add func(string, ...any)) {
	p := pc.Parts
	switch p.How {
	case "repeats":
		add("Between runs, repeat scatter taken off: %s. One bag scatters by %s from repeat to repeat.", p.Between.Percent(), p.Repeat.Percent())
		if p.RunsDiffer != nil && p.RunsDiffer.P > significant {
			add("The runs differ no more than their own bags do (F %.2f, chance %s): the figure is repeat scatter, not unevenness.", p.RunsDiffer.Statistic, chance(p.RunsDiffer.P))
		}
		if p.FloorBag != nil && *p.FloorBag > p.Repeat.Value/2 {
			add("Chance alone makes %.1f %% of one bag's scatter: so few particles were caught. Catch longer for a sharper figure.", 100**p.FloorBag)
		}
	case "counting floor":
		add("One repeat: what weighing and the repeat itself scatter is in the figure. With the counting floor of %.2f %% taken off: %s. Three repeats tell them apart.", 100**p.FloorMean, p.Between.Percent())
	default:
		add("One repeat: what weighing and the repeat itself scatter is in the figure. Three repeats tell them apart.")
	}
}

func itOrThose(n int) string {
	if n == 1 {
		return "it"
	}
	return fmt.Sprintf("those %d runs", n)
}

// sayPatterns tells the patterns that are certain.
func (pc *ProductCatch) sayPatterns(add func(string, ...any)) {
	if d := pc.Division; d.Test != nil && d.Test.P <= patternLevel {
		low, high := extremes(d.Heads)
		add("Heads differ: %s has %s, %s has %s of the mean (F %.1f, chance %s).", high.Head, signed(high.Deviation), low.Head, signed(low.Deviation), d.Test.Statistic, chance(d.Test.P))
	}
	for _, t := range pc.Tilts {
		who := "All heads together"
		if t.Head != "" {
			who = "Head " + string(t.Head)
		}
		if t.Sure {
			add("%s: outlets on one side get up to %.1f %% more, those opposite less; most at %s (F %.1f, chance %s).", who, 100*t.Amplitude, t.place(), t.Test.Statistic, chance(t.Test.P))
		}
	}
	for _, o := range pc.Outlets {
		if o.Test != nil && o.Test.P <= patternLevel {
			add("Outlet numbers differ the same way on %d heads of %d outlets (F %.1f, chance %s).", o.Heads, o.Of, o.Test.Statistic, chance(o.Test.P))
		}
	}
	if h := pc.Hose; h != nil && h.P <= patternLevel {
		add("Runs change by %s with each metre of reach, %s from the nearest opener to the farthest (chance %s).", signed(h.PerM.Value), signed(h.OverSpan), chance(h.P))
	}
}

func extremes(heads []HeadMean) (low, high HeadMean) {
	low, high = heads[0], heads[0]
	for _, h := range heads {
		if h.Deviation < low.Deviation {
			low = h
		}
		if h.Deviation > high.Deviation {
			high = h
		}
	}
	return low, high
}

// place is where the high side is.
func (t Tilt) place() string {
	if t.Toward == 0 {
		return fmt.Sprintf("%.0f degrees from outlet 1", t.TowardDeg)
	}
	return fmt.Sprintf("outlet %.1f", t.Toward)
}

// Percent writes a part of the mean as percent, with its interval.
func (e Estimate) Percent() string {
	s := fmt.Sprintf("%.2f %%", 100*e.Value)
	switch {
	case e.Low != nil && e.High != nil:
		s += fmt.Sprintf(" (95 %%: %.2f to %.2f)", 100**e.Low, 100**e.High)
	case e.Low != nil:
		s += fmt.Sprintf(" (95 %%: %.2f or more)", 100**e.Low)
	}
	return s
}

func signed(part float64) string { return fmt.Sprintf("%+.1f %%", 100*part) }

func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// runIDs lists ids in a sentence, a dozen at most.
func runIDs(ids []drill.RunID) string {
	const most = 12
	var w []string
	for i, id := range ids {
		if i == most {
			w = append(w, fmt.Sprintf("and %d more", len(ids)-most))
			break
		}
		w = append(w, string(id))
	}
	return strings.Join(w, ", ")
}
