package simulate_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"runproof/flowlog"
	"runproof/simulate"
	"runproof/walk"
	"runproof/workstate"
)

// TestWorkColumnOfAField: a recording of a field day, with its transport lag
// between nothing and five seconds, shows whether the column of its work state is
// right, and what else it may be. The truth of the column is the simulator's.
func TestWorkColumnOfAField(t *testing.T) {
	for _, lagS := range []float64{0, 2, 5} {
		s := steady(60, 0.5, 0.4)
		s.Seed = uint64(lagS)
		s.Law = simulate.Defaults().Law
		s.Law.StartLagS, s.Law.StopLagS = lagS, lagS
		s.Field = simulate.Field{LatDeg: 52, LonDeg: -106.5, PassM: 250, TurnS: 25, TurnRadiusM: 8}
		l, _ := record(t, &s, fitOf(twoHeads(12)))
		work := l.Column(flowlog.Work)
		loose := rand.New(rand.NewPCG(1, 2))
		for _, c := range []struct {
			name string
			make func(v float64) float64
			want workstate.Verdict
		}{
			{"right", func(v float64) float64 { return v }, workstate.Agrees},
			{"turned round", func(v float64) float64 { return 1 - v }, workstate.Inverted},
			{"held at lifted", func(float64) float64 { return 0 }, workstate.Stuck},
			{"held at work", func(float64) float64 { return 1 }, workstate.Stuck},
			{"wired to nothing, drifting", func(float64) float64 { return float64(loose.IntN(2)) }, workstate.Flickers},
			{"not reported", func(float64) float64 { return math.NaN() }, workstate.Absent},
		} {
			col := make([]float64, len(work))
			for i, v := range work {
				col[i] = c.make(v)
			}
			if a := agree(l, col); a.Verdict != c.want {
				t.Errorf("lag %g s, %s: %+v", lagS, c.name, a)
			}
		}
	}
}

// TestWorkColumnOfAYard: pinches are no stops of the flow. A drill that stands
// lowered proves nothing; one that reads lifted while product runs is told.
func TestWorkColumnOfAYard(t *testing.T) {
	for _, rows := range []int{2, 4, 12, 48} {
		s := simulate.Defaults()
		s.Runproof, s.Kind, s.Seed, s.IntervalS = simulate.Version, simulate.Yard, 5, 0.2
		l, _ := record(t, &s, fitOf(twoHeads(rows)))
		col := make([]float64, l.Len())
		// Two rows are a walk of half a minute: too short to call it.
		if a := agree(l, col); a.Verdict != workstate.Stuck && rows > 2 || a.Verdict == workstate.Agrees {
			t.Errorf("%d rows, lifted all the time: %+v", rows, a)
		}
		for i := range col {
			col[i] = 1
		}
		if a := agree(l, col); a.Verdict != workstate.Unsure || a.Verdict.Attention() {
			t.Errorf("%d rows, lowered all the time: %+v", rows, a)
		}
	}
}

// TestWorkColumnOfTaps: in a walk by tapping no product flows, and bursts of
// single sensors are no starts and stops of a flow.
func TestWorkColumnOfTaps(t *testing.T) {
	for _, rows := range []int{2, 12} {
		for _, paceS := range []float64{4, 8, 20} {
			s := simulate.Defaults()
			s.Runproof, s.Kind, s.Seed, s.IntervalS = simulate.Version, simulate.Yard, 6, 0.2
			s.Walk.Method, s.Walk.PaceS = simulate.Tap, paceS
			f := fitOf(twoHeads(rows))
			l, _ := record(t, &s, f)
			for _, held := range []float64{0, 1} {
				col := make([]float64, l.Len())
				for i := range col {
					col[i] = held
				}
				log := &flowlog.Log{Schema: l.Schema, Batch: l.Batch}
				log.Columns = append(slices.Clone(l.Columns), flowlog.ColumnNamed("work"))
				log.Values = append(slices.Clone(l.Values), col)
				p, err := walk.Prove(f, log, walk.Options{})
				if err != nil {
					t.Fatal(err)
				}
				if a := p.WorkState; a == nil || a.Verdict != workstate.Unsure {
					t.Errorf("%d rows, a tap each %g s, column at %g: %+v", rows, paceS, held, a)
				}
			}
		}
	}
}

// agree judges a column by the log's ports.
func agree(l *flowlog.Log, work []float64) workstate.Agreement {
	timeS, counts, ports := make([]float64, l.Len()), make([]float64, l.Len()), 0
	for i, ns := range l.TimeNS {
		timeS[i] = float64(ns) / 1e9
	}
	for c, column := range l.Columns {
		if column.Kind != flowlog.Port {
			continue
		}
		ports++
		for i, v := range l.Values[c] {
			if !flowlog.IsMissing(v) {
				counts[i] += v
			}
		}
	}
	return workstate.Agree(timeS, work, counts, ports)
}
