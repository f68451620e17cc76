package simulate

import (
	"encoding/csv"
	"io"
	"math"
	"math/rand/v2"
	"slices"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/review"
)

// Mark is a note of the person in the yard: the run about to be pinched, and
// the time on the notes' own clock.
type Mark struct {
	TimeNS int64
	Run    drill.RunID
}

// schedule is who is pinched when.
type schedule struct {
	s     *Scenario
	f     *fit.Fit
	at    []pinch
	endS  float64
	burst map[drill.RunID]float64
}

type pinch struct {
	run      drill.RunID
	atS      float64
	lengthS  float64
	markedS  float64 // on the recorder's clock, with the person's error
	unmarked bool
}

func newSchedule(s *Scenario, f *fit.Fit, rng *rand.Rand) *schedule {
	sc := &schedule{s: s, f: f, burst: map[drill.RunID]float64{}}
	var runs []drill.RunID
	for _, l := range f.Map {
		if !slices.Contains(f.Drill.Closed, l.Run) && !slices.Contains(s.Walk.Unwalked, l.Run) {
			runs = append(runs, l.Run)
		}
	}
	if s.Walk.Shuffle {
		rng.Shuffle(len(runs), func(i, j int) { runs[i], runs[j] = runs[j], runs[i] })
	}
	t := 15.0
	for _, id := range runs {
		p := pinch{run: id, atS: t, lengthS: s.Walk.PinchS * (0.8 + 0.4*rng.Float64()), unmarked: slices.Contains(s.Walk.UnmarkedRuns, id)}
		p.markedS = p.atS + s.Walk.MarkJitterS*(2*rng.Float64()-1)
		sc.at = append(sc.at, p)
		sc.burst[id] = 30 + 30*rng.Float64()
		t += max(p.lengthS+2, s.Walk.PaceS*(0.85+0.3*rng.Float64()))
	}
	sc.endS = t
	return sc
}

// pinches are the walk as blocked hoses, so that siblings rise as in the field.
func (sc *schedule) pinches() []Fault {
	if sc.s.Walk.Method == Tap {
		return nil
	}
	var out []Fault
	for _, p := range sc.at {
		out = append(out, Fault{Kind: review.Blocked, Run: p.run, AtS: p.atS, ForS: p.lengthS, FallS: 0.4, Left: sc.s.Walk.Left})
	}
	return out
}

// tap lets the tapped sensor see a burst.
func (sc *schedule) tap(t float64, hoses []hose) {
	for k := range hoses {
		hoses[k].perS = 0
	}
	for _, p := range sc.at {
		if t > p.atS && t <= p.atS+p.lengthS {
			for k := range hoses {
				if hoses[k].ID == p.run {
					hoses[k].perS = sc.burst[p.run]
				}
			}
		}
	}
}

// connect passes the hoses round as the scenario says, joins the shared ones
// and mutes the dead sensors.
func (sc *schedule) connect(ears []ear, hose, at map[drill.RunID]int) {
	for _, cycle := range sc.s.Walk.Swaps {
		for i, id := range cycle {
			ears[at[cycle[(i+1)%len(cycle)]]].hoses = []int{hose[id]}
		}
	}
	for _, pair := range sc.s.Walk.SharedHoses {
		for _, id := range pair {
			ears[at[id]].hoses = []int{hose[pair[0]], hose[pair[1]]}
			ears[at[id]].weight = 0.5
		}
	}
	for _, id := range sc.s.Walk.DeadSensors {
		for c := range ears {
			if ears[c].hoses[0] == hose[id] {
				ears[c].mute = true
			}
		}
	}
}

// tell writes the walk's truth: where every hose is found.
func (sc *schedule) tell(t *Truth, start startTime) {
	port := map[drill.RunID]fit.PortRef{}
	for _, l := range sc.f.Map {
		port[l.Run] = l.Ref()
	}
	found := map[drill.RunID]drill.RunID{}
	for _, cycle := range sc.s.Walk.Swaps {
		for i, id := range cycle {
			found[id] = cycle[(i+1)%len(cycle)]
		}
	}
	for i := range t.Runs {
		r := &t.Runs[i]
		r.Verdict = "as_planned"
		if to, ok := found[r.Run]; ok && to != r.Run {
			p := port[to]
			r.Found, r.Verdict = &p, "moved"
		}
		for _, pair := range sc.s.Walk.SharedHoses {
			if k := slices.Index(pair, r.Run); k >= 0 {
				p := port[pair[1-k]]
				r.Also, r.Verdict = &p, "shared"
			}
		}
		if slices.Contains(sc.s.Walk.DeadSensors, r.Run) {
			r.Found, r.Verdict = nil, "silent"
		}
		walked := slices.IndexFunc(sc.at, func(p pinch) bool { return p.run == r.Run })
		if walked < 0 {
			r.Verdict = "not_walked"
			continue
		}
		r.PinchedAt = start.at(sc.at[walked].atS)
	}
}

// Marks are the notes of a walk, in the order they were written.
func (r *Recording) Marks() []Mark {
	if r.walk == nil {
		return nil
	}
	var out []Mark
	for _, p := range r.walk.at {
		if !p.unmarked {
			t := p.markedS - r.s.Walk.MarkOffsetS
			out = append(out, Mark{r.start.ns + int64(math.Round(t*100))*1e7, p.run})
		}
	}
	return out
}

// WriteMarks writes marks.csv: time,run.
func (r *Recording) WriteMarks(w io.Writer) error {
	c := csv.NewWriter(w)
	c.Write([]string{"time", "run"})
	for _, m := range r.Marks() {
		c.Write([]string{r.start.clock.Format(m.TimeNS), string(m.Run)})
	}
	c.Flush()
	return c.Error()
}

var _ flowlog.Reader = (*Recording)(nil)
