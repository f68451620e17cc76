package review

import "math"

// look is a run's counts against what its siblings make its share to be, over
// a few minutes of settled work outside events.
type look struct {
	x, level float64
	durS     float64
	workS    float64 // the run's time in work, at the middle of the look
	fromNS   int64
	toNS     int64
	ln       float64 // see logShare
}

// lookS is how much work a look gathers: long against the minutes over which
// shares wander, short against a day.
const lookS = 300

// logShare is the ln of the run's counts against its siblings' in the look.
func (n look) logShare() float64 { return n.ln }

// done is the look with all its counts in.
func (n look) done() look {
	n.ln = math.Log(max(n.x, 0.5) / n.level)
	return n
}

// looks cuts a run's row of the picture, in cells in which no event touches
// the run; siblings in an event are left out cell by cell.
func (p *picture) looks(i int, sick []spans) []look {
	var out []look
	var n look
	workS := 0.0
	for c, s := range p.cells[i] {
		from, to := p.cellSpan(c)
		level := p.siblingsLevel(i, c, sick)
		before := workS
		workS += s.workS
		if s.e <= 0 || !(level > 0) || s.workS < 0.5*s.durS || sick[i].touch(from, to) {
			continue
		}
		if n.durS == 0 {
			n.fromNS = from
		}
		n.x, n.level, n.toNS = n.x+s.x, n.level+s.e*level, to
		n.durS += s.workS
		n.workS += s.workS * (before + workS) / 2
		if n.durS >= lookS {
			n.workS /= n.durS
			out, n = append(out, n.done()), look{}
		}
	}
	return out
}

// siblingsLevel is what the run's sound siblings counted in the cell against
// what was expected of them, NaN where they are less than half of the head.
func (p *picture) siblingsLevel(i, c int, sick []spans) float64 {
	from, to := p.cellSpan(c)
	x, e, part, whole := 0.0, 0.0, 0.0, 0.0
	for _, j := range p.in.heads[p.in.runs[i].head].runs {
		if j == i {
			continue
		}
		whole += p.k.share[j]
		if s := p.cells[j][c]; s.e > 0 && !sick[j].touch(from, to) {
			x, e, part = x+s.x, e+s.e, part+p.k.share[j]
		}
	}
	if part < whole/2 || e == 0 {
		return math.NaN()
	}
	return x / e
}

func (p *picture) cellSpan(c int) (from, to int64) {
	from = p.first + int64(c)*p.cellNS
	return from, from + p.cellNS
}

// spans are stretches of time, in any order.
type spans [][2]int64

func (s spans) touch(from, to int64) bool {
	for _, t := range s {
		if t[0] < to && t[1] > from {
			return true
		}
	}
	return false
}

// sickSpans are, for each run, the times of the events that touch it, with a
// margin in which shares are still settling.
func (s *session) sickSpans(spells []*spell) []spans {
	const marginNS = 20e9
	out := make([]spans, len(s.in.runs))
	for _, sp := range spells {
		for i := range s.in.runs {
			if s.in.concerns(sp, i) {
				out[i] = append(out[i], [2]int64{sp.startNS - marginNS, sp.endNS + marginNS})
			}
		}
	}
	return out
}
