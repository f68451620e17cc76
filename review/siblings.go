package review

import (
	"math"
	"slices"

	"runproof/counts"
)

// reference is what the siblings' flow is held against.
type reference int

const (
	noReference reference = iota
	againstHeads
	againstSpeed
	againstItself
)

var referenceWords = [...]string{"", "the product's other heads", "speed", "its own flow before"}

// side is the siblings' flow and the reference's over one stretch of time.
type side struct {
	sib, ref, durS float64
	lossS          []float64 // by run of the head: seconds of flow that it lacked
}

func (t *side) add(sib, ref float64, p *past, runs []int) {
	t.sib, t.ref, t.durS = t.sib+sib, t.ref+ref, t.durS+p.durS
	if t.lossS == nil {
		t.lossS = make([]float64, len(runs))
	}
	for k, i := range runs {
		if p.e[i] > 0 {
			t.lossS[k] += (1 - p.x[i]/p.e[i]) * p.durS
		}
	}
}

// lost is the part of its flow that the k-th run of the head lacked on the mean.
func (t *side) lost(k int) float64 {
	if t.durS == 0 || t.lossS == nil {
		return 0
	}
	return t.lossS[k] / t.durS
}

// step compares the siblings of a run before and after a moment, against
// something that the fault does not touch. Only frames with the same runs
// called for and the same reference are used.
type step struct {
	before, after side
	key           uint64
	ref           reference
	afterFromNS   int64
}

// logRatio is ln(siblings after / before), both against the reference, and
// whether there is enough of it.
func (t *step) logRatio() (float64, bool) {
	if t.before.durS < 3 || t.after.durS < 2 || t.before.sib <= 0 || t.after.sib <= 0 || t.before.ref <= 0 || t.after.ref <= 0 {
		return 0, false
	}
	return math.Log(t.after.sib / t.after.ref * t.before.ref / t.before.sib), true
}

// stretch is how much more than two full windows' noise the step carries.
func (t *step) stretch() float64 {
	return max(1, (sideWindowS/max(2, t.before.durS)+sideWindowS/max(2, t.after.durS))/2)
}

// beginStep takes the siblings' flow before a moment from the history; what
// comes from afterFromNS on is added later.
func (d *detector) beginStep(s *spell, atNS, afterFromNS int64) *step {
	t := &step{afterFromNS: afterFromNS}
	begun := false
	for k := range d.hist.size {
		p := d.hist.back(k)
		if !begun {
			t.key = p.key
		}
		if p.toNS > atNS-3e8 {
			continue
		}
		if t.before.durS >= sideWindowS || atNS-p.toNS > 90e9 {
			break
		}
		sib, ref, mode := d.siblingsAndRef(s.run, s.head, p)
		if mode == noReference || p.key != t.key || begun && mode != t.ref {
			continue
		}
		begun, t.ref = true, mode
		t.before.add(sib, ref, p, d.in.heads[s.head].runs)
	}
	return t
}

// addStep takes a frame into the siblings' flow after the moment.
func (d *detector) addStep(s *spell, t *step, p *past) {
	if t == nil || t.after.durS >= sideWindowS || p.key != t.key || p.fromNS < t.afterFromNS {
		return
	}
	if sib, ref, mode := d.siblingsAndRef(s.run, s.head, p); mode == t.ref && mode != noReference {
		t.after.add(sib, ref, p, d.in.heads[s.head].runs)
	}
}

// lookAgain takes a run that has fallen out of the frames since then, and looks
// anew at the siblings of other faults of its head that lie about there: it was
// one of them and stood for sound.
func (d *detector) lookAgain(s *spell) {
	for k := range d.hist.size {
		p := d.hist.back(k)
		if p.toNS <= s.startNS {
			break
		}
		p.calm[s.run] = false
	}
	for _, i := range d.in.heads[s.head].runs {
		o := d.runs[i].spell
		if o == nil || o == s || o.fall == nil || s.startNS-o.startNS > sideWindowS*1e9 {
			continue
		}
		o.fall = d.beginStep(o, o.startNS, o.fall.afterFromNS)
		d.replay(o, func(p *past) { d.addStep(o, o.fall, p) })
	}
}

// siblingsAndRef is the flow of the head's runs but one (-1: of all) in the
// frame, and that of the reference: the product's other heads, else speed,
// else time alone.
func (d *detector) siblingsAndRef(run, head int, p *past) (sib, ref float64, mode reference) {
	sib = d.levelOf(p, d.in.heads[head].runs, run)
	if !(sib > 0) {
		return 0, 0, noReference
	}
	part := 0.0
	for _, h := range d.in.products[d.in.heads[head].product].heads {
		if l := p.level[h]; h != head && d.heads[h].spell == nil && l == l {
			ref, part = ref+l, part+d.heads[h].share
		}
	}
	switch {
	case part > 0:
		return sib, ref / part, againstHeads
	case p.speedMPS == p.speedMPS:
		if p.speedMPS < 0.4 {
			return 0, 0, noReference
		}
		return sib, p.speedMPS * p.durS, againstSpeed
	}
	return sib, p.durS, againstItself
}

// drift learns how far a head's part of its product wanders by itself between
// two neighbouring stretches, which is the noise of the siblings' rise.
type drift struct {
	level, ref, durS float64
	last             float64
	lastNS           int64
	d2               []float64
}

func (d *detector) trackDrift(h int) {
	st := &d.heads[h].drift
	lv, ref, mode, ok := d.steadyAndRef(h)
	if !ok {
		lv, ref, mode = d.siblingsAndRef(-1, h, d.now)
	}
	if mode == noReference || d.heads[h].spell != nil || !d.lanes[h].idle && d.anyEvent(h) {
		st.level, st.ref, st.durS, st.lastNS = 0, 0, 0, 0
		return
	}
	st.level, st.ref, st.durS = st.level+lv, st.ref+ref, st.durS+d.now.durS
	if st.durS < sideWindowS {
		return
	}
	now := math.Log(st.level / st.ref)
	if st.lastNS != 0 && d.now.toNS-st.lastNS < 90e9 {
		st.d2 = append(st.d2, (now-st.last)*(now-st.last))
		if len(st.d2) > 400 {
			st.d2 = st.d2[1:]
		}
	}
	*st = drift{last: now, lastNS: d.now.toNS, d2: st.d2}
}

func (d *detector) anyEvent(h int) bool {
	return slices.ContainsFunc(d.in.heads[h].runs, func(i int) bool { return d.runs[i].spell != nil })
}

// variance of the log ratio between two full windows: median square over that
// of a standard normal's (0.455), helped by a prior of 3 % with the weight of
// four looks while there are few.
func (t *drift) variance() float64 {
	n := float64(len(t.d2))
	return (counts.Quantile(t.d2, 0.5)/0.455*n + 4*0.03*0.03) / (n + 4)
}

// weighing is how hose stands against sensor for a run that fell.
type weighing struct {
	odds         float64 // ln of the odds for the hose
	rise, riseSE float64 // ln of the siblings' rise
	expected     float64 // what a hose would give
	known        bool    // the rise could be judged
	against      reference
}

// hoseOdds weighs the siblings' rise at the fall, and their going back at its
// end: two looks at one step, with independent drift.
func (d *detector) hoseOdds(s *spell) weighing {
	w := weighing{odds: d.floorOdds(s)}
	n := float64(len(d.in.heads[s.head].runs))
	if n < 2 {
		return w
	}
	w.expected = d.expectedRise(s)
	if s.flick != nil {
		return d.flickOdds(s, w)
	}
	sum, weight, odds := 0.0, 0.0, 0.0
	for _, l := range []turn{{s.fall, s.startNS, 1}, {s.back, s.endNS, -1}} {
		if l.step == nil {
			continue
		}
		r, ok := l.step.logRatio()
		if !ok {
			continue
		}
		v := d.heads[s.head].drift.variance() * l.step.stretch()
		if l.step.ref == againstItself {
			v += 0.1 * 0.1 // the rate itself may have changed
		}
		sum, weight = sum+l.sign*r/v, weight+1/v
		odds += d.riseOdds(s, l, r, v, w.expected)
		w.known, w.against = true, l.step.ref
	}
	if w.known {
		w.rise, w.riseSE = sum/weight, math.Sqrt(1/weight)
		w.odds += min(15, max(-15, odds))
	}
	return w
}

// riseOdds are the ln odds for the hose from one look at the siblings: ln ratio r
// of variance v, where a hose gives expected. Other runs of the head that lost or
// regained flow at about the same time have their part in it, where that was their
// hose's; how likely that is their own counts tell.
func (d *detector) riseOdds(s *spell, l turn, r, v, expected float64) float64 {
	r *= l.sign
	hose, sensor := 0.0, 0.0
	for _, c := range d.mixedIn(s, l) {
		hose += c.chance * math.Exp(-(r-expected-c.rise)*(r-expected-c.rise)/(2*v))
		sensor += c.chance * math.Exp(-(r-c.rise)*(r-c.rise)/(2*v))
	}
	return math.Log((hose + tiny) / (sensor + tiny))
}

// turn is one look at the siblings: where a fault began (sign 1) or ended (-1).
type turn struct {
	step *step
	atNS int64
	sign float64
}

// mixture is what other faults add to a look, and the chance of that.
type mixture struct{ rise, chance float64 }

// mixedIn are the ways in which other runs of the head may have their part in a
// look: each that lost or regained a good part of its flow is the hose's or the
// sensor's.
func (d *detector) mixedIn(s *spell, l turn) []mixture {
	out := []mixture{{0, 1}}
	n := float64(len(d.in.heads[s.head].runs))
	for k, i := range d.in.heads[s.head].runs {
		lost := l.step.after.lost(k) - l.step.before.lost(k)
		if i == s.run || math.Abs(lost) < mixedLoss || len(out) >= mostMixed {
			continue
		}
		rise := l.sign * math.Copysign(math.Log((1-(1-math.Abs(lost))/n)/(1-1/n)), lost)
		hose := logistic(d.ownOdds(d.spellAt(i, l.atNS)))
		for _, c := range out[:len(out):len(out)] {
			out = append(out, mixture{c.rise + rise, c.chance * hose})
		}
		for k := range len(out) / 2 {
			out[k].chance *= 1 - hose
		}
	}
	return out
}

const (
	mixedLoss = 0.15 // of its flow, that a look shows more or less of after than before
	mostMixed = 16   // four other faults at once
)

// spellAt is the run's fault that lasts nearest to a moment; nil if it has none.
func (d *detector) spellAt(i int, atNS int64) *spell {
	best, away := d.runs[i].spell, int64(math.MaxInt64)
	if best != nil {
		away = max(0, best.startNS-atNS, atNS-best.endNS)
	}
	for _, o := range d.done {
		if o.run == i && o.fall != nil {
			if a := max(0, o.startNS-atNS, atNS-o.endNS); a < away {
				best, away = o, a
			}
		}
	}
	return best
}

const (
	tiny        = 1e-20 // a rise that nothing explains says nothing
	partialOdds = 6     // ln odds for the hose where a part of the flow is left
)

func logistic(odds float64) float64 { return 1 / (1 + math.Exp(-odds)) }

// ownOdds weighs hose against sensor from what the run itself shows.
func (d *detector) ownOdds(s *spell) float64 {
	switch {
	case s == nil:
		return 0
	case s.repeats, s.quietBad, s.wild, s.meaningless():
		return -partialOdds
	case s.fraction() >= 0.12:
		return partialOdds
	}
	return d.floorOdds(s)
}

// expectedRise is ln of what the siblings of a blocked or restricted hose gain.
func (d *detector) expectedRise(s *spell) float64 {
	n := float64(len(d.in.heads[s.head].runs))
	return math.Log((1-d.left(s)/n)/(1-1/n)) / (1 + d.hides(s.run))
}

// floorOdds weighs how little is left: a plugged hose still counts a few per
// cent (vibration, neighbours; design.md, common practice, no source), a dead
// sensor counts nothing at all. It says less than the siblings' rise does.
func (d *detector) floorOdds(s *spell) float64 {
	f := s.fraction()
	switch {
	case s.e <= 0 || f > 0.12:
		return 0
	case f > 0.012:
		return 0.7
	case s.x > 0:
		return -1
	}
	p := 0.0
	floors := [...]float64{0, 0.005, 0.01, 0.02, 0.03, 0.05}
	for _, f := range floors {
		p += math.Exp(-f*s.e) / float64(len(floors))
	}
	return math.Log(max(p, 0.02))
}

// left is the part of its own flow that a run keeps, freed from the siblings'
// rise: of sound flow E judged by the risen siblings it shows f, and with 1/n
// of the head's product g = f (1-w)/(1-w+w f)... solved from
// f = g (1-w)/(1-w g).
func (d *detector) left(s *spell) float64 {
	n := float64(len(d.in.heads[s.head].runs))
	f := unsaturated(max(0, s.fraction()-d.noisePart(s)), d.hides(s.run))
	if n < 2 {
		return f
	}
	w := 1 / n
	return f / (1 - w + w*f)
}

// noisePart is the part of the run's usual count that its sensor shows without
// any flow, at most 2 %: what a plugged hose still counts is not all flow.
func (d *detector) noisePart(s *spell) float64 {
	r, usual := &d.runs[s.run], d.k.rateHz[s.run]
	if r.silentS < 5 || usual <= 0 {
		return 0
	}
	return min(0.02, r.silentX/r.silentS/usual)
}
