package evenness

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat"

	"runproof/drill"
)

// drawn is a catch test drawn at random: run effects and bag scatter normal, as
// parts of the mean, and repeats of unlike length.
func drawn(rng *rand.Rand, runs, repeats int, between, within float64) *grid {
	g := &grid{runs: make([]drill.Run, runs), repeats: make([]int, repeats)}
	length := make([]float64, repeats)
	for r := range length {
		length[r] = 0.8 + 0.4*rng.Float64()
	}
	for range runs {
		b := between * rng.NormFloat64()
		row := make([]float64, repeats)
		for r := range row {
			row[r] = 150 * length[r] * (1 + b + within*rng.NormFloat64())
		}
		g.g = append(g.g, row)
	}
	return g
}

// within bounds of a share of n trials of chance p: 99.9 % of Binomial(n, p), by
// its normal approximation, p +- 3.29 sqrt(p (1-p)/n).
func inBinomial(t *testing.T, what string, hits, n int, p float64) {
	t.Helper()
	if half := 3.29 * math.Sqrt(p*(1-p)/float64(n)); math.Abs(float64(hits)/float64(n)-p) > half {
		t.Errorf("%s: %d of %d, want %.3f +- %.3f", what, hits, n, p, half)
	} else {
		t.Logf("%s: %.4f", what, float64(hits)/float64(n))
	}
}

// The plain CV's interval is exact for normal values: it holds the true CV in
// 95 % of samples.
func TestCVIntervalCovers(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 7))
	const trials = 1500
	for _, cv := range []float64{0.05, 0.2} {
		hits := 0
		for range trials {
			x := make([]float64, 12)
			for i := range x {
				x[i] = 1 + cv*rng.NormFloat64()
			}
			if low, high := CVInterval(CV(x), len(x), tail); low <= cv && cv <= high {
				hits++
			}
		}
		inBinomial(t, "covered", hits, trials, 0.95)
	}
}

// The interval between runs is the modified large-sample one: near 95 % in
// theory wherever the between part is not hidden in the scatter, never below by
// more than a percent (Burdick and Graybill 1992, section 3.3, find 0.945 to
// 0.976 for nominal 0.95). So coverage must lie over 0.945 and under 0.98, each
// with 3.29 standard errors of 4000 trials, 0.0119 and 0.0073.
func TestBetweenIntervalCovers(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 7))
	const trials = 4000
	for _, c := range []struct {
		runs, repeats   int
		between, within float64
	}{{12, 3, 0.05, 0.03}, {12, 3, 0.03, 0.05}, {36, 3, 0.06, 0.03}, {24, 2, 0.05, 0.05}, {6, 5, 0.08, 0.02}} {
		hits := 0
		for range trials {
			a, ok := analysed(drawn(rng, c.runs, c.repeats, c.between, c.within))
			_, low, high := difference(a.between, a.ofMean(), tail)
			truth := sq(c.between * 150)
			if scale := sq(a.grand / 150); ok && low/scale <= truth && truth <= high/scale {
				hits++
			}
		}
		share := float64(hits) / trials
		t.Logf("%+v: %.4f", c, share)
		if share < 0.945-0.0119 || share > 0.98+0.0073 {
			t.Errorf("%+v: the interval holds the truth in %.4f of the tests", c, share)
		}
	}
}

func analysed(g *grid) (anova, bool) {
	f, ok := g.factors()
	return analyse(g.level(f)), ok
}

// Where all runs are alike, neither a run nor a head nor a tilt is called out
// more often than said. Rosner's chance is Bonferroni's: at most 5 % and nearly
// so; the F tests are exact. 2000 tests: 99.9 % of Binomial(2000, 0.05) is 0.05
// +- 0.016; the lower bound of the first is 0.04 - 0.0144 (Bonferroni and
// several steps, Rosner 1983 finds 0.045 to 0.055 for n over 25).
func TestNothingIsFoundWhereNothingIs(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 7))
	const trials = 2000
	d, runs, used := threeHeads(12)
	odd, heads, tilt := 0, 0, 0
	for range trials {
		x := make([]float64, len(runs))
		head := make([]drill.HeadID, len(runs))
		for i := range x {
			x[i], head[i] = 100+4*rng.NormFloat64(), runs[i].Head
		}
		if len(outOfLine(x, head, mostOdd(len(x)))) > 0 {
			odd++
		}
		if divide(x, runs, used, headOrder(d)).Test.P <= 0.05 {
			heads++
		}
		if all := tilts(x, runs, used, d, 100); all[3].Test.P <= 0.05 {
			tilt++
		}
	}
	inBinomial(t, "heads", heads, trials, 0.05)
	inBinomial(t, "tilt", tilt, trials, 0.05)
	if share := float64(odd) / trials; share > 0.055+0.0168 || share < 0.04-0.0144 {
		t.Errorf("a run is called out of line in %.4f of the tests", share)
	}
}

func threeHeads(n int) (*drill.Drill, []drill.Run, []bool) {
	d := &drill.Drill{Rows: drill.Rows{Count: 3 * n, SpacingM: 0.25}}
	var runs []drill.Run
	for h := range 3 {
		head := drill.Head{ID: drill.HeadID(rune('A' + h))}
		for o := range n {
			head.Rows = append(head.Rows, h*n+o+1)
			runs = append(runs, drill.Run{ID: drill.NewRunID(head.ID, o+1), Head: head.ID, Outlet: o + 1, Row: h*n + o + 1})
		}
		d.Heads = append(d.Heads, head)
	}
	used := make([]bool, len(runs))
	for i := range used {
		used[i] = true
	}
	return d, runs, used
}

// The F test of a tilt agrees with dealing the values to the outlets at random,
// which asks nothing of their law. Each set of values has its own law of deals,
// but over many heads of normal values the two chances are alike on average:
// their mean difference lies within 3.5 of its own standard errors of 0.
func TestTiltAgainstPermutation(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 7))
	const deals, heads = 1000, 60
	d, runs, used := threeHeads(12)
	var diff, byF []float64
	for range heads {
		x := make([]float64, len(runs))
		for i := range x {
			x[i] = 1 + 0.02*math.Cos(2*math.Pi*float64(i)/12) + 0.04*rng.NormFloat64()
		}
		s := spokes(x, runs, used, d.Heads[0], 1)
		got, ok := harmonic(centred(s), 1)
		if !ok {
			t.Fatal("no harmonic")
		}
		as := 1
		for range deals {
			rng.Shuffle(len(s), func(i, j int) { s[i].value, s[j].value = s[j].value, s[i].value })
			if h, ok := harmonic(centred(s), 1); ok && h.Amplitude >= got.Amplitude {
				as++
			}
		}
		diff, byF = append(diff, float64(as)/(deals+1)-got.Test.P), append(byF, got.Test.P)
	}
	mean, sd := stat.MeanStdDev(diff, nil)
	t.Logf("mean difference %.4f, sd %.4f; chances by F from %.3f to %.3f", mean, sd, slices.Min(byF), slices.Max(byF))
	if math.Abs(mean) > 3.5*sd/math.Sqrt(heads)+1.0/deals || sd > 0.1 {
		t.Errorf("F and deals differ by %.4f on average, sd %.4f", mean, sd)
	}
}

// Two blocked runs of one head do not hide each other, and a whole weak head is
// no set of odd runs.
func TestTwoBlockedRuns(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 7))
	_, runs, _ := threeHeads(12)
	x, head := make([]float64, len(runs)), make([]drill.HeadID, len(runs))
	for i := range x {
		head[i] = runs[i].Head
		x[i] = 100 + 4*rng.NormFloat64()
		if head[i] == "B" {
			x[i] -= 30
		}
	}
	x[2], x[7] = 0, 3
	odd := outOfLine(x, head, mostOdd(len(x)))
	if len(odd) != 2 || odd[0].i+odd[1].i != 9 || odd[0].p > 1e-6 {
		t.Errorf("%+v", odd)
	}
}
