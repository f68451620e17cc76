package review

import "math"

// headParts are the parts of its flow left that a head is tested for.
var headParts = [...]float64{0.35, 0.75}

// leastHeads is the part of a product's usual flow that the heads which can be
// judged must carry for one of them to be judged by the others.
const leastHeads = 0.5

// watchHeads tests each head's part of its product's flow: Gaussian in the
// part, with the variance that frames of sound work show. Heads that are shut off
// or not reporting are left out on both sides.
func (d *detector) watchHeads(p int) {
	heads := d.in.products[p].heads
	if len(heads) < 2 {
		return
	}
	total, part, n := d.headsOf(d.now, p)
	if !(total > 0) || n < 2 || part < leastHeads {
		return
	}
	calm := n == len(heads) // while one head is low, the others' parts say nothing of their usual ones
	for _, h := range heads {
		if d.now.level[h] != d.now.level[h] {
			continue
		}
		st, y := &d.heads[h], d.now.level[h]/total*part
		if st.spell != nil {
			d.followHead(h, y)
		} else {
			d.testHead(h, y)
		}
		calm = calm && st.spell == nil && max(st.low[0].s, st.low[1].s) < 5
	}
	for _, h := range heads {
		if calm {
			relax(&d.heads[h].share, d.now.level[h]/total, d.now.durS, 180)
		}
	}
}

// headsOf sums up the heads of a product that can be judged in a frame: their
// flow, the part of the product's that they carry as a rule, and how many there are.
func (d *detector) headsOf(f *past, p int) (total, part float64, n int) {
	for _, h := range d.in.products[p].heads {
		if l := f.level[h]; l == l {
			total, part, n = total+l, part+d.heads[h].share, n+1
		}
	}
	return total, part, n
}

func (d *detector) testHead(h int, y float64) {
	st := &d.heads[h]
	v := 1.5 * d.k.headVar[h]
	for k, f := range headParts {
		q := st.share
		st.low[k].add(((y-q)*(y-q)-(y-f*q)*(y-f*q))/(2*v), d.now.fromNS)
	}
	k := worst(st.low[:])
	if st.low[k].s >= headAlarm {
		d.openHead(h, st.low[k])
	}
}

func (d *detector) openHead(h int, c cusum) {
	start, _ := onset(d.headPoints(h, c.fromNS), []float64{0, 0.5, 1, 2, 3, 5, 10})
	if start == 0 || start > d.now.toNS {
		start = c.fromNS
	}
	s := d.newSpell(HeadStarved, -1, start)
	s.head, s.product, s.llr = h, d.in.heads[h].product, c.s
	d.heads[h].spell, d.heads[h].low = s, [2]cusum{}
	d.replay(s, func(p *past) {
		if y, ok := d.headPart(p, h); ok {
			d.countHead(h, s, p, y)
		}
	})
}

// headPart is the head's part of its product in an earlier frame.
func (d *detector) headPart(p *past, h int) (float64, bool) {
	total, part, n := d.headsOf(p, d.in.heads[h].product)
	return p.level[h] / total * part, p.level[h] == p.level[h] && total > 0 && n > 1 && part >= leastHeads
}

func (d *detector) headPoints(h int, ns int64) []point {
	var pts []point
	for k := d.hist.size - 1; k >= 0; k-- {
		p := d.hist.back(k)
		if y, ok := d.headPart(p, h); ok && p.toNS >= ns-20e9 && p.fromNS <= ns+30e9 {
			pts = append(pts, point{p.fromNS, p.toNS, y / d.heads[h].share, 1})
		}
	}
	return pts
}

func (d *detector) followHead(h int, y float64) {
	st := &d.heads[h]
	s := st.spell
	d.countHead(h, s, d.now, y)
	if s.rec >= returnAlarm {
		s.endNS, s.endDist = s.recFrom, s.recDist
		st.spell, st.low = nil, [2]cusum{}
		d.done = append(d.done, s)
	}
}

func (d *detector) countHead(h int, s *spell, p *past, y float64) {
	q := d.heads[h].share
	s.allX, s.allE, s.frames = s.allX+y/q, s.allE+1, s.frames+1
	settled := p.fromNS >= s.startNS+settleAfterS*1e9
	if settled && s.rec <= 1 {
		s.x, s.e = s.x+y/q, s.e+1
	}
	if !settled {
		return
	}
	low := min(0.85, s.fraction()) * q
	if s.rec <= 0 {
		s.rec, s.recFrom, s.recDist = 0, s.endNS, s.endDist // frames may lack that could be judged
		if p.fromNS-s.endNS < 2e9 {
			s.recFrom, s.recDist = p.fromNS, d.hist.distAt(p.fromNS)
		}
	}
	l := ((y-low)*(y-low) - (y-q)*(y-q)) / (2 * 1.5 * d.k.headVar[h])
	s.rec += min(frameClip, max(-frameClip, l))
	s.llr -= min(frameClip, max(-frameClip, l))
	if s.rec <= 0 || math.IsNaN(s.rec) {
		s.rec, s.endNS, s.endDist = 0, p.toNS, p.distM
	}
}
