package align

import "math"

// What makes a stand in the ground.
const (
	standS   = 180.0 // longer ones are left out
	stillMPS = 0.3
	alongDeg = 20.0 // it goes on in the direction in which it came
	lifted   = 0.5  // a work state below it
)

// follows finds by how much flow follows speed. Passes say whether it does, for
// they are many and lie all over the logs; stands within them tell when best, as
// long as they do not say otherwise.
func (s *search) follows(centre float64) (f *fine, e estimate, ok bool) {
	y := s.path.speedFor(s.pos, s.flow.intervalS())
	solve := func(stretches [][2]int) (*fine, estimate, bool) {
		f := refine(s.works.mid, s.works.rate, stretches, y, s.path.stepS, centre)
		e, ok := f.solve(nil, s.rng)
		return f, e, ok && e.sd <= flowSDS
	}
	f, e, ok = solve(s.works.stretches(flowS))
	ok = ok && e.z >= agreeZ
	withStands, sharper, found := solve(s.flowing(centre))
	const sds = 3.0
	alike := math.Abs(sharper.shift-e.shift) <= sds*math.Hypot(sharper.sd, e.sd)
	if found && (ok && alike && sharper.sd < e.sd || !ok && sharper.z >= agreeZ) {
		sharper.z = max(sharper.z, e.z)
		return withStands, sharper, true
	}
	return f, e, ok
}

// flowing are the stretches in which flow follows speed: passes, and the stands
// within them, where flow follows speed down to nothing and up again, and tells
// of the clock the most. A turn at a headland is none: there flow follows the
// work state.
func (s *search) flowing(centre float64) [][2]int {
	var passes [][2]int
	for _, p := range s.works.pass {
		if n := len(passes); n > 0 && s.stood(passes[n-1][1], p[0], centre) {
			passes[n-1][1] = p[1]
			continue
		}
		passes = append(passes, p)
	}
	return s.works.cut(passes, flowS)
}

// stood says whether the machine stood in the ground between two samples of the
// flow log, and went on as it had come.
func (s *search) stood(from, to int, centre float64) bool {
	a, b := s.works.end[from-1], s.works.end[to]
	if b-a > standS {
		return false
	}
	for _, w := range s.flow.work[from:to] {
		if w < lifted {
			return false
		}
	}
	still := false
	for t := a; t <= b; t += s.path.stepS {
		v := at(s.path.v, s.path.stepS, t+centre)
		if v != v {
			return false
		}
		still = still || v < stillMPS
	}
	turned := math.Remainder(at(s.path.way, s.path.stepS, b+centre)-at(s.path.way, s.path.stepS, a+centre), 360)
	return still && math.Abs(turned) < alongDeg
}
