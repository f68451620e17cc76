package counts

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestRunLengthExact(t *testing.T) {
	for _, c := range references(t, "run.mean") {
		c.check(t, "mean", MeanRunLength(c.in("q"), c.inInt("d")), c.want("decimal"))
	}
	for _, c := range references(t, "run.var") {
		c.check(t, "variance", Independent(c.in("q")).RunLength(c.inInt("d")).Variance(), c.want("decimal"))
	}
	for _, c := range references(t, "run.delay") {
		c.check(t, "delay", MeanRunLength(c.in("q1"), c.inInt("d")), c.want("decimal"))
	}
	for _, c := range references(t, "run.cdf") {
		r, n := Independent(c.in("q")).RunLength(c.inInt("d")), c.inInt("n")
		c.check(t, "CDF", r.CDF(n), number(c.Expected))
		near(t, c.ID+" survival", r.Survival(n), 1-number(c.Expected), 1e-10)
	}
	for _, c := range references(t, "run.tail") {
		r, n := Independent(c.in("q")).RunLength(c.inInt("d")), c.inInt("n")
		root, factor := r.Tail()
		c.check(t, "root", root, c.want("x"))
		c.check(t, "factor", factor, c.want("b"))
		c.check(t, "tail", factor*math.Pow(root, -float64(n+1)), c.want("approx"))
		c.check(t, "survival", r.Survival(n), c.want("exact"))
	}
	for _, c := range references(t, "run.budget") {
		samples := c.in("runs") * c.in("hours") * 3600 / c.in("interval_s")
		c.check(t, "largest q", LargestQ(c.in("N")/samples, c.inInt("d")), number(c.Expected))
	}
}

func TestRunLengthOfClingingLows(t *testing.T) {
	for _, c := range references(t, "run.markov") {
		r := Lows{c.in("a"), c.in("b")}.RunLength(c.inInt("d"))
		c.check(t, "mean", r.Mean(), c.want("mean_decimal"))
		c.check(t, "onset rate", r.OnsetRate(), c.want("onset_rate"))
	}
}

// TestFeller: with p = 1/2 and a trial a second, runs of 5, 10, 15, 20 take
// about 1 minute, 34 minutes, 18 hours, 24 days (Feller 1968, from memory).
func TestFeller(t *testing.T) {
	for d, want := range map[int]float64{5: 62, 10: 2046, 15: 65534, 20: 2097150} {
		near(t, fmt.Sprint("runs of ", d), MeanRunLength(0.5, d), want, 1e-15)
	}
}

func TestRunLengthLimits(t *testing.T) {
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"always low: the d-th sample", MeanRunLength(1, 7), 7},
		{"always low: no spread", Independent(1).RunLength(7).Variance(), 0},
		{"never low", MeanRunLength(0, 3), math.Inf(1)},
		{"never low: no onset", Lows{}.RunLength(3).OnsetRate(), 0},
		{"never two in a row", Lows{0.1, 0}.RunLength(2).Mean(), math.Inf(1)},
		{"before d nothing", Independent(0.5).RunLength(3).CDF(2), 0},
		{"a budget nobody can spend", LargestQ(0.3, 2), 1},
		{"cold start, too short", Independent(0.5).RunLength(3).ExpectedOnsets(2), 0},
		{"cold start", Independent(0.5).RunLength(3).ExpectedOnsets(10), 1./8 + 7./16},
		{"clinging lows: correlation", Lows{0.1, 0.5}.Correlation(), 0.4},
	} {
		near(t, c.name, c.got, c.want, 1e-15)
	}
}

// TestRunLengthLaw: the parts of one law agree, also for clinging lows.
func TestRunLengthLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Lows{rapid.Float64Range(0.05, 0.95).Draw(t, "a"), rapid.Float64Range(0.05, 0.95).Draw(t, "b")}
		r := l.RunLength(rapid.IntRange(1, 4).Draw(t, "d"))
		n := rapid.IntRange(0, 60).Draw(t, "n")
		var sum float64
		for k := range n + 1 {
			sum += r.Prob(k)
		}
		if math.Abs(sum-r.CDF(n)) > 1e-12 || math.Abs(sum+r.Survival(n)-1) > 1e-12 {
			t.Fatalf("sum %g, CDF %g, survival %g", sum, r.CDF(n), r.Survival(n))
		}
		// E N is the sum of the survival function; past 400 samples the tail
		// formula is exact to rounding and adds up as a geometric series.
		root, factor := r.Tail()
		mean := factor * math.Pow(root, -401) / (1 - 1/root)
		for k := range 400 {
			mean += r.Survival(k)
		}
		if math.Abs(mean/r.Mean()-1) > 1e-6 {
			t.Fatalf("mean by survival %g, closed form %g", mean, r.Mean())
		}
	})
}

// TestThresholds: section 1.7, exact thresholds in rationals.
func TestThresholds(t *testing.T) {
	for _, c := range []struct {
		limit float64
		want  int
	}{
		{2. / 5 * (1. / 12) * 240, 7},
		{3. / 10 * (1. / 10) * 100, 2},
		{7. / 10 * (1. / 10) * 300, 20},
		{0.1 * 300 * 0.7, 20},
		{21.000000000000004, 20},
		{3. / 5 * (1. / 12) * 240, 11},
		{1. / 10 * (1. / 3) * 90, 2},
		{7.5, 7},
		{0.001, 0},
		{0, -1},
		{-3.2, -1},
	} {
		if got := LargestBelow(c.limit); got != c.want {
			t.Errorf("LargestBelow(%.17g) = %d, want %d", c.limit, got, c.want)
		}
	}
}

func TestLowAgainstTheHeadTotal(t *testing.T) {
	for _, c := range references(t, "rule.binom") {
		runs, floor := c.in("runs_on_head"), c.in("floor")
		total := Poisson{runs * c.in("mu")}
		q := func(n int) float64 {
			return Binomial{n, 1 / runs}.CDF(LargestBelow(floor * float64(n) / runs))
		}
		n := int(total.Mu)
		if got := LargestBelow(floor * total.Mu / runs); got != int(c.want("largest_low_at_n")) {
			t.Errorf("%s: largest low %d", c.ID, got)
		}
		c.check(t, "q given n", q(n), c.want("q_given_n"))
		var averaged float64
		for k := 0; k < 3*n; k++ {
			averaged += Prob(total, k) * q(k)
		}
		c.check(t, "q averaged", averaged, c.want("q_averaged"))
	}
}

// TestTuneTable: section 1.6, from law to metres.
func TestTuneTable(t *testing.T) {
	for _, c := range references(t, "tune.") {
		law := func(mean float64) Law {
			if f := c.in("fano"); f > 1 {
				return NegativeBinomial{mean, mean / (f - 1)}
			}
			return Poisson{mean}
		}
		mu := c.in("mu_per_sample")
		low := LargestBelow(c.in("floor") * mu)
		samples := c.in("runs") * c.in("hours") * 3600 / c.in("interval_s")
		q := law(mu).CDF(low)
		d := 1
		for samples*Independent(q).RunLength(d).OnsetRate() > 1 {
			d++
		}
		c.check(t, "q", q, c.want("q"))
		c.check(t, "d", float64(d), c.want("d"))
		c.check(t, "false alarms", samples*Independent(q).RunLength(d).OnsetRate(), c.want("false_per_10h"))
		metres := c.in("interval_s") * c.in("speed_mps")
		c.check(t, "blocked", metres*MeanRunLength(law(0.03*mu).CDF(low), d), c.want("metres_blocked"))
		c.check(t, "half", metres*MeanRunLength(law(0.5*mu).CDF(low), d), c.want("metres_half"))
	}
}
