package workstate

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// yard is an invented recording: flow and lift as spells of seconds, a sample
// each 0.2 s, Poisson counts, product under way for two seconds.
type yard struct {
	flow []float64 // spells, flowing first or (when negative) still
	lag  float64
	hz   float64 // all ports together
	hum  float64 // counts/s that go on without product
	down func(t float64, flows bool) float64
}

const stepS = 0.2

func (y yard) record(seed uint64) (timeS, work, counts []float64) {
	rng := rand.New(rand.NewPCG(seed, 1))
	var flows []bool
	for _, s := range y.flow {
		for range int(math.Abs(s) / stepS) {
			flows = append(flows, s > 0)
		}
	}
	lag := int(y.lag / stepS)
	for i := range flows {
		t := float64(i+1) * stepS
		rate := y.hum
		if flows[max(0, i-lag)] {
			rate = y.hz
		}
		timeS, work, counts = append(timeS, t), append(work, y.down(t, flows[i])), append(counts, float64(poisson(rng, rate*stepS)))
	}
	return timeS, work, counts
}

func poisson(rng *rand.Rand, mean float64) int {
	if mean > 60 {
		return max(0, int(math.Round(mean+math.Sqrt(mean)*rng.NormFloat64())))
	}
	n, p := 0, math.Exp(-mean)
	for u, c := rng.Float64(), p; u > c && n < 1000; c += p {
		n++
		p *= mean / float64(n)
	}
	return n
}

func right(_ float64, flows bool) float64 {
	if flows {
		return 1
	}
	return 0
}

func TestAgree(t *testing.T) {
	always := func(v float64) func(float64, bool) float64 { return func(float64, bool) float64 { return v } }
	field := []float64{-20, 180, -25, 200, -30, 170, -20, 190, -15}
	walk := []float64{-20, 600, -20}
	for _, c := range []struct {
		name string
		y    yard
		want Verdict
	}{
		{"field", yard{field, 2, 900, 4, right}, Agrees},
		{"field, product late", yard{field, 5, 900, 4, right}, Agrees},
		{"field, inverted", yard{field, 2, 900, 4, func(t float64, f bool) float64 { return 1 - right(t, f) }}, Inverted},
		{"field, held at work", yard{field, 2, 900, 4, always(1)}, Stuck},
		{"field, held at lifted", yard{field, 2, 900, 4, always(0)}, Stuck},
		{"field, not known", yard{field, 2, 900, 4, always(math.NaN())}, Absent},
		{"field, a loose contact", yard{field, 2, 900, 4, func(t float64, _ bool) float64 { return float64(int(t*5) / 7 % 2) }}, Flickers},
		{"a walk, lowered all the time", yard{walk, 2, 900, 4, always(1)}, Unsure},
		{"a walk, raised or wired to nothing", yard{walk, 2, 900, 4, always(0)}, Stuck},
		{"a walk, lowered for it", yard{walk, 2, 900, 4, right}, Agrees},
		{"a walk, inverted", yard{walk, 2, 900, 4, func(t float64, f bool) float64 { return 1 - right(t, f) }}, Inverted},
		{"a walk by tapping, no product", yard{walk, 2, 3, 3, always(1)}, Unsure},
		{"a short recording", yard{[]float64{-5, 10, -5}, 2, 900, 4, right}, Unsure},
		{"raised with product running", yard{[]float64{-20, 300, -20}, 2, 900, 4, func(t float64, f bool) float64 {
			if t > 100 && t < 250 {
				return 0
			}
			return right(t, f)
		}}, Unsure},
		{"hum of a third of the flow", yard{field, 2, 900, 300, right}, Agrees},
	} {
		for seed := range uint64(5) {
			timeS, work, counts := c.y.record(seed)
			if a := Agree(timeS, work, counts, 12); a.Verdict != c.want || a.Words == "" {
				t.Errorf("%s, seed %d: %+v, want %v", c.name, seed, a, c.want)
			}
		}
	}
}

// A column turned round turns the verdict round; the clock's zero means nothing.
func TestLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spells := rapid.SliceOfN(rapid.Float64Range(20, 200), 1, 6).Draw(t, "spells")
		var y yard
		for _, s := range spells {
			y.flow = append(y.flow, -25, s)
		}
		y.flow = append(y.flow, -25)
		y.lag, y.hz, y.down = rapid.Float64Range(0, 5).Draw(t, "lag"), 900, right
		timeS, work, counts := y.record(rapid.Uint64().Draw(t, "seed"))
		a := Agree(timeS, work, counts, 12)
		turned, later := make([]float64, len(work)), make([]float64, len(work))
		for i := range work {
			turned[i], later[i] = 1-work[i], timeS[i]+1e6
		}
		b := Agree(timeS, turned, counts, 12)
		if (a.Verdict == Agrees) != (b.Verdict == Inverted) {
			t.Fatalf("%+v, turned round %+v", a, b)
		}
		if a.Verdict == Inverted || a.Verdict == Stuck || a.Verdict == Flickers {
			t.Fatalf("a right column: %+v", a)
		}
		if c := Agree(later, work, counts, 12); c.Verdict != a.Verdict {
			t.Fatalf("%+v, a million seconds later %+v", a, c)
		}
	})
}

func TestVerdictWords(t *testing.T) {
	for v := Unsure; v <= Absent; v++ {
		var back Verdict
		if err := back.UnmarshalText([]byte(v.String())); err != nil || back != v {
			t.Errorf("%v came back as %v, %v", v, back, err)
		}
	}
}

func TestNoSamples(t *testing.T) {
	for _, n := range []int{0, 1, 2} {
		s := make([]float64, n)
		for i := range s {
			s[i] = float64(i)
		}
		Agree(s, make([]float64, n), make([]float64, n), 0)
	}
}
