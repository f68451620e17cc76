package evenness

import (
	"fmt"
	"slices"

	"runproof/drill"
)

// blockedSiblings says of each fertiliser head of which runs lost flow on the
// day what the others got when it was worst.
func blockedSiblings(d *drill.Drill, opt FieldOptions) []SiblingRise {
	out := []SiblingRise{}
	for _, h := range d.Heads {
		p, _ := d.Product(h.Product)
		content, known, is := opt.SafeRates.fertiliser(p)
		if !is {
			continue
		}
		w := worstOf(shortRuns(h, opt.Faults))
		if w.lost == 0 {
			continue
		}
		s := SiblingRise{Product: p.ID, Head: h.ID, Outlets: openOutlets(d, h.ID), Blocked: w.runs, Since: w.since}
		lead := ""
		if others := s.Outlets - len(w.runs); others > 0 {
			rise := RiseOf(s.Outlets, len(w.runs), w.lost)
			s.Rise = finite(rise)
			lead = fmt.Sprintf("%s lost %s from %s on: each of the other %d of head %s got %.1f %% more", runIDs(w.runs), lostWords(w), w.since, others, s.Head, 100*(rise-1))
		}
		s.judge(d, p, opt.SafeRates, judged{content, known, opt.OpenerSpreadM, lead})
		if s.Rise == nil {
			s.Words = fmt.Sprintf("All runs of head %s lost flow at once, from %s on: there are no others to rise.", s.Head, w.since)
		}
		out = append(out, s)
	}
	return out
}

// RiseOf is the factor by which the others of a head of n equal open outlets get
// more when so many of its runs together lose a part of their flow, 1 for each
// that loses all of it: 1 + lost/(n - runs). With one that loses all it is
// n/(n-1).
func RiseOf(n, runs int, lost float64) float64 { return 1 + lost/float64(n-runs) }

// atOnce are runs of a head that lost flow at the same time.
type atOnce struct {
	runs  []drill.RunID
	lost  float64 // of each run's flow, summed
	since string
}

func lostWords(w atOnce) string {
	if len(w.runs) == 1 {
		return fmt.Sprintf("%.0f %% of its flow", 100*w.lost)
	}
	return fmt.Sprintf("%.0f %% of their flow together", 100*w.lost/float64(len(w.runs)))
}

// shortRuns are the faults in which a single run of the head lost flow.
func shortRuns(h drill.Head, faults []Fault) []Fault {
	var mine []drill.RunID
	for o := range h.Rows {
		mine = append(mine, drill.NewRunID(h.ID, o+1))
	}
	return slices.DeleteFunc(slices.Clone(faults), func(f Fault) bool {
		return f.Lost <= 0 || len(f.Runs) != 1 || !slices.Contains(mine, f.Runs[0])
	})
}

// worstOf is the time at which most was lost at once: it begins with one of the
// faults. A run that has two counts once, by the greater.
func worstOf(faults []Fault) (worst atOnce) {
	for _, first := range faults {
		lost := map[drill.RunID]float64{}
		now := atOnce{since: first.Start}
		for _, f := range faults {
			if f.StartNS <= first.StartNS && first.StartNS < f.EndNS {
				if _, known := lost[f.Runs[0]]; !known {
					now.runs = append(now.runs, f.Runs[0])
				}
				lost[f.Runs[0]] = max(lost[f.Runs[0]], f.Lost)
			}
		}
		for _, id := range now.runs {
			now.lost += lost[id]
		}
		if now.lost > worst.lost {
			worst = now
		}
	}
	return worst
}
