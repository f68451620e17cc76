package alarm

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"runproof/counts"
)

// item is one entry of testdata/alarms.json.
type item struct {
	ID        string                     `json:"id"`
	Inputs    map[string]any             `json:"inputs"`
	Expected  map[string]float64         `json:"expected"`
	Tolerance struct{ Rel float64 }      `json:"tolerance"`
	Rest      map[string]json.RawMessage `json:"-"`
}

func (i item) in(name string) float64 {
	switch v := i.Inputs[name].(type) {
	case float64:
		return v
	case string:
		var a, b float64
		if n, _ := fmt.Sscanf(v, "%f/%f", &a, &b); n == 2 {
			return a / b
		}
	}
	return math.NaN()
}

func items(t *testing.T, prefix string) []item {
	t.Helper()
	text, err := os.ReadFile("testdata/alarms.json")
	if err != nil {
		t.Fatal(err)
	}
	var all, out []item
	if err := json.Unmarshal(text, &all); err != nil {
		t.Fatal(err)
	}
	for _, i := range all {
		if strings.HasPrefix(i.ID, prefix) {
			out = append(out, i)
		}
	}
	if len(out) == 0 {
		t.Fatalf("no items %s", prefix)
	}
	return out
}

// plain is a run of that share of totals n, without swirl or drift.
func plain(share, white float64, totals ...int) *runLaw {
	return &runLaw{fit: counts.ShareFit{Share: share}, white: white, totals: totals}
}

// TestLowAgainstHeadTotal is alarms.md 1.7: the rule against the head's total,
// given the total and averaged over Poisson totals.
func TestLowAgainstHeadTotal(t *testing.T) {
	for _, i := range items(t, "rule.binom") {
		runs, mu, floor := i.in("runs_on_head"), i.in("mu"), i.in("floor")
		n := int(runs * mu)
		near(t, i.ID, plain(1/runs, 0, n).lowAt(floor, 1), i.Expected["q_given_n"], i.Tolerance.Rel)
		q, total := 0.0, counts.Poisson{Mu: runs * mu}
		for x := range 3 * n {
			q += counts.Prob(total, x) * plain(1/runs, 0, x).lowAt(floor, 1)
		}
		near(t, i.ID+" averaged", q, i.Expected["q_averaged"], i.Tolerance.Rel)

		// sixteen typical totals stand for the whole law of totals: the limit jumps
		// by one count every 1/(floor share) of them, so a tenth is as near as it gets
		rng := rand.New(rand.NewPCG(1, 7))
		var totals []int
		for range 4000 {
			totals = append(totals, total.Rand(rng))
		}
		typical := typicalTotals(totals)
		near(t, i.ID+" by typical totals", plain(1/runs, 0, typical...).lowAt(floor, 1), i.Expected["q_averaged"], 0.12)
		// Poisson totals are all counting noise. 4000 of them know their variance
		// to 2.2 %; of thrice that excess sqrt(0.067) of the spread is kept, and
		// the outermost typical total lies at two deviations
		for _, m := range meansOf(totals, typical, 0) {
			if math.Abs(m-runs*mu) > 0.55*math.Sqrt(runs*mu) {
				t.Errorf("%s: mean %g without counting noise, want %g", i.ID, m, runs*mu)
			}
		}
		near(t, i.ID+" by two laws", lowTwoLaws(mu, runs, floor), i.Expected["q_averaged"], i.Tolerance.Rel)
	}
}

// lowTwoLaws sums over the run's count and its siblings', both Poisson, as
// alarms.md 1.7 does: the twin of lowFailed.
func lowTwoLaws(mu, runs, floor float64) float64 { return lowTwo(mu, mu*(runs-1), floor/runs) }

func lowTwo(x, y, part float64) float64 {
	q := 0.0
	run, rest := counts.Poisson{Mu: x}, counts.Poisson{Mu: y}
	for b := range int(y + 12*math.Sqrt(y) + 20) {
		below := -1
		for float64(below+1) < part*float64(below+1+b)-1e-9 {
			below++
		}
		q += counts.Prob(rest, b) * run.CDF(below)
	}
	return q
}

func TestLowFailedAgainstTwoLaws(t *testing.T) {
	for _, mu := range []float64{4, 10, 20, 40} {
		for _, runs := range []float64{4, 8, 24} {
			for _, floor := range []float64{0.3, 0.5, 0.7, 0.85} {
				for _, f := range []fault{shut, half} {
					share := f.share(1 / runs)
					l := plain(1/runs, 0)
					l.squares, l.means = 1/runs, []float64{mu * runs}
					got := l.lowFailed(floor, share)
					want := lowTwo(mu*runs*share, mu*runs*(1-share), floor/runs)
					// siblings are taken as normal with continuity: skewness
					// 1/sqrt(12) of the fewest (3 runs of 4) is of that order
					if math.Abs(got-want) > 0.01*want+1e-3 {
						t.Errorf("mu %g, %g runs, floor %g, left %g: %.5f, two laws %.5f", mu, runs, floor, float64(f), got, want)
					}
				}
			}
		}
	}
}

// TestFaultShare: a run of share w that keeps f of its flow has w f of what was
// 1, now 1 - w (1-f).
func TestFaultShare(t *testing.T) {
	near(t, "half of a tenth", half.share(0.1), 0.05/0.95, 1e-12)
	near(t, "half of all", half.share(1), 1, 1e-12) // alone on its head its share says nothing
	near(t, "sound", fault(1).share(0.1), 0.1, 1e-12)
}

// TestRuleOnPoissonCounts is alarms.md 1.6. A head of so many runs that its
// total is as good as fixed makes the rule of that table: count < floor x mean.
func TestRuleOnPoissonCounts(t *testing.T) {
	const runs = 48
	for _, i := range items(t, "tune.") {
		mu, fano, floor := i.in("mu_per_sample"), i.in("fano"), i.in("floor")
		// the table is one of Poisson and negative binomial counts: a
		// beta-binomial of a share 1e-7 is those
		const share = 1e-7
		white := 0.0
		if fano > 1 {
			white = (fano - 1) / mu
		}
		k := &desk{dt: i.in("interval_s"), speedMPS: i.in("speed_mps"), allowed: 1, limit: own}
		for range runs {
			k.laws = append(k.laws, *plain(share, white, int(math.Round(mu/share))))
		}
		q := k.laws[0].lowAt(floor, 1)
		near(t, i.ID+" q", q, i.Expected["q"], 1e-3) // share 1e-7 is not 0
		alarms, _ := k.falseAlarms(floor)
		d := int(i.Expected["d"])
		near(t, i.ID+" false alarms", alarms[d-1], i.Expected["false_per_10h"], 5e-3)
		if got := shortest(alarms, 1); got != max(2, d) {
			t.Errorf("%s: hold of %d samples, want %d", i.ID, got, d)
		}
		for j := range k.laws {
			// a hair less, so that a count of floor x mean exactly is not low now
			// and then: the table's total has no noise at all
			k.laws[j].means, k.laws[j].squares = []float64{mu / share * 0.9995}, share*share
		}
		if fano > 1 {
			continue // the table keeps the variance/mean of a failed run, the program the relative variance
		}
		near(t, i.ID+" metres, blocked", *k.missed(floor, d, shut), i.Expected["metres_blocked"], 0.01)
		near(t, i.ID+" metres, half", *k.missed(floor, d, half), i.Expected["metres_half"], 0.03)
	}
}

// TestYardstick is alarms.md 2.5: the lower binomial CUSUM given the total,
// whose k is rounded to 1/4 there and exact here, at the same false alarms.
func TestYardstick(t *testing.T) {
	for _, i := range items(t, "cusum.binom") {
		if i.in("p1")/i.in("p0") != 0.5 {
			continue // a blocked run keeps 3 %, the table's keeps a tenth
		}
		k := &desk{dt: 0.2, speedMPS: 1, limit: own}
		k.laws = []runLaw{*plain(i.in("p0"), 0, int(i.in("n")))}
		k.allowed = workDayS / k.dt / i.Expected["ARL0"]
		got := *k.yardstick().Missed.Half / k.dt
		// the failed share is p/2 of a head that lost p/2, not p/2: w f/(1-w(1-f)),
		// 4 % nearer to sound; and a rounded score changes the limit by one step
		near(t, i.ID, got, i.Expected["ARL1"], 0.15)
	}
}

// TestDriftVariance holds the fit of drift to Ornstein-Uhlenbeck shares of
// known size.
func TestDriftVariance(t *testing.T) {
	const sd, tau, dt, n, runs = 0.03, 100.0, 0.5, 7200, 60
	rng := rand.New(rand.NewPCG(3, 1))
	cov := make([]covariance, len(driftLagsS))
	one := headData{stretch: make([]int, n)}
	keep := math.Exp(-dt / tau)
	for range runs {
		e, u, mean := make([]float64, n), sd*rng.NormFloat64(), 0.0
		for i := range e {
			u = keep*u + sd*math.Sqrt(1-keep*keep)*rng.NormFloat64()
			e[i] = u + 0.2*rng.NormFloat64() // counting
			mean += e[i] / n
		}
		for i := range e {
			e[i] -= mean // the share is fitted to the same span
		}
		for k, s := range driftLagsS {
			cov[k].add(e, 1, one, int(s/dt))
		}
	}
	// 60 runs of T = 3600 s see 60 T/(2 tau) = 1080 independent levels: the
	// variance is known to sqrt(2/1080) = 4 %, its deviation to 2 %, thrice that
	// with what fitting tau and the span's own mean (b = 5 %) cost
	got := math.Sqrt(driftVariance(cov, n*dt))
	if want := sd * math.Sqrt(1+2*tau/(n*dt)); math.Abs(got-want) > 0.1*want {
		t.Errorf("drift %.4f, want %.4f", got, want)
	}
	if got := driftVariance(make([]covariance, len(driftLagsS)), 3600); got != 0 {
		t.Errorf("nothing seen gives drift %g", got)
	}
}

// TestWaver finds the swirl that was put in.
func TestWaver(t *testing.T) {
	const n, runs, sd, rho = 9000, 12, 0.2, 0.5
	rng := rand.New(rand.NewPCG(8, 1))
	h := headData{rows: make([]int, n), stretch: make([]int, n), totals: make([]int, n)}
	u := make([]float64, runs)
	for r := range runs {
		h.runs = append(h.runs, "")
		h.xs = append(h.xs, make([]int, n))
		u[r] = sd * rng.NormFloat64()
	}
	for i := range n {
		h.rows[i] = i
		for r := range runs {
			u[r] = rho*u[r] + sd*math.Sqrt(1-rho*rho)*rng.NormFloat64()
			x := counts.Poisson{Mu: 20 * math.Exp(u[r]-sd*sd/2)}.Rand(rng)
			h.xs[r][i], h.totals[i] = x, h.totals[i]+x
		}
	}
	laws := fitProduct([]headData{h}, 0.2)
	if len(laws) != 1 { // every run has the same name here: one would do
		t.Logf("%d laws", len(laws))
	}
	w := laws[0].waver
	// the head's total takes a part 1/runs of the swirl away; 108 000 residuals
	// know c1 to under 2 % and rho to under 3 %
	near(t, "swirl", w.swirlSD, sd*math.Sqrt(1-1.0/runs), 0.06)
	near(t, "its correlation", w.swirlRho, rho, 0.1)
	if w.driftSD > 0.01 {
		t.Errorf("drift %g where none was made", w.driftSD)
	}
}

func TestShortestNeverTakesOneSample(t *testing.T) {
	for _, c := range []struct {
		alarms []float64
		want   int
	}{{[]float64{0, 0}, 2}, {[]float64{9, 3, 0.5}, 3}, {[]float64{9, 3}, 0}, {nil, 0}} {
		if got := shortest(c.alarms, 1); got != c.want {
			t.Errorf("%v: %d, want %d", c.alarms, got, c.want)
		}
	}
}
