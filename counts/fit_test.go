package counts

import (
	"math"
	"math/rand/v2"
	"testing"
)

// spread writes a frequency table out.
func spread(values, freq []int) []int {
	var out []int
	for i, v := range values {
		for range freq[i] {
			out = append(out, v)
		}
	}
	return out
}

func TestFitNegativeBinomialPublished(t *testing.T) {
	for _, c := range references(t, "nbfit.") {
		xs := ints(c.Inputs["values"])
		if f := c.Inputs["freq"]; f != nil {
			xs = spread(xs, ints(f))
		}
		fit, err := FitNegativeBinomial(xs)
		if err != nil {
			t.Fatal(err)
		}
		c.check(t, "mu", fit.Law.Mu, c.want("mean"))
		c.check(t, "theta", fit.Law.Theta, c.want("theta"))
		c.check(t, "s.e. theta", fit.SETheta, c.want("se_theta"))
		c.check(t, "s.e. mu", fit.SEMu, c.want("se_mu"))
		c.check(t, "s.e. ln mu", fit.SEMu/fit.Law.Mu, c.want("se_log"))
		c.check(t, "log likelihood", fit.LogLikelihood, c.want("ll"))
		m, err := MomentsNegativeBinomial(xs)
		if err != nil {
			t.Fatal(err)
		}
		c.check(t, "theta by moments", m.Theta, c.want("mom"))
	}
}

func TestFitNegativeBinomialUnderdispersed(t *testing.T) {
	fit, err := FitNegativeBinomial([]int{4, 5, 5, 6})
	if err != nil || !fit.Underdispersed || !math.IsInf(fit.Law.Theta, 1) || fit.Law.Mu != 5 {
		t.Errorf("got %+v, %v; want the Poisson law of mean 5, said so", fit, err)
	}
	if m, err := MomentsNegativeBinomial([]int{4, 5, 5, 6}); err != nil || !math.IsInf(m.Theta, 1) {
		t.Errorf("moments: got %+v, %v; want Poisson", m, err)
	}
	// Barely over-dispersed (Poisson of mean 2 and a little more): a theta in
	// the hundreds must still be the root of the score, where likelihoods by
	// ln Gamma have lost it.
	xs := spread([]int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9}, []int{1353, 2707, 2707, 1804, 902, 361, 122, 36, 11, 4})
	fit, err = FitNegativeBinomial(xs)
	if err != nil || fit.Underdispersed || fit.Law.Theta < 200 {
		t.Fatalf("nearly Poisson counts: %+v, %v", fit, err)
	}
	tl := tallyOf(xs)
	score, slope := tl.phiScore(1/fit.Law.Theta, fit.Law.Mu, float64(fit.Samples))
	if math.Abs(score/slope)*fit.Law.Theta > 1e-9 {
		t.Errorf("theta %g is off its root by %g", fit.Law.Theta, score/slope)
	}
}

func TestFitShareGeissler(t *testing.T) {
	c := references(t, "bbfit.saxony")[0]
	n := c.inInt("n")
	var xs, totals []int
	for boys, families := range ints(c.Inputs["families_by_males_0_to_12"]) {
		for range families {
			xs, totals = append(xs, boys), append(totals, n)
		}
	}
	fit, err := FitShare(xs, totals)
	if err != nil {
		t.Fatal(err)
	}
	alpha, seAlpha := fit.Alpha()
	beta, seBeta := fit.Beta()
	c.check(t, "alpha", alpha, c.want("alpha"))
	c.check(t, "beta", beta, c.want("beta"))
	c.check(t, "s.e. alpha", seAlpha, c.want("se_alpha"))
	c.check(t, "s.e. beta", seBeta, c.want("se_beta"))
	c.check(t, "log likelihood", fit.LogLikelihood, c.want("logL"))
	c.check(t, "share", fit.Share, c.want("pi"))
	c.check(t, "rho", fit.Rho(), c.want("rho"))
	share, phi, err := MomentsShare(xs, totals)
	if err != nil {
		t.Fatal(err)
	}
	c.check(t, "alpha by moments", share/phi, c.want("mom_alpha"))
	c.check(t, "beta by moments", (1-share)/phi, c.want("mom_beta"))
	// A public library's test prints these for the same data.
	near(t, "alpha, public library", alpha, 34.10285761580158, 1e-9)
	near(t, "beta, public library", beta, 31.578234155042065, 1e-9)
	if got := fit.At(12).LogProb(6); got != (BetaBinomial{12, alpha, beta}).LogProb(6) {
		t.Errorf("At(12) is another law: %g", got)
	}
}

// columns turns samples by run into runs by sample.
func columns(rows [][]int) [][]int {
	out := make([][]int, len(rows[0]))
	for _, row := range rows {
		for i, x := range row {
			out[i] = append(out[i], x)
		}
	}
	return out
}

func TestFitSharesConstructed(t *testing.T) {
	c := references(t, "dm.fit")[0]
	var rows [][]int
	for _, r := range c.Inputs["counts"].([]any) {
		rows = append(rows, ints(r))
	}
	fit, err := FitShares(columns(rows))
	if err != nil {
		t.Fatal(err)
	}
	want := numbers(c.Expected.(map[string]any)["alpha_ml"])
	for i := range want {
		c.check(t, "alpha", fit.Shares[i]/fit.Phi, want[i])
	}
	c.check(t, "A", 1/fit.Phi, c.want("A_ml"))
	c.check(t, "log likelihood", fit.LogLikelihood, c.want("logL"))
	p, phi, err := MomentsShares(columns(rows))
	if err != nil {
		t.Fatal(err)
	}
	for i, v := range numbers(c.Expected.(map[string]any)["p"]) {
		c.check(t, "pooled share", p[i], v)
	}
	c.check(t, "A by moments", 1/phi, c.want("A_moment"))
}

// TestFitShareUnequalTotals simulates a known law with totals that vary
// fifteenfold and wants every estimate within 4 of its own standard errors
// (P(beyond) = 6e-5 for each), and the standard errors themselves near the
// spread over 60 repetitions: a chi with 59 degrees is within 40 % at 4.3 s.d.
func TestFitShareUnequalTotals(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	const share, phi, reps = 0.08, 1. / 250, 60
	var phis, se []float64
	for range reps {
		xs, totals := make([]int, 1500), make([]int, 1500)
		for i := range xs {
			totals[i] = 20 + rng.IntN(280)
			xs[i] = BetaBinomial{totals[i], share / phi, (1 - share) / phi}.Rand(rng)
		}
		fit, err := FitShare(xs, totals)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(fit.Share-share) > 4*fit.SEShare || math.Abs(fit.Phi-phi) > 4*fit.SEPhi {
			t.Errorf("share %g (%g), phi %g (%g); made with %g and %g", fit.Share, fit.SEShare, fit.Phi, fit.SEPhi, share, phi)
		}
		phis, se = append(phis, fit.Phi), append(se, fit.SEPhi)
	}
	var mean, v, meanSE float64
	for i := range phis {
		mean += phis[i] / reps
		meanSE += se[i] / reps
	}
	for _, x := range phis {
		v += (x - mean) * (x - mean) / (reps - 1)
	}
	near(t, "s.e. of phi", meanSE, math.Sqrt(v), 0.4)
}

func TestFitSharesFallsBack(t *testing.T) {
	// Every sample dealt alike: less spread than any multinomial.
	fit, err := FitShares([][]int{{5, 10, 5}, {5, 10, 5}, {0, 0, 0}})
	if err != nil || !fit.Underdispersed || fit.Phi != 0 || fit.Shares[0] != 0.5 || fit.Shares[2] != 0 {
		t.Errorf("got %+v, %v; want the multinomial law, said so", fit, err)
	}
	if _, ok := fit.Margin(0, 10).(Binomial); !ok {
		t.Errorf("margin is %T, want Binomial", fit.Margin(0, 10))
	}
}

func TestFitsRefuse(t *testing.T) {
	for name, err := range map[string]error{
		"no counts":         second(FitNegativeBinomial(nil)),
		"negative":          second(FitNegativeBinomial([]int{1, -1})),
		"count above total": second(FitShare([]int{5}, []int{4})),
		"lengths differ":    second(FitShare([]int{5}, []int{4, 5})),
		"no particles":      second(FitShare([]int{0}, []int{0})),
		"no runs":           second(FitShares(nil)),
		"ragged":            second(FitShares([][]int{{1, 2}, {1}})),
	} {
		if err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func second[T any](_ T, err error) error { return err }

func BenchmarkFitShares(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 1))
	alpha := make([]float64, 12)
	for i := range alpha {
		alpha[i] = 50
	}
	rows := make([][]int, 18000)
	for t := range rows {
		rows[t] = DirichletMultinomial{Poisson{240}.Rand(rng), alpha}.Rand(rng)
	}
	runs := columns(rows)
	b.Run("12x18000", func(b *testing.B) {
		for b.Loop() {
			if _, err := FitShares(runs); err != nil {
				b.Fatal(err)
			}
		}
	})
}
