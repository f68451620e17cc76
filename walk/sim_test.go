package walk

import (
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"
)

// score counts how the proof stands against the truth.
type score struct{ runs, right, wrongPlanned, unsure, sure, sureRight int }

func (s *score) add(proof *Proof, want []truth) (bad []string) {
	for i, r := range proof.Runs {
		t := want[i]
		ok := r.Verdict == t.verdict || slices.Contains(t.accept, r.Verdict)
		if r.Verdict == Moved || r.Verdict == AsPlanned {
			ok = ok && (t.verdict == NotWalked || *r.Found == t.found)
		}
		s.runs++
		if ok {
			s.right++
		} else {
			bad = append(bad, fmt.Sprintf("%s: %v, want %v at %v: %s (%.4f) found %v also %v", r.Run, r.Verdict, t.verdict, t.found, r.Reason, r.Confidence, r.Found, r.Also))
		}
		if r.Verdict == Unsure {
			s.unsure++
		}
		if r.Verdict == AsPlanned && t.verdict != AsPlanned && !slices.Contains(t.accept, AsPlanned) {
			s.wrongPlanned++
			bad = append(bad, "WRONG AS PLANNED")
		}
		if r.Verdict != Unsure && r.Verdict != NotWalked && r.Confidence >= 0.99 {
			s.sure++
			if ok {
				s.sureRight++
			}
		}
	}
	return bad
}

func TestManyYards(t *testing.T) {
	n, from := 20, 1
	if v := os.Getenv("YARDS"); v != "" {
		n, _ = strconv.Atoi(v)
	}
	if v := os.Getenv("FROM"); v != "" {
		from, _ = strconv.Atoi(v)
	}
	var s score
	for seed := from; seed < from+n; seed++ {
		rng := rand.New(rand.NewPCG(uint64(seed), 77))
		y := drawYard(rng)
		log, marks, want, f := y.record(rng)
		proof, err := Prove(f, log, Options{Marks: marks})
		if err != nil {
			t.Fatal(seed, err)
		}
		if bad := s.add(proof, want); len(bad) > 0 {
			t.Logf("seed %d heads %v dt %g rate %.0f disp %.2f noise %.2f tap %v flow %v marked %v dead %v joined %v pinch %v lost %.3f", seed, y.heads, y.dtS, y.rateHz, y.disp, y.noise, y.tap, y.flowTap, y.marked, y.dead, y.joined, y.pinchS, y.lost)
			for i, b := range bad {
				if i < 6 {
					t.Log("   ", b)
				}
			}
		}
	}
	t.Logf("%+v right %.3f%%", s, 100*float64(s.right)/float64(s.runs))
}
