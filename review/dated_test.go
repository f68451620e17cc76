package review_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"runproof/review"
	"runproof/simulate"
)

// TestProductOutAfterARateStep: a tank that runs dry over 20 seconds, a minute and
// a half after the rate went down to 0.65, is dated to the beginning of that, give
// or take a second of its fall for each twentieth that noise hides, not to the step.
func TestProductOutAfterARateStep(t *testing.T) {
	f := fitOf(threeHeads())
	s := scenario(threeHeads(), 0.4, simulate.Fault{Kind: review.ProductOut, Product: "seed", AtS: 690, ForS: 80, FallS: 20, Left: 0.04})
	s.Field.PassM = 3000
	s.Rates = []simulate.RateStep{{Product: "seed", AtS: 600, Factor: 0.65}}
	l := recorded(t, s, f)
	res := reviewed(t, f, l, 4096)
	if len(res.Events) != 1 || res.Events[0].Kind != review.ProductOut {
		t.Fatalf("%d events", len(res.Events))
	}
	if from := float64(res.Events[0].StartNS-l.TimeNS[0]) / 1e9; math.Abs(from-690) > 4 {
		t.Errorf("from %.1f s, was 690", from)
	}
}

// TestShareOutlivesPlugs: a hose that plugs and clears at random for ten minutes is
// as sound as ever afterwards: its share is not taken for more each time it falls
// while it still counts for sound.
func TestShareOutlivesPlugs(t *testing.T) {
	f := fitOf(threeHeads())
	for seed := range uint64(3) {
		rng := rand.New(rand.NewPCG(seed, 17))
		s := scenario(threeHeads(), 1)
		s.Seed, s.Flow[0].PerRunS = seed, 150
		for at := 700.0; at < 1300; {
			on, off := max(0.8, 6*rng.ExpFloat64()), max(1.5, 9*rng.ExpFloat64())
			s.Faults = append(s.Faults, simulate.Fault{Kind: review.Blocked, Run: "B-4", AtS: at, ForS: on, FallS: 0.4, Left: 0.03})
			at += on + off
		}
		res := reviewed(t, f, recorded(t, s, f), 4096)
		for _, ev := range res.Events {
			if ev.Kind != review.Blocked && ev.Kind != review.Restricted || ev.EndNS-res.Events[0].StartNS > 650e9 {
				t.Errorf("seed %d: %s", seed, ev.Sentence)
			}
		}
	}
}
