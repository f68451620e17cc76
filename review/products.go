package review

import (
	"slices"

	"runproof/counts"
)

// rateSD is how far a product's flow per metre may stray from its usual when
// nothing is wrong: prescriptions step by up to a third (common practice, no
// source).
const rateSD = 0.2

// watchProduct tests a product's flow against its usual, per metre travelled
// where speed is known. A change of rate is no fault: only flow below lowFlow
// of the usual for four seconds is.
func (d *detector) watchProduct(p int, f *frame) {
	st, u := &d.prods[p], d.now.flow[p]
	if u != u || !f.work {
		return
	}
	if st.spell != nil {
		d.followProduct(p, u)
		return
	}
	switch {
	case u < lowFlow:
		st.lowS += d.now.durS
	case u > freezeFlow:
		st.lowS = 0
	}
	if u > 0.6 {
		relax(&st.usual, st.usual*u, d.now.durS, shareTauS)
	}
	if st.lowS >= 4 {
		d.openProduct(p)
	}
}

func (d *detector) openProduct(p int) {
	pts := d.flowPoints(p)
	start, _ := onset(pts, []float64{0, 1, 2, 3, 5, 8, 12, 16, 20, 25, 30, 40, 50, 60})
	if start == 0 {
		start = d.now.fromNS
	}
	s := d.newSpell(ProductOut, -1, start)
	s.product = p
	d.prods[p].spell, d.prods[p].lowS, d.prods[p].okS = s, 0, 0
	d.replay(s, func(q *past) {
		if u := q.flow[p]; u == u {
			d.countProduct(s, q, u)
		}
	})
	for _, h := range d.in.products[p].heads {
		d.heads[h].low = [2]cusum{}
		d.clearHead(h)
	}
}

// A tank runs dry over some tens of seconds (design: common practice, no source):
// no fall takes longer from its beginning to half of the flow than fallAboveNS, and
// what the flow was before is looked up in the plateauNS before that.
const (
	fallAboveNS = 20e9
	plateauNS   = 40e9
)

// flowPoints are the product's levels over the last two minutes, against what
// they were before the fall. The rate may have changed not long before that: where
// enough is known of the flow just before, only that is looked at.
func (d *detector) flowPoints(p int) []point {
	var pts []point
	high := int64(0) // when the flow was last more than half
	for k := d.hist.size - 1; k >= 0; k-- {
		q := d.hist.back(k)
		if u := q.flow[p]; u == u && q.toNS > d.now.toNS-100e9 {
			pts = append(pts, point{q.fromNS, q.toNS, u, 1})
			if u > freezeFlow {
				high = q.toNS
			}
		}
	}
	near := slices.DeleteFunc(slices.Clone(pts), func(p point) bool { return p.fromNS < high-fallAboveNS-plateauNS })
	plateau := slices.DeleteFunc(slices.Clone(near), func(p point) bool { return p.toNS > high-fallAboveNS || p.y <= freezeFlow })
	before := levels(plateau)
	if len(before) < 8 {
		before = levels(slices.DeleteFunc(slices.Clone(pts), func(p point) bool { return p.y <= 0.85 }))
	} else {
		pts = near
	}
	if sound := counts.Quantile(before, 0.5); sound > 0 {
		for i := range pts {
			pts[i].y /= sound
		}
	}
	return pts
}

func levels(pts []point) []float64 {
	var out []float64
	for _, p := range pts {
		out = append(out, p.y)
	}
	return out
}

func (d *detector) countProduct(s *spell, q *past, u float64) {
	s.allX, s.allE, s.frames = s.allX+u, s.allE+1, s.frames+1
	if u < lowFlow {
		s.x, s.e = s.x+u, s.e+1
		s.llr += min(frameClip, (1-u)*(1-u)/(2*rateSD*rateSD))
	}
	s.endNS, s.endDist = q.toNS, q.distM
}

func (d *detector) followProduct(p int, u float64) {
	st := &d.prods[p]
	s := st.spell
	if u < 0.6 {
		st.okS = 0
		d.countProduct(s, d.now, u)
		return
	}
	if st.okS == 0 {
		s.recFrom, s.recDist = d.now.fromNS, d.hist.distAt(d.now.fromNS)
	}
	if st.okS += d.now.durS; st.okS >= 3 {
		s.endNS, s.endDist = s.recFrom, s.recDist
		st.spell, st.lowS = nil, 0
		d.done = append(d.done, s)
	}
}
