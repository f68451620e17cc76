package counts

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestDivergences(t *testing.T) {
	goals := []float64{1e4, 1e5, 8.64e6}
	for _, c := range references(t, "kl.pois") {
		kl := PoissonDivergence(c.in("f")*c.in("l0"), c.in("l0"))
		c.check(t, "divergence", kl, c.want("kl"))
		for i, want := range numbers(c.Expected.(map[string]any)["delay"]) {
			c.check(t, "bound", LordenDelay(goals[i], kl), want)
		}
	}
	for _, c := range references(t, "kl.binom") {
		p0 := 1 / c.in("runs")
		c.check(t, "divergence", BinomialDivergence(c.in("n"), c.in("f")*p0, p0), c.want("kl"))
	}
	for _, c := range references(t, "kl.nb") {
		mu0, mu1, theta := c.in("mu0"), c.in("mu1"), c.in("theta")
		c.check(t, "divergence", NegativeBinomialDivergence(mu1, mu0, theta), number(c.Expected))
		c.check(t, "by summation", Divergence(NegativeBinomial{mu1, theta}, NegativeBinomial{mu0, theta}), number(c.Expected))
	}
	for _, c := range references(t, "kl.diffusion") {
		kl := PoissonDivergence(c.in("f")*c.in("l0"), c.in("l0"))
		c.check(t, "delay", DiffusionDelay(c.in("ARL0"), kl), c.want("delay"))
	}
	if got := Divergence(Poisson{3}, Binomial{2, 0.5}); !math.IsInf(got, 1) {
		t.Errorf("counts that the sound law cannot make: %g, want +Inf", got)
	}
	near(t, "no over-dispersion", NegativeBinomialDivergence(2, 5, math.Inf(1)), PoissonDivergence(2, 5), 0)
}

func TestDeadTime(t *testing.T) {
	for _, c := range references(t, "dead.tau") {
		n := c.in("true_rate_per_s")
		hold, overlap := DeadTime{c.in("tau_s"), NonParalyzable}, DeadTime{c.in("tau_s"), Paralyzable}
		c.check(t, "recorded", hold.Recorded(n), c.want("m_nonparalyzable"))
		c.check(t, "recorded", overlap.Recorded(n), c.want("m_paralyzable"))
		c.check(t, "loss of half", hold.ApparentLoss(n, 0.5), c.want("apparent_loss_of_half_np"))
		c.check(t, "loss of half", overlap.ApparentLoss(n, 0.5), c.want("apparent_loss_of_half_p"))
		c.check(t, "Fano", hold.Fano(n), c.want("fano_np"))
		c.check(t, "Fano", overlap.Fano(n), c.want("fano_p"))
	}
	for _, c := range references(t, "dead.inverse_p") {
		low, high, ok := DeadTime{c.in("tau_s"), Paralyzable}.True(c.in("recorded"))
		c.check(t, "low", low, c.want("low"))
		c.check(t, "high", high, c.want("high"))
		if !ok {
			t.Errorf("%s: refused", c.ID)
		}
	}
	for _, c := range references(t, "dead.two_source") {
		c.check(t, "tau", TwoSourceTau(c.in("m1"), c.in("m2"), c.in("m12"), c.in("mb")), c.want("tau_s"))
	}
}

func TestDeadTimeInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := DeadTime{rapid.Float64Range(0, 5e-3).Draw(t, "tau"), DeadTimeKind(rapid.IntRange(0, 1).Draw(t, "kind"))}
		n := rapid.Float64Range(0.1, 190).Draw(t, "rate") // below the turning point 1/tau
		low, high, ok := d.True(d.Recorded(n))
		if !ok || math.Abs(low/n-1) > 1e-6 || high < low*(1-1e-6) {
			t.Fatalf("rate %g comes back as %g, %g, %v", n, low, high, ok)
		}
	})
}

func TestDeadTimeRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		d DeadTime
		m float64
	}{
		"saturated":              {DeadTime{1e-3, NonParalyzable}, 1000},
		"above the turn":         {DeadTime{1e-3, Paralyzable}, 368},
		"negative":               {DeadTime{1e-3, Paralyzable}, -1},
		"negative, no dead time": {DeadTime{}, -1},
	} {
		if _, _, ok := c.d.True(c.m); ok {
			t.Errorf("%s: a recorded rate of %g was accepted", name, c.m)
		}
	}
	if low, _, ok := (DeadTime{1e-3, Paralyzable}).True(1000 / math.E); !ok || math.Abs(low-1000) > 1e-2 {
		t.Errorf("at the turning point: %g, %v; want 1000", low, ok)
	}
	var k DeadTimeKind
	for _, want := range []DeadTimeKind{NonParalyzable, Paralyzable} {
		text, _ := want.MarshalText()
		if err := k.UnmarshalText(text); err != nil || k != want {
			t.Errorf("%v does not survive text: %v", want, err)
		}
	}
	if err := k.UnmarshalText([]byte("stuck")); err == nil {
		t.Error("an unknown kind was accepted")
	}
}

func TestPulsing(t *testing.T) {
	for _, c := range references(t, "flute.") {
		c.check(t, "Fano", PulsingFano(c.in("mu_per_sample"), c.in("A"), c.in("f_hz"), c.in("dt_s")), number(c.Expected))
	}
	near(t, "slow swing", PulsingFano(20, 0.5, 0, 0.2), 3.5, 1e-15)
}
