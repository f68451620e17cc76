package practice

import (
	"fmt"
	"math"

	"runproof/check"
	"runproof/drill"
	"runproof/fit"
	"runproof/measure"
)

const sensorsRule = "sensors alike far from their head"

// alikeM is how far apart the distances of sensors from one head may be, m, and
// still count as about the same: common practice, no source.
const alikeM = 0.10

// sensors judges how much the distances of a head's sensors from it differ. A
// sensor's distance is what its tube has over the way from node to head, or all
// of its hose where that is shorter. As long as hoses are only estimated by
// straight reach (see airflow) they break nothing: then the tape measure tells.
func (j judge) sensors() check.Results {
	hoses := make(map[drill.RunID]float64)
	guessed := make(map[drill.HeadID]bool)
	for _, h := range j.f.Air.Heads {
		guessed[h.Head] = h.Division.Estimated
		for _, a := range h.Division.Hoses {
			hoses[a.Run] = a.LengthM
		}
	}
	links := make(map[drill.HeadID][]fit.Link)
	for _, l := range j.f.Map {
		head := j.runs[l.Run].Head
		links[head] = append(links[head], l)
	}
	var rs check.Results
	for _, h := range j.f.Drill.Heads {
		if len(links[h.ID]) > 0 {
			rs = append(rs, j.spread(h.ID, links[h.ID], hoses, guessed[h.ID]))
		}
	}
	return telling(rs, "heads")
}

// spread is how much the distances differ at one head.
func (j judge) spread(head drill.HeadID, links []fit.Link, hoses map[drill.RunID]float64, guessed bool) check.Result {
	mapped, whole := newSpan(), newSpan()
	var shortest drill.RunID
	for _, l := range links {
		m := l.TubeM - j.apartM(l)
		mapped.add(m)
		if hose, ok := hoses[l.Run]; ok && hose < m {
			m = hose
		}
		if whole.add(m) {
			shortest = l.Run
		}
	}
	r := check.Result{
		Rule: sensorsRule, Of: fmt.Sprintf("head %s", head), Quantity: measure.Length, Value: whole.wide(), Bound: check.AtMost, Limit: alikeM,
		Source: check.CommonPractice,
	}
	lacking := ""
	if guessed && r.Value > alikeM && mapped.wide() <= alikeM {
		lacking = fmt.Sprintf("measure hose %s: by straight reach it is about %.2f m long, too short for a sensor as far out as on the others", shortest, whole.lo)
		r.Value = math.NaN()
	}
	return r.Advised("put the sensors of a head at one distance from it, or the shares of its runs cannot be compared: nearer on all where one hose is too short", lacking)
}

// span is from the least to the greatest of some figures.
type span struct{ lo, hi float64 }

func newSpan() span { return span{math.Inf(1), math.Inf(-1)} }

// add widens the span, and tells whether the figure is the new least.
func (s *span) add(v float64) (least bool) {
	least = v < s.lo
	s.lo, s.hi = math.Min(s.lo, v), math.Max(s.hi, v)
	return least
}

func (s span) wide() float64 { return measure.Round(s.hi-s.lo, 6) }
