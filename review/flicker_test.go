package review_test

import (
	"fmt"
	"math"
	"testing"

	"runproof/drill"
	"runproof/review"
	"runproof/simulate"
)

// comingAndGoing makes a run fail for on seconds, and be sound for off, so many
// times.
func comingAndGoing(kind review.Kind, run drill.RunID, on, off float64, times int) []simulate.Fault {
	var out []simulate.Fault
	for k := range times {
		ft := simulate.Fault{Kind: kind, Run: run, AtS: 800 + float64(k)*(on+off), ForS: on}
		if kind == review.Blocked {
			ft.FallS, ft.Left = 0.3, 0.04
		}
		out = append(out, ft)
	}
	return out
}

// TestComingAndGoing: a hose that plugs and clears, or a sensor that fails and
// comes back, is one event with its duty. Frames last half a second, so that each
// spell is told up to half a second longer at either end; the way between the
// first beginning and the last end holds one rest less than spells.
func TestComingAndGoing(t *testing.T) {
	f := fitOf(threeHeads())
	for _, c := range []struct {
		perS, on, off float64
		times         int
	}{{40, 4, 12, 20}, {40, 10, 30, 8}, {40, 2, 8, 30}, {40, 1.5, 3, 60}, {40, 1, 5, 60}, {40, 20, 90, 5}, {15, 4, 12, 20}, {15, 10, 30, 8}, {15, 20, 90, 5}} {
		for _, kind := range []review.Kind{review.Blocked, review.SensorLost} {
			t.Run(fmt.Sprintf("%s %.4gs in %.4gs at %.3g/s", kind, c.on, c.on+c.off, c.perS), func(t *testing.T) {
				s := scenario(threeHeads(), 0.7, comingAndGoing(kind, "B-3", c.on, c.off, c.times)...)
				s.Flow[0].PerRunS = c.perS
				res := reviewed(t, f, recorded(t, s, f), 4096)
				if len(res.Events) != 1 || res.Events[0].Intermittent == nil {
					for _, ev := range res.Events {
						t.Log(ev.Sentence)
					}
					t.Fatalf("%d events of one fault that comes and goes", len(res.Events))
				}
				ev := res.Events[0]
				if hose := ev.Kind.LosesSeed(); hose != (kind == review.Blocked) {
					t.Errorf("named %s: %s", ev.Kind, ev.Sentence)
				}
				n := float64(c.times)
				least, most := c.on/(c.on+c.off), (c.on+1)*n/(n*(c.on+c.off)-c.off)
				if d := ev.Intermittent.Duty; d < 0.85*least || d > 1.1*most {
					t.Errorf("duty %.3f, was %.3f to %.3f", d, least, most)
				}
				if math.Abs(float64(ev.Intermittent.Spells)-n) > 0.15*n+1 { // some fall into a headland turn
					t.Errorf("%d spells, were %d", ev.Intermittent.Spells, c.times)
				}
			})
		}
	}
}

// TestSteadyIsNotComingAndGoing: a run that is low for five minutes on end is
// that, however few particles there are to tell by.
func TestSteadyIsNotComingAndGoing(t *testing.T) {
	f := fitOf(threeHeads())
	for _, perS := range []float64{8, 15, 40} {
		for _, left := range []float64{0.04, 0.15, 0.3, 0.45} {
			s := scenario(threeHeads(), 0.7)
			s.Seed, s.Flow[0].PerRunS = uint64(100*left+perS), perS
			kind := review.Restricted
			if left < 0.1 {
				kind = review.Blocked
			}
			for k, run := range []drill.RunID{"A-2", "B-3", "C-5"} {
				s.Faults = append(s.Faults, simulate.Fault{Kind: kind, Run: run, AtS: 800 + 500*float64(k), ForS: 300, FallS: 1, Left: left})
			}
			for _, ev := range reviewed(t, f, recorded(t, s, f), 4096).Events {
				if ev.Intermittent != nil {
					t.Errorf("%g/s, %g left: %s", perS, left, ev.Sentence)
				}
			}
		}
	}
}

// TestPiecesBeginWithTheFall: a hose that takes two seconds to fill is plugged
// from their beginning; ten seconds at a time, twenty times over, come to the way
// that the simulation drove in them, but for half a frame of half a second at
// either end of each, at random: 20 x 0.5 s of 200 s at most.
func TestPiecesBeginWithTheFall(t *testing.T) {
	f := fitOf(threeHeads())
	s := scenario(threeHeads(), 0.7)
	for k := range 20 {
		s.Faults = append(s.Faults, simulate.Fault{Kind: review.Blocked, Run: "B-3", AtS: 700 + 40.3*float64(k), ForS: 10, FallS: 2, Left: 0.04})
	}
	r, err := simulate.New(s, f)
	if err != nil {
		t.Fatal(err)
	}
	res, err := review.Run(f, r, review.Options{})
	if err != nil {
		t.Fatal(err)
	}
	want := 0.0
	for _, ev := range r.Truth().Events {
		want += ev.Metres
	}
	if len(res.Events) != 1 || res.Events[0].Intermittent == nil {
		t.Fatalf("%d events", len(res.Events))
	}
	if got := res.Events[0].Metres; math.Abs(got/want-1) > 0.05 {
		t.Errorf("%.1f m, were %.1f", got, want)
	}
}

// TestLongRestsBetweenPlugs: a hose that plugs every four minutes does so time and
// again.
func TestLongRestsBetweenPlugs(t *testing.T) {
	f := fitOf(threeHeads())
	s := scenario(threeHeads(), 0.8, comingAndGoing(review.Blocked, "B-3", 12, 220, 7)...)
	s.Field.PassM = 3000
	res := reviewed(t, f, recorded(t, s, f), 4096)
	if len(res.Events) != 1 || res.Events[0].Intermittent == nil {
		t.Errorf("%d events", len(res.Events))
	}
}
