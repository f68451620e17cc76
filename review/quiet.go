package review

import "runproof/counts"

// watchQuiet reads the spells in which nothing should flow: past the stop lag
// of lifted and shut-off work. A sensor that counts there, well above its
// neighbours and a tenth of its flow, counts without flow. Lifting that was
// only read off the flow proves nothing here.
func (d *detector) watchQuiet(f *frame) {
	for p := range d.in.products {
		d.quietMedian(p, f)
	}
	for _, i := range d.slow {
		r := &d.runs[i]
		if d.phase.off(i) <= d.k.lagOffS[i] || d.in.work < 0 && !f.work {
			r.quietX, r.quietS = 0, 0
			continue
		}
		if f.reported(i) == 0 {
			continue
		}
		if r.quietS == 0 {
			r.quietNS, r.quietDist = f.fromNS, d.distM
		}
		r.quietX, r.quietS = r.quietX+f.scaled(i), r.quietS+f.durS
		if r.spell == nil && r.stuck == nil {
			r.silentX, r.silentS = r.silentX+f.scaled(i), r.silentS+f.durS
		}
		if r.quietS >= 2 {
			d.judgeQuiet(i)
		}
	}
}

// quietMedian follows the product's usual count of a quiet sensor, per second,
// against its flow: shaking frames count a little everywhere.
func (d *detector) quietMedian(p int, f *frame) {
	var v []float64
	for _, i := range d.slow {
		if d.in.runs[i].product == p && d.phase.off(i) > d.k.lagOffS[i] && f.reported(i) > 0 && d.k.rateHz[i] > 0 {
			v = append(v, f.scaled(i)/f.durS/d.k.rateHz[i])
		}
	}
	if len(v) >= 3 {
		relax(&d.prods[p].quietMed, counts.Quantile(v, 0.5), f.durS, 5)
	}
}

func (d *detector) judgeQuiet(i int) {
	r := &d.runs[i]
	rate, usual := r.quietX/r.quietS, d.k.rateHz[i]
	bg := d.prods[d.in.runs[i].product].quietMed * usual
	noisy := r.quietX >= 12 && rate > 0.1*usual+4*bg
	clean := rate < 0.05*usual+2*bg
	switch s := r.spell; {
	case noisy && s == nil:
		d.openQuiet(i)
	case noisy && s != nil:
		s.quietBad = true
		s.endNS, s.endDist = max(s.endNS, d.now.toNS), max(s.endDist, d.distM)
	case clean && s != nil:
		s.quietOK = true
		if s.kind == Noisy && s.quietBad {
			d.closeRun(i, s)
		}
	}
}

// openQuiet begins an event from counts without flow. If the run was already
// above its share in work, that is when it began.
func (d *detector) openQuiet(i int) {
	r := &d.runs[i]
	start, dist := r.quietNS, r.quietDist
	if k := worst(r.up[:]); r.up[k].s > 4 {
		start = r.up[k].fromNS
		dist = d.hist.distAt(start)
	}
	s := d.newSpell(Noisy, i, start)
	s.startDist, s.quietBad = dist, true
	r.spell = s
	r.reset()
}
