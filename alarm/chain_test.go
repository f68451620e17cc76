package alarm

import (
	"math"
	"slices"
	"testing"

	"runproof/counts"
)

// near fails unless got is want to the relative tolerance.
func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s is %.8g, want %.8g", what, got, want)
	}
}

// flat is a run that is low with chance q whatever swirl and drift do.
func flat(q float64) grid { return grid{q: []float64{q}, drift: gaussNodes(0), swirl: still()} }

func TestOnsetsOfIndependentLows(t *testing.T) {
	for _, q := range []float64{0.5, 0.1, 0.01, 1e-5} {
		g := flat(q)
		for k, got := range g.onsets(10) {
			d := k + 1
			want := (1 - q) * math.Pow(q, float64(d)) // p q^d: Feller 1968, XIII.7
			if want < 1e-14 {
				break // below one in a hundred years the program stops reckoning
			}
			near(t, "onset rate", got, want, 1e-12)
			near(t, "onset rate of counts", got, counts.Independent(q).RunLength(d).OnsetRate(), 1e-12)
		}
		near(t, "delay", g.delay(3, 1e9), 1/q+1/(q*q)+1/(q*q*q), 1e-12) // the same chapter
	}
}

// TestOnsetsOfChain takes a swirl of two levels, one always low and one never:
// the two-state chain of counts.Lows, whose rates are in counts' own tables.
func TestOnsetsOfChain(t *testing.T) {
	const a, b = 0.01, 0.5
	q := a / (1 + a - b)
	g := grid{lo: 0, step: 1, q: []float64{0, 1}, drift: gaussNodes(0), swirl: swirl{
		at: []float64{0, 1}, pi: []float64{1 - q, q}, to: [][]float64{{1 - a, a}, {1 - b, b}},
	}}
	want := []float64{0.0049019608, 0.0024509804, 0.0006127451} // alarms.md 1.3, for d = 2, 3, 5
	on := g.onsets(5)
	for i, d := range []int{2, 3, 5} {
		near(t, "onset rate", on[d-1], want[i], 1e-7)
	}
	near(t, "delay", g.delay(5, 1e9), 1630, 1e-7)
}

func TestGaussNodesHaveNormalMoments(t *testing.T) {
	// seven points are exact for polynomials up to degree 13; moments of the
	// normal law are (k-1)!! sd^k
	const sd = 0.3
	want := 1.0
	for k := 0; k <= 12; k += 2 {
		sum := 0.0
		for _, n := range gaussNodes(sd) {
			sum += n.weight * math.Pow(n.at/sd, float64(k))
		}
		near(t, "moment", sum, want, 1e-10)
		want *= float64(k + 1)
	}
}

func TestSwirlGridKeepsMoments(t *testing.T) {
	for _, rho := range []float64{0.1, 0.51, 0.8, 0.95} {
		const sd = 0.2
		s := newSwirl(sd, rho)
		mean, square, cross := 0.0, 0.0, 0.0
		for i, u := range s.at {
			mean += s.pi[i] * u
			square += s.pi[i] * u * u
			for j, v := range s.at {
				cross += s.pi[i] * u * s.to[i][j] * v
			}
		}
		if math.Abs(mean) > 1e-12 {
			t.Errorf("rho %g: mean %g", rho, mean)
		}
		near(t, "variance", square, sd*sd, 1e-3) // the tails beyond five deviations hold 2e-5
		near(t, "lag-one correlation", cross/square, rho, 2e-3)
		for j := range s.at { // stationary: one step leaves pi as it is, where there is weight
			after := 0.0
			for i := range s.at {
				after += s.pi[i] * s.to[i][j]
			}
			if math.Abs(after-s.pi[j]) > 1e-3*s.pi[j]+1e-5 {
				t.Errorf("rho %g: level %.2f has %g, after a step %g", rho, s.at[j], s.pi[j], after)
			}
		}
	}
}

// slowOnsets is the exact rate at which a good sample is followed by d lows,
// by plain trapezoid sums over a swirl of 241 levels to seven deviations and a
// drift of 81 to six, with no table between the law and its use.
func slowOnsets(l *runLaw, floor float64, most int) []float64 {
	w := l.waver
	norm := (w.driftSD*w.driftSD + w.swirlSD*w.swirlSD) / 2
	at, pi := fineLevels(w.swirlSD, 241, 7)
	drift, weights := fineLevels(w.driftSD, 81, 6)
	out := make([]float64, most)
	for m, u := range drift {
		low := make([]float64, len(at))
		for i, v := range at {
			low[i] = l.lowAt(floor, math.Exp(u+v-norm))
		}
		now := make([]float64, len(at))
		for i := range now {
			now[i] = pi[i] * (1 - low[i])
		}
		for d := range most {
			now = fineStep(at, now, w)
			for i := range now {
				now[i] *= low[i]
				out[d] += weights[m] * now[i]
			}
		}
	}
	return out
}

func fineLevels(sd float64, n int, reach float64) (at, weight []float64) {
	if sd == 0 {
		return []float64{0}, []float64{1}
	}
	h := 2 * reach / float64(n-1)
	for k := range n {
		z := -reach + float64(k)*h
		at = append(at, z*sd)
		weight = append(weight, h*math.Exp(-z*z/2)/math.Sqrt(2*math.Pi))
	}
	return at, weight
}

func fineStep(at, now []float64, w wavering) []float64 {
	if len(at) == 1 {
		return slices.Clone(now)
	}
	h, s := at[1]-at[0], w.swirlSD*math.Sqrt(1-w.swirlRho*w.swirlRho)
	next := make([]float64, len(at))
	for j, v := range at {
		for i, u := range at {
			z := (v - w.swirlRho*u) / s
			if now[i] > 0 && math.Abs(z) < 9 {
				next[j] += now[i] * h / (s * math.Sqrt(2*math.Pi)) * math.Exp(-z*z/2)
			}
		}
	}
	return next
}

func TestOnsetsAgainstSlowTwin(t *testing.T) {
	for _, c := range []struct {
		name        string
		share       float64
		total, most int
		floor       float64
		white       float64
		waver       wavering
	}{
		{"swirl", 0.084, 120, 9, 0.5, 0, wavering{swirlSD: 0.201, swirlRho: 0.51}},
		{"slow swirl and drift", 0.115, 83, 27, 0.85, 3e-4, wavering{swirlSD: 0.207, swirlRho: 0.76, driftSD: 0.032}},
		{"drift", 0.1, 300, 30, 0.9, 0.01, wavering{driftSD: 0.05}},
		{"much flow", 0.1, 900, 8, 0.6, 0.002, wavering{swirlSD: 0.25, swirlRho: 0.6, driftSD: 0.04}},
		{"lasting swirl", 0.1, 200, 20, 0.6, 0.02, wavering{swirlSD: 0.15, swirlRho: 0.93}},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := &runLaw{fit: counts.ShareFit{Share: c.share}, white: c.white, waver: c.waver, totals: []int{c.total}}
			g := l.tabulate(c.floor)
			fast, slow := g.onsets(c.most), slowOnsets(l, c.floor, c.most)
			for d := range fast {
				if slow[d]*workDayS*5 > 1e-3 { // one alarm of this run in a thousand days
					if r := fast[d] / slow[d]; r < 0.95 || r > 1.05 {
						t.Errorf("d %d: %.4g, exact %.4g, ratio %.3f", d+1, fast[d], slow[d], r)
					}
				}
			}
		})
	}
}
