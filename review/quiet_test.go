package review_test

import (
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"runproof/flowlog"
	"runproof/review"
)

// lifted calls fn for every sample recorded while lifted, with the number of
// that lift, from 1 on.
func lifted(l *flowlog.Log, fn func(i, lift int)) {
	work := l.Values[column(l, "work")]
	lift := 0
	for i := range work {
		if work[i] != 0 {
			continue
		}
		if i == 0 || work[i-1] != 0 {
			lift++
		}
		fn(i, lift)
	}
}

func column(l *flowlog.Log, name string) int {
	for c, col := range l.Columns {
		if col.Name == name {
			return c
		}
	}
	return -1
}

// TestShakenSensorsAreNotNoisy: in two hours 18 sensors that count 0.7 particles
// a second each while the drill is carried (design: shaking counts a little
// everywhere, common practice, no source) beside 12 in work raise nothing: in the
// few seconds after which a sensor is judged each counts 0 or 1 in most frames, and
// 12 by chance every few hundred lifts. One that counts 8 a second is noisy.
func TestShakenSensorsAreNotNoisy(t *testing.T) {
	f := fitOf(threeHeads())
	for _, noisy := range []string{"", "N2:3"} {
		s := scenario(threeHeads(), 2)
		s.Flow[0].PerRunS = 12
		l := recorded(t, s, f)
		shake := distuv.Poisson{Lambda: 0.7 * s.IntervalS, Src: rand.NewPCG(3, 9)}
		much := distuv.Poisson{Lambda: 8 * s.IntervalS, Src: rand.NewPCG(4, 9)}
		lifted(l, func(i, _ int) {
			for _, c := range l.Columns {
				if c.Kind == flowlog.Port {
					l.Values[column(l, c.Name)][i] += shake.Rand()
				}
			}
			if noisy != "" {
				l.Values[column(l, noisy)][i] += much.Rand()
			}
		})
		runs := map[string]bool{}
		for _, ev := range reviewed(t, f, l, 4096).Events {
			runs[string(ev.Run)] = true
			if ev.Kind != review.Noisy {
				t.Errorf("%s", ev.Sentence)
			}
		}
		if want := noisy != ""; len(runs) > 1 || runs["B-3"] != want {
			t.Errorf("noisy %q: events of %v", noisy, runs)
		}
	}
}

// TestFirstLiftWithAStop: where the drill stands as it is lifted for the first
// time, flow ends with the travel, sooner than it does at other lifts. That is not
// the lag of the command, after which sensors that count are noisy.
func TestFirstLiftWithAStop(t *testing.T) {
	f := fitOf(threeHeads())
	l := recorded(t, scenario(threeHeads(), 1), f)
	speed := l.Values[column(l, "speed")]
	since := 0
	lifted(l, func(i, lift int) {
		if lift > 1 {
			return
		}
		speed[i] = 0
		if since++; since > 2 {
			for c, col := range l.Columns {
				if col.Kind == flowlog.Port {
					l.Values[c][i] = 0
				}
			}
		}
	})
	for _, ev := range reviewed(t, f, l, 4096).Events {
		t.Errorf("%s", ev.Sentence)
	}
}
