package counts

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

func lawOf(c checkItem) Law {
	switch {
	case c.Inputs["lambda"] != nil:
		return Poisson{c.in("lambda")}
	case c.Inputs["theta"] != nil:
		return NegativeBinomial{c.in("mu"), c.in("theta")}
	case c.Inputs["alpha"] != nil:
		return BetaBinomial{c.inInt("n"), c.in("alpha"), c.in("beta")}
	}
	return Binomial{c.inInt("n"), c.in("p")}
}

func TestProbabilities(t *testing.T) {
	for _, prefix := range []string{"pois.", "nb.", "bb.", "binom."} {
		for _, c := range references(t, prefix) {
			l, x := lawOf(c), c.inInt("x")
			if c.ID[len(prefix)] == 'p' {
				c.check(t, "P(x)", Prob(l, x), number(c.Expected))
				continue
			}
			c.check(t, "CDF", l.CDF(x), number(c.Expected))
			c.check(t, "Survival", l.Survival(x), 1-number(c.Expected))
		}
	}
}

func TestDirichletMultinomial(t *testing.T) {
	for _, c := range references(t, "dm.pmf") {
		x := ints(c.Inputs["x"])
		l := DirichletMultinomial{Alpha: numbers(c.Inputs["alpha"])}
		for _, v := range x {
			l.N += v
		}
		c.check(t, "P(x)", math.Exp(l.LogProb(x)), number(c.Expected))
	}
	// Independent Poisson counts given their sum are multinomial, the limit of
	// large concentration: the check value holds to 1e-9 at A = 1.2e11.
	c := references(t, "multinomial.cond")[0]
	l := DirichletMultinomial{N: 12, Alpha: []float64{3e10, 5e10, 4e10}}
	near(t, c.ID, math.Exp(l.LogProb(ints(c.Inputs["x"]))), number(c.Expected), 1e-9)
}

// battery is one law of each kind, with corners.
var battery = map[string]Law{
	"Poisson 0": Poisson{}, "Poisson 0.3": Poisson{0.3}, "Poisson 20": Poisson{20}, "Poisson 700": Poisson{700},
	"NB": NegativeBinomial{20, 10}, "NB steep": NegativeBinomial{5, 0.4}, "NB limit": NegativeBinomial{20, math.Inf(1)}, "NB 0": NegativeBinomial{0, 3},
	"binomial": Binomial{240, 1. / 12}, "binomial 0": Binomial{10, 0}, "binomial 1": Binomial{10, 1}, "binomial empty": Binomial{0, 0.5},
	"BB": BetaBinomial{240, 50, 550}, "BB with two peaks": BetaBinomial{40, 0.3, 0.2}, "BB empty": BetaBinomial{0, 2, 3},
}

// TestLawsAgreeWithTheirSums holds every law to the definition, summed the slow way.
func TestLawsAgreeWithTheirSums(t *testing.T) {
	for name, l := range battery {
		var sum, mean, second float64
		for x := 0; x < 2000; x++ {
			p := Prob(l, x)
			sum += p
			mean += float64(x) * p
			second += float64(x) * float64(x) * p
			if d := math.Abs(l.CDF(x) - sum); d > 1e-11 {
				t.Errorf("%s: CDF(%d) = %g, the sum is %g", name, x, l.CDF(x), sum)
				break
			}
			if d := math.Abs(l.CDF(x) + l.Survival(x) - 1); d > 1e-11 {
				t.Errorf("%s: CDF+Survival at %d is off 1 by %g", name, x, d)
				break
			}
		}
		near(t, name+" sum", sum, 1, 1e-11)
		near(t, name+" mean", mean, l.Mean(), 1e-10)
		if math.Abs(second-mean*mean-l.Variance()) > 1e-8*(1+second) {
			t.Errorf("%s: variance %g, summed %g", name, l.Variance(), second-mean*mean)
		}
		if l.CDF(-1) != 0 || l.Survival(-1) != 1 || !math.IsInf(l.LogProb(-1), -1) {
			t.Errorf("%s: something below 0", name)
		}
	}
}

// TestTailsKeepTheirDigits: P(X <= 5 | 300) is 300^5/5! e^-300 (1 + 5/300 + ...),
// written out; 1 - upper tail would give 0.
func TestTailsKeepTheirDigits(t *testing.T) {
	series := 1 + 5./300*(1+4./300*(1+3./300*(1+2./300*(1+1./300))))
	want := math.Exp(5*math.Log(300)-math.Log(120)-300) * series
	near(t, "Poisson lower tail", Poisson{300}.CDF(5), want, 1e-12)
	// P(X = n) = p^n for the binomial law.
	near(t, "binomial upper tail", Binomial{50, 1e-3}.Survival(49), 1e-150, 1e-11)
	// Large counts: the normal peak 1/sqrt(2 pi mu) (1 - 1/(12 mu)) of a Poisson law.
	near(t, "Poisson peak", Prob(Poisson{1e8}, 1e8), 1/math.Sqrt(2*math.Pi*1e8)*(1-1/12e8), 1e-14)
}

// TestDrawsFollowTheLaw compares n = 40000 draws with each law's mean and
// variance and with its distribution function at the mean. Bounds: 4.5
// standard errors, P(beyond) = 7e-6 for each of the 45 comparisons; the
// variance's from the fourth moment of the draws themselves.
func TestDrawsFollowTheLaw(t *testing.T) {
	const n = 40000
	for name, l := range battery {
		rng := rand.New(rand.NewPCG(7, 11))
		var sum, below float64
		xs := make([]float64, n)
		at := int(l.Mean())
		for i := range xs {
			x := l.Rand(rng)
			xs[i] = float64(x)
			sum += xs[i]
			if x <= at {
				below++
			}
		}
		mean := sum / n
		var m2, m4 float64
		for _, x := range xs {
			d := x - l.Mean()
			m2 += d * d / n
			m4 += d * d * d * d / n
		}
		if d := math.Abs(mean - l.Mean()); d > 4.5*math.Sqrt(l.Variance()/n) {
			t.Errorf("%s: mean of draws %g, law %g", name, mean, l.Mean())
		}
		if d := math.Abs(m2 - l.Variance()); d > 4.5*math.Sqrt((m4-m2*m2)/n) {
			t.Errorf("%s: variance of draws %g, law %g", name, m2, l.Variance())
		}
		p := l.CDF(at)
		if d := math.Abs(below/n - p); d > 4.5*math.Sqrt(p*(1-p)/n)+1e-12 {
			t.Errorf("%s: share of draws up to %d is %g, law %g", name, at, below/n, p)
		}
	}
}

func TestDirichletMultinomialDraws(t *testing.T) {
	const n = 20000
	l := DirichletMultinomial{N: 200, Alpha: []float64{30, 0.5, 69.5}}
	rng := rand.New(rand.NewPCG(3, 5))
	var sum [3]float64
	var cross float64
	for range n {
		x := l.Rand(rng)
		if x[0]+x[1]+x[2] != l.N {
			t.Fatalf("draw %v does not add up to %d", x, l.N)
		}
		for i := range x {
			sum[i] += float64(x[i])
		}
		cross += (float64(x[0]) - l.Mean(0)) * (float64(x[2]) - l.Mean(2))
	}
	for i := range sum { // 4.5 standard errors of the mean
		if d := math.Abs(sum[i]/n - l.Mean(i)); d > 4.5*math.Sqrt(l.Covariance(i, i)/n) {
			t.Errorf("run %d: mean of draws %g, law %g", i, sum[i]/n, l.Mean(i))
		}
	}
	// Two nearly opposite counts: the product's variance is about twice the
	// squared covariance, so 6 relative standard errors are 6 sqrt(2/n) = 6 %.
	near(t, "covariance", cross/n, l.Covariance(0, 2), 0.06)
}

func TestMarginIsTheSumOverTheOthers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := []float64{rapid.Float64Range(0.2, 50).Draw(t, "a"), rapid.Float64Range(0.2, 50).Draw(t, "b"), rapid.Float64Range(0.2, 50).Draw(t, "c")}
		n := rapid.IntRange(0, 30).Draw(t, "n")
		x := rapid.IntRange(0, n).Draw(t, "x")
		l := DirichletMultinomial{n, a}
		var sum float64
		for y := 0; y <= n-x; y++ {
			sum += math.Exp(l.LogProb([]int{x, y, n - x - y}))
		}
		if want := Prob(l.Margin(0), x); math.Abs(sum-want) > 1e-10*want {
			t.Fatalf("sum %g, margin %g", sum, want)
		}
	})
}

func TestBetaBinomialNearsBinomial(t *testing.T) {
	for x := 0; x <= 40; x++ {
		bb, bin := BetaBinomial{240, 1e12 / 12, 11e12 / 12}, Binomial{240, 1. / 12}
		near(t, "limit", Prob(bb, x), Prob(bin, x), 1e-8)
	}
}

func TestLowerTail(t *testing.T) {
	for name, l := range battery {
		top := int(l.Mean()) + 20
		for x, p := range LowerTail(nil, l, top) {
			if want := l.CDF(x); math.Abs(p-want) > 1e-12*want+1e-300 {
				t.Errorf("%s: LowerTail at %d is %g, CDF %g", name, x, p, want)
				break
			}
		}
	}
}
