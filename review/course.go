package review

import "math"

// course is how a run's share went over the day: a look every few minutes of
// settled work in which the run was in no event.
type course struct {
	looks []look
	now   look
}

// look is a run's counts against what its siblings make the head's to be, over a
// stretch of settled work.
type look struct {
	x, level float64
	durS     float64
	workS    float64 // the drill's time in work at its middle, weighted by time
	fromNS   int64
	toNS     int64
}

// A look lasts lookS at first; when a day fills mostLooks of them, neighbours
// are put together and looks last twice as long: memory stays flat.
const (
	lookS     = 300
	mostLooks = 192
)

// courses are those of all runs, with the length that looks have come to.
type courses struct {
	runs  []course
	lookS float64
	workS float64
}

func newCourses(in *inputs) *courses {
	return &courses{runs: make([]course, len(in.runs)), lookS: lookS}
}

// add takes the frame that the detector has just judged.
func (c *courses) add(f *frame, d *detector) {
	if f.work {
		c.workS += f.durS
	}
	full := false
	for _, h := range d.in.heads {
		x, part := calmSum(d, h.runs)
		for _, i := range h.runs {
			if others := part - d.k.share[i]; d.now.calm[i] && others > 0.4 && x > d.now.x[i] {
				full = c.runs[i].add(d.now, i, (x-d.now.x[i])/others, c) || full
			}
		}
	}
	if full {
		c.halve()
	}
}

// calmSum is what the head's calm sensors count together, and the part of the
// head that they are by the shares learned first: those that the detector lets
// follow the drift would hide what is looked for here.
func calmSum(d *detector, runs []int) (x, part float64) {
	for _, i := range runs {
		if d.now.calm[i] {
			x, part = x+d.now.x[i], part+d.k.share[i]
		}
	}
	return x, part
}

// add returns whether the run's looks have come to the most that are kept.
func (r *course) add(p *past, i int, level float64, c *courses) bool {
	n := &r.now
	if n.durS == 0 {
		n.fromNS = p.fromNS
	}
	n.x, n.level = n.x+p.x[i], n.level+level
	n.workS += c.workS * p.durS
	n.durS, n.toNS = n.durS+p.durS, p.toNS
	if n.durS >= c.lookS {
		r.looks, r.now = append(r.looks, n.middled()), look{}
	}
	return len(r.looks) >= mostLooks
}

func (n look) middled() look {
	n.workS /= n.durS
	return n
}

// halve puts looks together two by two.
func (c *courses) halve() {
	c.lookS *= 2
	for i := range c.runs {
		old := c.runs[i].looks
		kept := old[:0]
		for k := 0; k+1 < len(old); k += 2 {
			kept = append(kept, old[k].with(old[k+1]))
		}
		if len(old)%2 == 1 {
			c.runs[i].now = old[len(old)-1].unmiddled().joined(c.runs[i].now)
		}
		c.runs[i].looks = kept
	}
}

func (n look) with(m look) look { return n.unmiddled().joined(m.unmiddled()).middled() }

func (n look) unmiddled() look {
	n.workS *= n.durS
	return n
}

// joined adds a later look; work times are still sums.
func (n look) joined(m look) look {
	if m.durS == 0 {
		return n
	}
	return look{n.x + m.x, n.level + m.level, n.durS + m.durS, n.workS + m.workS, n.fromNS, m.toNS}
}

// of returns the run's looks, the last one even if it is short but of a third.
func (c *courses) of(i int) []look {
	r := &c.runs[i]
	if r.now.durS < c.lookS/3 {
		return r.looks
	}
	return append(r.looks[:len(r.looks):len(r.looks)], r.now.middled())
}

// logShare is the ln of the run's counts against its siblings' in the look.
func (n look) logShare() float64 { return math.Log(max(n.x, 0.5) / n.level) }
