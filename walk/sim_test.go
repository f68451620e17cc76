package walk

import (
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"

	"runproof/counts"
)

// score counts how proofs stand against the truth.
type score struct {
	runs, right, wrongPlanned, unsure int
	said                              [4]struct{ n, wrong int } // by confidence, see sureFrom
}

// sureFrom are the confidences from which the reliability table counts.
var sureFrom = [4]float64{0.7, 0.9, 0.99, 0.999}

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
		if r.Verdict == AsPlanned && t.verdict != AsPlanned && !slices.Contains(t.accept, AsPlanned) {
			s.wrongPlanned++
			bad = append(bad, "WRONG AS PLANNED")
		}
		if r.Verdict == Unsure {
			s.unsure++
		} else if r.Verdict != NotWalked {
			s.table(r.Confidence, ok)
		}
	}
	return bad
}

func (s *score) table(confidence float64, ok bool) {
	for k, from := range sureFrom {
		if confidence >= from {
			s.said[k].n++
			if !ok {
				s.said[k].wrong++
			}
		}
	}
}

// mostWrong is the number of errors among n that a true error rate p exceeds
// once in a thousand: the 99.9 % quantile of Binomial(n, p).
func mostWrong(n int, p float64) int {
	k := 0
	for (counts.Binomial{N: n, P: p}).Survival(k) > 1e-3 {
		k++
	}
	return k
}

func many(name string, usual int) int {
	if v, err := strconv.Atoi(os.Getenv(name)); err == nil {
		return v
	}
	return usual
}

// TestManyYards proves walks drawn over all that the job has to bear and more
// (see drawYard: drills of three runs, faint taps over flow, several faults in
// a small drill). It holds: no wrong as_planned; no more than one in 200 runs
// told wrongly; 98 % told rightly, the rest being left open (99.4 % over seeds
// 1000 to 2199); and the reliability table: of runs said with probability c or
// more, no more than 1-c are wrong. Each bound but the last but one is the
// 99.9 % quantile of the binomial law. YARDS and FROM choose other seeds.
func TestManyYards(t *testing.T) {
	var s score
	from := many("FROM", 1)
	for seed := from; seed < from+many("YARDS", 60); seed++ {
		rng := rand.New(rand.NewPCG(uint64(seed), 77))
		y := drawYard(rng)
		log, marks, want, f := y.record(rng)
		proof, err := Prove(f, log, Options{Marks: marks})
		if err != nil {
			t.Fatal(seed, err)
		}
		if bad := s.add(proof, want); len(bad) > 0 {
			t.Logf("seed %d heads %v dt %g rate %.0f disp %.2f noise %.2f tap %v flow %v marked %v dead %v joined %v", seed, y.heads, y.dtS, y.rateHz, y.disp, y.noise, y.tap, y.flowTap, y.marked, y.dead, y.joined)
			for _, b := range bad[:min(len(bad), 6)] {
				t.Log("   ", b)
			}
		}
	}
	t.Logf("%d runs, %.3f %% right, %d unsure", s.runs, 100*float64(s.right)/float64(s.runs), s.unsure)
	if s.wrongPlanned > 0 {
		t.Errorf("%d runs wrongly called as planned", s.wrongPlanned)
	}
	if wrong := s.runs - s.right - s.unsure; wrong > mostWrong(s.runs, 0.005) {
		t.Errorf("%d of %d runs told wrongly", wrong, s.runs)
	}
	if float64(s.right) < 0.98*float64(s.runs) {
		t.Errorf("%d of %d runs told rightly", s.right, s.runs)
	}
	for k, c := range sureFrom {
		said := s.said[k]
		t.Logf("said at least %g sure: %d, wrong %d", c, said.n, said.wrong)
		if said.wrong > mostWrong(said.n, 1-c) {
			t.Errorf("of %d said at least %g sure, %d are wrong", said.n, c, said.wrong)
		}
	}
}
