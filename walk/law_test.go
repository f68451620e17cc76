package walk

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
)

// lawful checks a law on a dozen drawn walks; each takes some milliseconds,
// so a hundred, as rapid draws, would be too many.
func lawful(t *testing.T, law func(t *testing.T, rng *rand.Rand)) {
	for seed := range 12 {
		law(t, rand.New(rand.NewPCG(uint64(seed), 9)))
	}
}

// anyYard is a small walk with some faults.
func anyYard(rng *rand.Rand) (*flowlog.Log, *Marks, *fit.Fit) {
	y := plainYard()
	y.heads, y.perNode = []int{5, 4}, 6
	y.marked = rng.IntN(2) == 0
	y.offsetS = 20 * rng.NormFloat64()
	y.place = swapped(9, [2]int{rng.IntN(9), rng.IntN(9)})
	if rng.IntN(2) == 0 {
		y.dead[rng.IntN(9)] = "zero"
	}
	log, marks, _, f := y.record(rng)
	return log, marks, f
}

func mustProve(t *testing.T, f *fit.Fit, log *flowlog.Log, m *Marks) *Proof {
	p, err := Prove(f, log, Options{Marks: m})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// alike compares verdicts and ports; rename maps the ports of a to those of b.
func alike(t *testing.T, a, b *Proof, rename func(fit.PortRef) fit.PortRef) {
	for i, r := range a.Runs {
		q := b.Runs[i]
		same := r.Verdict == q.Verdict && (r.Found == nil) == (q.Found == nil) && math.Abs(r.Confidence-q.Confidence) < 0.01
		if same && r.Found != nil {
			same = rename(*r.Found) == *q.Found
		}
		if !same {
			t.Fatalf("%s: %v %v %g, then %v %v %g", r.Run, r.Verdict, r.Found, r.Confidence, q.Verdict, q.Found, q.Confidence)
		}
	}
}

func unchanged(r fit.PortRef) fit.PortRef { return r }

func TestOrderOfColumnsDoesNotMatter(t *testing.T) {
	lawful(t, func(t *testing.T, rng *rand.Rand) {
		log, marks, f := anyYard(rng)
		was := mustProve(t, f, log, marks)
		perm := rng.Perm(9)
		other := &flowlog.Log{Schema: flowlog.Schema{Clock: log.Clock}, Batch: flowlog.Batch{TimeNS: log.TimeNS}}
		for _, c := range perm {
			other.Columns = append(other.Columns, log.Columns[c])
			other.Values = append(other.Values, log.Values[c])
		}
		alike(t, was, mustProve(t, f, other, marks), unchanged)
	})
}

func TestPermutingPortsPermutesTheProof(t *testing.T) {
	lawful(t, func(t *testing.T, rng *rand.Rand) {
		log, marks, f := anyYard(rng)
		was := mustProve(t, f, log, marks)
		perm := rng.Perm(6)
		rename := func(r fit.PortRef) fit.PortRef { return fit.PortRef{Node: r.Node, Port: perm[r.Port-1] + 1} }
		g, other := *f, *log
		g.Map = slices.Clone(f.Map)
		for i, l := range g.Map {
			g.Map[i].Port = rename(l.Ref()).Port
		}
		other.Columns = slices.Clone(log.Columns)
		for i, c := range other.Columns {
			other.Columns[i] = flowlog.PortColumn(rename(c.Port))
		}
		alike(t, was, mustProve(t, &g, &other, marks), rename)
	})
}

// The search of the offset goes in steps, so a shift by a part of one may end
// on another start of a reaction, a bin away.
func TestShiftingTheMarksClockChangesOnlyTheOffset(t *testing.T) {
	lawful(t, func(t *testing.T, rng *rand.Rand) {
		log, marks, f := anyYard(rng)
		if marks == nil {
			return
		}
		was := mustProve(t, f, log, marks)
		d := 60*rng.Float64() - 30
		later := *marks
		later.Marks = slices.Clone(marks.Marks)
		for i := range later.Marks {
			later.Marks[i].TimeNS += int64(d * 1e9)
		}
		now := mustProve(t, f, log, &later)
		alike(t, was, now, unchanged)
		if was.ClockOffsetS != nil && math.Abs(*now.ClockOffsetS-*was.ClockOffsetS+d) > 0.2 {
			t.Fatalf("offset %g, shifted by %g: %g", *was.ClockOffsetS, d, *now.ClockOffsetS)
		}
	})
}

func TestDoublingTheCountsOfAHeadChangesNoVerdict(t *testing.T) {
	lawful(t, func(t *testing.T, rng *rand.Rand) {
		log, marks, f := anyYard(rng)
		was := mustProve(t, f, log, marks)
		other := *log
		other.Values = slices.Clone(log.Values)
		for c := range 5 { // of head H1
			v := slices.Clone(log.Values[c])
			for i := range v {
				v[i] *= 2
			}
			other.Values[c] = v
		}
		for i, r := range mustProve(t, f, &other, marks).Runs {
			if v := was.Runs[i].Verdict; r.Verdict != v && v != Unsure && r.Verdict != Unsure {
				t.Fatalf("%s: %v, then %v", r.Run, v, r.Verdict)
			}
		}
	})
}

func TestSameInputSameProof(t *testing.T) {
	lawful(t, func(t *testing.T, rng *rand.Rand) {
		log, marks, f := anyYard(rng)
		a, b := mustProve(t, f, log, marks), mustProve(t, f, log, marks)
		if x, y := text(a), text(b); x != y {
			t.Fatalf("%s\n%s", x, y)
		}
	})
}

// TestMovesRestoreThePlan does the moves one after the other: each tube goes
// once, to a port that is free when its turn comes (the loose one included),
// and ends where the plan wants it.
func TestMovesRestoreThePlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "runs")
		at := rapid.Permutation(inOrder(n+3)).Draw(t, "ports")[:n]
		port := func(i int) fit.PortRef { return fit.PortRef{Node: "4103", Port: i + 1} }
		p := &Proof{}
		misplaced := 0
		tube := map[fit.PortRef]string{} // port: run
		for i := range n {
			found := port(at[i])
			r := Run{Run: drill.NewRunID("A", i+1), Planned: port(i), Found: &found, Verdict: AsPlanned}
			if at[i] != i {
				r.Verdict = Moved
				misplaced++
			}
			tube[found] = string(r.Run)
			p.Runs = append(p.Runs, r)
		}
		p.restore()
		if len(p.Moves) != misplaced {
			t.Fatalf("%d moves for %d tubes", len(p.Moves), misplaced)
		}
		for k, m := range p.Moves {
			if other, taken := tube[m.To]; taken { // then that tube is taken off first, and its own move comes later
				if !slices.ContainsFunc(p.Moves[k+1:], func(l Move) bool { return string(l.Run) == other }) {
					t.Fatalf("%v: port taken by %s", m, other)
				}
				delete(tube, m.To)
			}
			if tube[m.From] == string(m.Run) {
				delete(tube, m.From)
			}
			tube[m.To] = string(m.Run)
		}
		for _, r := range p.Runs {
			if tube[r.Planned] != string(r.Run) {
				t.Fatalf("%s ends elsewhere: %v", r.Run, tube)
			}
		}
	})
}
