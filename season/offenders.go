package season

import (
	"cmp"
	"fmt"
	"slices"

	"runproof/counts"
	"runproof/measure"
)

// suspect is one place and trouble that is looked at.
type suspect struct {
	*Line
	count, days int
	hours       float64
	of, among   int
	expected    float64
	p, adjusted float64
}

// offenders finds what stands out, and says how much was looked at. Runs come
// first; heads and nodes are looked at without the runs that stand out
// themselves, so that one bad hose does not make a bad head.
func offenders(doc *Document) (found []Offender, tested int) {
	found = []Offender{}
	runs := standing(doc.Runs, func(l *Line) ([]int, float64) { return l.ByDay, sum(l.runHours) })
	loud := map[*Line]bool{}
	for _, s := range runs.loud {
		loud[s.Line] = true
	}
	rest := func(l *Line) (byDay []int, hours float64) {
		byDay, hours = slices.Clone(l.ByDay), sum(l.runHours)
		for i := range doc.Runs {
			if r := &doc.Runs[i]; loud[r] && r.Trouble == l.Trouble && l.holds(r.Place) {
				for d, n := range r.ByDay {
					byDay[d] -= n
				}
				if l.Of == OfHead {
					hours -= sum(r.runHours)
				}
			}
		}
		return byDay, hours
	}
	for _, group := range []standings{runs, standing(doc.Heads, rest), standing(doc.Nodes, rest)} {
		tested += group.tested
		for _, s := range group.loud {
			found = append(found, s.offender())
		}
	}
	slices.SortStableFunc(found, func(a, b Offender) int { return cmp.Compare(a.P, b.P) })
	return found, tested
}

// fewestSeen is on how many recordings a place must have been in trouble to be
// called one that comes back: what plugs again and again in one day may have
// one cause, and its troubles are then no separate events.
const fewestSeen = 2

// standings is what was looked at together.
type standings struct {
	loud   []suspect
	tested int
}

// standing holds each line against its rivals. Where there is but one place of
// a kind, or no trouble at all, there is nothing to hold it against.
func standing(lines []Line, figures func(*Line) (byDay []int, hours float64)) standings {
	all := make([]suspect, len(lines))
	for i := range lines {
		s := &all[i]
		s.Line = &lines[i]
		var byDay []int
		byDay, s.hours = figures(s.Line)
		for _, n := range byDay {
			s.count += n
			if n > 0 {
				s.days++
			}
		}
	}
	var out standings
	var tried []suspect
	for _, s := range all {
		total := 0.0
		for _, r := range all {
			if r.Trouble == s.Trouble && s.rivals(r.Place) {
				s.of, total, s.among = s.of+r.count, total+r.hours, s.among+1
			}
		}
		if s.of == 0 || s.among < 2 || !(s.hours > 0) {
			continue
		}
		s.expected = float64(s.of) * s.hours / total
		s.p = counts.BinomialAtLeast(s.count, s.of, s.hours/total)
		tried = append(tried, s)
	}
	ps := make([]float64, len(tried))
	for i := range tried {
		ps[i] = tried[i].p
	}
	out.tested = len(tried)
	for i, p := range holm(ps) {
		if tried[i].adjusted = p; p <= level5 && tried[i].days >= fewestSeen {
			out.loud = append(out.loud, tried[i])
		}
	}
	return out
}

func sum(v []float64) float64 {
	s := 0.0
	for _, x := range v {
		s += x
	}
	return s
}

func (s suspect) offender() Offender {
	o := Offender{
		Place: s.Place, Trouble: s.Trouble, Count: s.count, Of: s.of, Among: s.among,
		Expected: measure.Round(s.expected, 3), Times: significant(float64(s.count) / s.expected), P: significant(s.p), Adjusted: significant(s.adjusted), Look: s.look(),
	}
	o.Says = fmt.Sprintf("%s had %d of the %d %s troubles of %d %ss, where an equal share would be %.2g: %s.", s.Place, s.count, s.of, s.Trouble, s.among, s.Of, s.expected, o.Look)
	return o
}

// look says where to look first.
func (s suspect) look() string {
	switch {
	case s.Trouble == Flow && s.Of == OfRun:
		return "look at its opener, boot and hose, and at how the hose lies"
	case s.Trouble == Flow:
		return "look at what its runs have in common: air, primary line, height and outlets of the head"
	case s.Trouble == Sensing && s.Of == OfRun:
		return "look at its sensor, tube and port; swap two ports to tell them apart"
	case s.Trouble == Sensing:
		return "look at plug, supply and lid of the node, and at what its ports have in common"
	}
	return "look at the primary line, the meter and the tank's outlet"
}
