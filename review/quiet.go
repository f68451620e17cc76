package review

import (
	"math"

	"runproof/counts"
)

// watchQuiet reads the spells in which nothing should flow: past the stop lag
// of lifted and shut-off work. A sensor that counts there, well above its
// neighbours and a tenth of its flow, counts without flow. Lifting that was
// only read off the flow proves nothing here.
func (d *detector) watchQuiet(f *frame) {
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
	}
	for p := range d.in.products {
		d.quietMedian(p, f)
	}
	for _, i := range d.slow {
		if d.runs[i].quietS >= 2 && f.reported(i) > 0 {
			d.judgeQuiet(i)
		}
	}
}

// quietMedian follows what a sensor of the product usually counts in this quiet
// spell, against its flow: shaking frames count a little everywhere, and flow
// that ends later than usual is not over anywhere. Single frames of a shaken
// sensor count nothing, as a rule; only the whole spell tells.
func (d *detector) quietMedian(p int, f *frame) {
	d.ratios = d.ratios[:0]
	for _, i := range d.slow {
		if r := &d.runs[i]; d.in.runs[i].product == p && r.quietS > 0 && f.reported(i) > 0 && d.k.rateHz[i] > 0 {
			d.ratios = append(d.ratios, r.quietX/r.quietS/d.k.rateHz[i])
		}
	}
	if len(d.ratios) >= 3 {
		d.prods[p].quietMed = counts.QuantileOf(d.ratios, 0.5)
	}
}

// quietSure is what speaks for counts without flow against the usual ones of a
// quiet sensor, nats: a day has thousands of quiet spells of single sensors.
const quietSure = 14

func (d *detector) judgeQuiet(i int) {
	r := &d.runs[i]
	rate, usual := r.quietX/r.quietS, d.k.rateHz[i]
	bg := d.prods[d.in.runs[i].product].quietMed * usual
	noisy := rate > 0.1*usual+4*bg && poissonNats(r.quietX, (0.02*usual+bg)*r.quietS) > quietSure
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

// poissonNats is the log-likelihood ratio of a Poisson count x at its own rate
// against mean e; 0 where x is no more than e.
func poissonNats(x, e float64) float64 {
	if x <= e {
		return 0
	}
	return x*math.Log(x/e) - (x - e)
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
