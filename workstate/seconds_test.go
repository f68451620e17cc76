package workstate

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// walkOf is ten minutes of product with half a minute of standstill on either
// side, as a recorder at rest sees it.
var walkOf = yard{[]float64{-30, 600, -30}, 2, 900, 4, right}

// A recorder that was off for a while, or lost rows, saw no stop of the flow: a
// drill that stands lowered stays unproved, and is not called stuck.
func TestHolesAreNoStandstill(t *testing.T) {
	lowered := walkOf
	lowered.down = func(float64, bool) float64 { return 1 }
	timeS, work, counts := lowered.record(1)
	silent := append([]float64{}, counts...)
	for i, s := range timeS {
		if hole(s) {
			silent[i] = math.NaN()
		}
	}
	if a := Agree(timeS, work, silent, 12); a.Verdict != Unsure || a.FlowChanges != 2 {
		t.Errorf("no port reports for a while, six times: %+v", a)
	}
	timeS, work, counts = without(timeS, work, counts, func(i int) bool { return hole(timeS[i]) })
	if a := Agree(timeS, work, counts, 12); a.Verdict != Unsure || a.FlowChanges != 2 {
		t.Errorf("six holes: %+v", a)
	}
}

// hole is 20 s of every 100, six of them within the flow of walkOf.
func hole(s float64) bool { return s > 60 && s < 620 && math.Mod(s, 100) < 20 }

func without(timeS, work, counts []float64, out func(i int) bool) (a, b, c []float64) {
	for i := range timeS {
		if !out(i) {
			a, b, c = append(a, timeS[i]), append(b, work[i]), append(c, counts[i])
		}
	}
	return a, b, c
}

// every gathers k samples into one, as a slower recorder does.
func every(k int, timeS, work, counts []float64) (a, b, c []float64) {
	sum := 0.0
	for i := range timeS {
		if sum += counts[i]; (i+1)%k == 0 {
			a, b, c = append(a, timeS[i]), append(b, work[i]), append(c, sum)
			sum = 0
		}
	}
	return a, b, c
}

// The verdict is that of the drill, not of the recorder's step; one sample in a
// quarter of a minute is too few to tell.
func TestSlowRecorder(t *testing.T) {
	for stepS, want := range map[float64]Verdict{0.2: Agrees, 1: Agrees, 2: Agrees, 5: Agrees, 10: Agrees, 15: Unsure} {
		timeS, work, counts := walkOf.record(2)
		timeS, work, counts = every(int(math.Round(stepS/0.2)), timeS, work, counts)
		a := Agree(timeS, work, counts, 12)
		if a.Verdict != want {
			t.Errorf("a sample each %g s: %+v, want %v", stepS, a, want)
		}
		// 600 s of flow, less 6 s at either end near a change and a step of the recorder.
		if want == Agrees && math.Abs(a.DownFlowS-588) > 4+2*stepS {
			t.Errorf("a sample each %g s: %g s of flow in the ground", stepS, a.DownFlowS)
		}
	}
}

// A clock that jumps to the right year, back, or to nowhere costs no memory and
// changes nothing.
func TestClockJumps(t *testing.T) {
	timeS, work, counts := walkOf.record(3)
	want := Agree(timeS, work, counts, 12)
	for _, jump := range []float64{1.7e9, 1e15, -5, math.NaN(), math.Inf(1)} {
		later := append([]float64{}, timeS...)
		for i := 500; i < len(later); i++ {
			later[i] += jump
		}
		if a := Agree(later, work, counts, 12); !(math.IsNaN(jump) || math.IsInf(jump, 0)) && a.Verdict != want.Verdict {
			t.Errorf("jump of %g s: %+v, without %+v", jump, a, want)
		}
	}
	for _, odd := range [][]float64{{0, math.NaN()}, {0, math.Inf(1)}, {3, 2, 1}, {math.NaN(), math.NaN(), math.NaN()}, {1, 1, 1}} {
		if a := Agree(odd, make([]float64, len(odd)), make([]float64, len(odd)), 1); a.Verdict.Attention() || a.Words == "" {
			t.Errorf("%v: %+v", odd, a)
		}
	}
}

// A drill that was lowered once and then stood raised while product ran by hand
// is not wired the wrong way round: nothing shows in the ground without flow.
func TestRaisedByHandIsNotInverted(t *testing.T) {
	y := walkOf
	y.flow = []float64{620}
	y.down = func(t float64, _ bool) float64 {
		if t < 40 {
			return 1
		}
		return 0
	}
	timeS, work, counts := y.record(4)
	if a := Agree(timeS, work, counts, 12); a.Verdict != Unsure || a.UpFlowS < 500 {
		t.Errorf("%+v", a)
	}
}

// Rows lost by chance never call a right column wrong.
func TestLostRows(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		timeS, work, counts := walkOf.record(rapid.Uint64().Draw(rt, "seed"))
		part := rapid.Float64Range(0, 0.6).Draw(rt, "part lost")
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "loss"), 7))
		timeS, work, counts = without(timeS, work, counts, func(int) bool { return rng.Float64() < part })
		if a := Agree(timeS, work, counts, 12); a.Verdict != Agrees {
			rt.Fatalf("%+v", a)
		}
	})
}
