package review

import (
	"math"
	"slices"
)

// watchRuns tests the runs of a head against its total.
func (d *detector) watchRuns(h int) {
	if st := &d.heads[h]; st.spell != nil && st.spell.fraction() < 0.3 {
		return // a starved head's trickle says nothing of its hoses
	}
	if d.lanes[h].steady {
		if d.steadyRuns(h) {
			d.raise(h)
		}
		d.trackDrift(h)
		return
	}
	for _, i := range d.in.heads[h].runs {
		if !d.ok[i] {
			continue
		}
		if s := d.runs[i].spell; s != nil {
			d.followRun(i, s)
		} else if d.now.calm[i] && d.now.e[i] > 0 {
			d.testRun(i)
		}
	}
	if ln := &d.lanes[h]; ln.whole {
		d.moved(ln)
	}
	d.raise(h)
	d.trackDrift(h)
}

// testRun adds the frame to the run's sums (quasi-likelihood: see doc.go).
func (d *detector) testRun(i int) {
	r, x, e := &d.runs[i], d.now.x[i], d.now.e[i]
	if r.relearnS > 0 {
		r.relearnS -= d.now.durS
		relax(&r.share, x/e*r.share, d.now.durS, relearnS/4)
		r.anchor = r.share
		return
	}
	f := d.k.overdisp[i]
	for k, part := range lowParts {
		r.low[k].add((x*lowLogs[k]+e*(1-part))/f, d.now.fromNS)
	}
	for k, part := range upParts {
		r.up[k].add((x*upLogs[k]+e*(1-part))/f, d.now.fromNS)
	}
	r.wild.add(x, e, f, d.now.fromNS)
	if max(r.low[0].s, r.low[1].s, r.low[2].s) < 5 && max(r.up[0].s, r.up[1].s) < 5 && r.wild.s < wildAlarm/2 {
		d.adapt(i)
	}
}

// adapt lets a sound run's share follow slow drift (hillside, hose lie), but
// not run away from where it stood an hour ago: a loss that creeps is a loss.
func (d *detector) adapt(i int) {
	r, level := &d.runs[i], d.now.e[i]/d.runs[i].share
	d.move(r, d.now.x[i]/level)
}

// move takes the share towards what was seen in the frame.
func (d *detector) move(r *runState, seen float64) {
	r.share += (seen - r.share) * d.shareStep
	r.anchor += (seen - r.anchor) * d.anchorStep
	if low, high := 0.85*r.anchor, 1.18*r.anchor; r.share < low {
		r.share = low
	} else if r.share > high {
		r.share = high
	}
}

// raise opens an event for the run of the head whose alarm stands highest. One
// at a time: once it is out of the head's total, its siblings are judged anew.
func (d *detector) raise(h int) {
	if d.raiseWild(h) {
		return
	}
	best, top, sum := -1, 0.0, 0.0
	for _, i := range d.in.heads[h].runs {
		r := &d.runs[i]
		if !d.now.calm[i] || r.suspect() {
			continue
		}
		k := worst(r.low[:])
		if r.low[k].s > sum {
			sum = r.low[k].s
		}
		if s := r.low[k].s; s >= lowAlarm && s > top {
			best, top = i, s
		}
	}
	if best >= 0 {
		d.openLow(best)
		return
	}
	for _, i := range d.in.heads[h].runs {
		r := &d.runs[i]
		k := worst(r.up[:])
		// a rise may be the other side of a sibling's fall
		mine := sum <= 4 || r.up[k].s > 2*sum
		if d.now.calm[i] && mine && !r.suspect() && r.up[k].s >= upAlarm && len(d.in.heads[h].runs) > 1 {
			d.openUp(i, r.up[k].fromNS, r.up[k].s)
			return
		}
	}
}

// openLow begins the event of a run that fell, at the onset that fits best.
func (d *detector) openLow(i int) {
	r := &d.runs[i]
	c := r.low[worst(r.low[:])]
	start, _ := onset(d.points(i, c.fromNS), []float64{0, 0.5, 1, 1.5, 2, 3})
	if start == 0 || start > d.now.toNS {
		start = c.fromNS
	}
	d.unlearn(i, start)
	s := d.newSpell(Unknown, i, start)
	s.llr, s.assumed = c.s, d.k.assumed[i]
	r.spell = s
	d.clearHead(s.head)
	s.fall = d.beginStep(s, start, start+settleAfterS*1e9)
	d.lookBefore(s)
	d.replay(s, func(p *past) { d.countRun(i, s, p) })
	d.lookAgain(s)
	d.flick(s)
}

// unlearn takes back what the run's share has learned since its fall began: a
// small loss is followed for a while before it is certain. Expectations since
// then are written anew, from the siblings alone.
func (d *detector) unlearn(i int, startNS int64) {
	r, h := &d.runs[i], d.in.runs[i].head
	for k := range d.hist.size {
		p := d.hist.back(k)
		if p.toNS > startNS || p.e[i] <= 0 || !(p.level[h] > 0) {
			continue
		}
		r.share = max(r.share, p.e[i]/p.level[h])
		break
	}
	for k := 1; k < d.hist.size; k++ {
		p := d.hist.back(k)
		if p.toNS <= startNS {
			break
		}
		if level := d.levelOf(p, d.in.heads[h].runs, i); p.e[i] > 0 && level > 0 {
			p.e[i], p.level[h] = r.share*level, level // the run, which was low, is in neither
		}
	}
}

func (d *detector) openUp(i int, fromNS int64, llr float64) *spell {
	s := d.newSpell(Noisy, i, fromNS)
	s.llr = llr
	d.runs[i].spell = s
	d.clearHead(s.head)
	d.replay(s, func(p *past) { d.countRun(i, s, p) })
	d.lookBefore(s)
	d.flick(s)
	return s
}

func (d *detector) clearHead(h int) {
	for _, i := range d.in.heads[h].runs {
		d.runs[i].reset()
	}
}

// points are the run's levels from a while before ns until now.
func (d *detector) points(i int, ns int64) []point {
	var pts []point
	for k := d.hist.size - 1; k >= 0; k-- {
		p := d.hist.back(k)
		if p.toNS < ns-12e9 || p.fromNS > ns+20e9 || p.e[i] <= 0 {
			continue
		}
		pts = append(pts, point{p.fromNS, p.toNS, p.x[i] / p.e[i], p.e[i]})
	}
	return pts
}

// lookBefore takes the run's counts before the spell from the history.
func (d *detector) lookBefore(s *spell) {
	for k := range d.hist.size {
		if p := d.hist.back(k); p.toNS <= s.startNS && p.calm[s.run] && p.e[s.run] > 0 {
			s.before.add(p.x[s.run], p.e[s.run], p.durS)
		}
		if s.before.durS >= besideS {
			return
		}
	}
}

// replay gives fn every frame of the history from the spell's start on, oldest
// first.
func (d *detector) replay(s *spell, fn func(*past)) {
	for k := d.hist.size - 1; k >= 0; k-- {
		if p := d.hist.back(k); p.toNS > s.startNS {
			fn(p)
		}
	}
}

func (d *detector) newSpell(kind Kind, i int, startNS int64) *spell {
	s := &spell{kind: kind, run: i, head: -1, product: -1, node: -1, startNS: startNS, startDist: d.hist.distAt(startNS), endNS: d.now.toNS, endDist: d.now.distM}
	if i >= 0 {
		s.head, s.product, s.node = d.in.runs[i].head, d.in.runs[i].product, d.in.runs[i].node
		d.lanes[s.head].idle = false
	}
	return s
}

// followRun takes the frame into the run's open event and closes it when sound
// flow is back.
func (d *detector) followRun(i int, s *spell) {
	level := d.levelOf(d.now, d.in.heads[s.head].runs, i)
	if !(level > 0) {
		return
	}
	d.now.e[i] = d.runs[i].share * level
	d.countRun(i, s, d.now)
	if s.rec >= returnAlarm {
		s.endNS, s.endDist = s.recFrom, s.recDist
		d.closeRun(i, s)
	}
}

// countRun adds a frame to the event's counts, its siblings' rise, and the sum
// for the return of sound flow.
func (d *detector) countRun(i int, s *spell, p *past) {
	if p.e[i] <= 0 {
		return
	}
	s.allX, s.allE, s.frames = s.allX+p.x[i], s.allE+p.e[i], s.frames+1
	if p.fromNS >= s.startNS+settleAfterS*1e9 && s.rec <= 1 {
		s.x, s.e = s.x+p.x[i], s.e+p.e[i]
		s.miss(p.x[i], p.e[i], d.k.overdisp[i])
	}
	if s.rec <= 2 {
		d.addStep(s, s.fall, p)
	}
	d.followReturn(s, p, p.x[i], p.e[i], d.k.overdisp[i])
}

// followReturn keeps the CUSUM of "sound again" against "as in the event".
func (d *detector) followReturn(s *spell, p *past, x, e, f float64) {
	if p.fromNS < s.startNS+settleAfterS*1e9 {
		return
	}
	now := s.fraction()
	if s.kind == Noisy {
		now = max(now, 1.2)
	} else {
		now = min(0.8, max(0.03, now))
	}
	if s.rec <= 0 {
		s.rec, s.recFrom, s.recDist = 0, s.endNS, s.endDist
		if p.fromNS-s.endNS < 2e9 {
			s.recFrom, s.recDist = p.fromNS, d.hist.distAt(p.fromNS)
		}
	}
	sound := 0.97
	if s.kind == Noisy {
		sound = 1
	}
	l := (x*math.Log(sound/now) + e*(now-sound)) / f
	if s.wild {
		l = -wildLLR(x, e, f)
	}
	s.rec += min(frameClip, max(-frameClip, l))
	if s.rec <= 0 {
		s.endNS, s.endDist = p.toNS, p.distM
	}
	s.llr += min(frameClip, max(-frameClip, -l))
}

// closeRun writes the run's event down.
func (d *detector) closeRun(i int, s *spell) {
	r := &d.runs[i]
	if r.spell == s {
		r.spell = nil
	}
	if s.assumed != "" {
		r.relearnS = relearnS
	}
	if s.kind == Unknown {
		s.back = d.beginStep(s, s.endNS, s.endNS+settleAfterS*1e9)
		d.closing = append(d.closing, s)
	}
	r.reset()
	d.done = append(d.done, s)
}

// followClosing goes on looking at the siblings of events that have ended.
func (d *detector) followClosing() {
	d.closing = slices.DeleteFunc(d.closing, func(s *spell) bool {
		d.addStep(s, s.back, d.now)
		if p := d.now; p.fromNS >= s.endNS && p.calm[s.run] && p.e[s.run] > 0 && s.after.durS < besideS {
			s.after.add(p.x[s.run], p.e[s.run], p.durS)
		}
		return s.back.after.durS >= sideWindowS && s.after.durS >= besideS || d.now.toNS-s.endNS > 90e9
	})
}
