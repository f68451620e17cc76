package review

import "math"

// watchSilence finds ports that stopped reporting: a node when all its ports
// did, else a sensor.
func (d *detector) watchSilence(f *frame) {
	if len(d.slow) == 0 {
		return
	}
	for _, i := range d.slow {
		r := &d.runs[i]
		if f.reported(i) == 0 {
			if r.goneS == 0 {
				r.goneNS, r.goneDist = f.fromNS, d.hist.distAt(f.fromNS)
			}
			r.goneS += f.durS
			if d.phase.on(i) > 0 {
				r.goneWorkS += f.durS
			}
			continue
		}
		r.goneS, r.goneWorkS = 0, 0
		d.endSilence(&r.gone, f)
	}
	for n, node := range d.in.nodes {
		if d.allGone(node, f) {
			d.nodeSilent(n, f)
			continue
		}
		d.endSilence(&d.nodes[n], f)
		for _, i := range node.runs {
			if r := &d.runs[i]; r.gone != nil || r.goneS > 0 {
				d.runSilent(i, f)
			}
		}
	}
}

func (d *detector) allGone(node nodeRuns, f *frame) bool {
	for _, i := range node.runs {
		if f.reported(i) > 0 {
			return false
		}
	}
	return true
}

func (d *detector) endSilence(s **spell, f *frame) {
	if *s != nil {
		(*s).endNS, (*s).endDist = f.fromNS, d.hist.distAt(f.fromNS)
		d.done = append(d.done, *s)
		*s = nil
	}
}

func (d *detector) nodeSilent(n int, f *frame) {
	runs := d.in.nodes[n].runs
	longest, work := runs[0], 0.0
	for _, i := range runs {
		if d.runs[i].goneS < d.runs[longest].goneS {
			longest = i // the node is silent since its last port fell silent
		}
		work = max(work, d.runs[i].goneWorkS)
	}
	r := &d.runs[longest]
	if s := d.nodes[n]; s != nil {
		s.endNS, s.endDist = f.toNS, d.distM
	} else if r.goneS >= goneAfterS && work >= goneAfterS-1 {
		s := d.newSpell(NoData, longest, r.goneNS)
		s.startDist, s.endNS, s.endDist, s.run = r.goneDist, f.toNS, d.distM, -1
		d.nodes[n] = s
	}
}

func (d *detector) runSilent(i int, f *frame) {
	r := &d.runs[i]
	switch {
	case r.gone != nil:
		r.gone.endNS, r.gone.endDist = f.toNS, d.distM
	case r.goneS >= goneAfterS && r.goneWorkS >= goneAfterS-1:
		s := d.newSpell(SensorLost, i, r.goneNS)
		s.startDist, s.endNS, s.endDist = r.goneDist, f.toNS, d.distM
		r.gone = s
	}
}

// watchStuck finds a sensor that repeats one count for longer than chance
// allows: each sample agrees with a fixed value with probability at most
// about 1/sqrt(2 pi v) (the mode of a Poisson law with mean v), so a streak of
// k samples has ln odds of at least k ln sqrt(2 pi v).
func (d *detector) watchStuck(f *frame) {
	if len(d.slow) == 0 && !f.repeats {
		return
	}
	for i := range d.runs {
		r := &d.runs[i]
		if r.stuck == nil && f.stuck[i] < fewRepeats && f.x[i] < highCount || f.reported(i) == 0 || d.phase.on(i) == 0 {
			continue
		}
		v := f.x[i] / float64(f.reported(i))
		each := math.Log(max(2.4, math.Sqrt(2*math.Pi*v)))
		stuck := v > 0 && float64(f.stuck[i])*each > 35
		sampleNS := int64(f.durS / float64(f.samples) * 1e9)
		switch {
		case stuck && r.spell != nil:
			r.spell.repeats = true
		case stuck && r.stuck == nil:
			r.stuck = d.newSpell(SensorLost, i, max(0, f.toNS-int64(f.stuck[i])*sampleNS))
			r.stuck.llr = float64(f.stuck[i]) * each
		case stuck && r.stuck != nil:
			r.stuck.endNS, r.stuck.endDist = f.toNS, d.distM
		case r.stuck != nil:
			d.done = append(d.done, r.stuck)
			r.stuck = nil
			r.reset()
		}
	}
}
