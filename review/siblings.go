package review

import (
	"math"
	"slices"
)

// beginRise takes the siblings' flow before the event, against something that
// it does not touch, from the history.
func (d *detector) beginRise(s *spell) {
	s.rise.reach = sideWindowS
	var key uint64
	for k := range d.hist.size {
		p := d.hist.back(k)
		if p.toNS > s.startNS {
			key = p.key
			continue
		}
		if key == 0 {
			key = p.key
		}
		if s.rise.beforeS >= s.rise.reach || s.startNS-p.toNS > 90e9 {
			break
		}
		sib, ref, ok := d.siblingsAndRef(s, p)
		if ok && p.key == key && p.toNS < s.startNS-3e8 {
			s.rise.beforeSib, s.rise.beforeRef, s.rise.beforeS = s.rise.beforeSib+sib, s.rise.beforeRef+ref, s.rise.beforeS+p.durS
		}
	}
	s.rise.key = key
}

// addRise takes a frame of the event into the siblings' flow after the fall.
func (d *detector) addRise(s *spell, p *past) {
	r := &s.rise
	if r.reach == 0 || r.afterS >= r.reach || p.key != r.key || p.fromNS < s.startNS+settleAfterS*1e9 || s.rec > 2 {
		return
	}
	if sib, ref, ok := d.siblingsAndRef(s, p); ok {
		r.afterSib, r.afterRef, r.afterS = r.afterSib+sib, r.afterRef+ref, r.afterS+p.durS
	}
}

// siblingsAndRef is the flow of the run's siblings in the frame, and that of
// the reference: the product's other heads, else speed, else time alone.
func (d *detector) siblingsAndRef(s *spell, p *past) (sib, ref float64, ok bool) {
	sib = d.levelOf(p, d.in.heads[s.head].runs, s.run)
	if !(sib > 0) {
		return 0, 0, false
	}
	part := 0.0
	for _, h := range d.in.products[s.product].heads {
		if l := p.level[h]; h != s.head && d.heads[h].spell == nil && l == l {
			ref, part = ref+l, part+d.heads[h].share
		}
	}
	switch {
	case part > 0:
		s.rise.against = "the product's other heads"
		return sib, ref / part, true
	case p.speedMPS == p.speedMPS:
		s.rise.against = "speed"
		return sib, p.speedMPS * p.durS, p.speedMPS > 0.4
	}
	s.rise.against = "its own flow before"
	return sib, p.durS, true
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
	s := spell{run: -1, head: h, product: d.in.heads[h].product}
	lv, ref, ok := d.siblingsAndRef(&s, d.now)
	if !ok || d.heads[h].spell != nil || d.anyEvent(h) {
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
	return (quantile(t.d2, 0.5)/0.455*n + 4*0.03*0.03) / (n + 4)
}

// hoseOdds weighs hose against sensor for a run that fell: ln of the odds, the
// rise seen and its standard error, and the rise that a hose would give.
func (d *detector) hoseOdds(s *spell) (odds, seen, se, expected float64, known bool) {
	n := float64(len(d.in.heads[s.head].runs))
	odds = d.floorOdds(s)
	if n < 2 {
		return odds, 0, 0, 0, false
	}
	w, left := 1/n, d.left(s)
	expected = math.Log((1 - w*left) / (1 - w))
	r, ok := s.rise.logRatio()
	if !ok {
		return odds, 0, 0, expected, false
	}
	short := sideWindowS/max(2, s.rise.beforeS) + sideWindowS/max(2, s.rise.afterS)
	v := d.heads[s.head].drift.variance() * max(1, short/2)
	if s.rise.against == "its own flow before" {
		v += 0.1 * 0.1 // the rate itself may have changed
	}
	rise := (r*r - (r-expected)*(r-expected)) / (2 * v)
	return odds + min(15, max(-15, rise)), r, math.Sqrt(v), expected, true
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
	f := max(0, s.fraction()-d.noisePart(s))
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
