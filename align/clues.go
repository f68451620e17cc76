package align

// clues are the kinds of evidence that both logs have.
func (s *search) clues(stepS float64) (cs []clue, nf, np int) {
	nf, np = int(s.works.end[len(s.works.end)-1]/stepS)+1, int(s.posS[len(s.posS)-1]/stepS)+1
	grid := make([]float64, len(s.path.v))
	for i := range grid {
		grid[i] = float64(i) * s.path.stepS
	}
	speed, state, still := binned(grid, s.path.v, np, stepS), binned(grid, s.path.work, np, stepS), binned(grid, negated(s.path.turn), np, stepS)
	add := func(k Kind, flow, pos signal) { cs = append(cs, clue{k, centred(flow), centred(pos)}) }
	add(Speed, binned(s.works.end, s.flow.speed, nf, stepS), speed)
	work := binned(s.works.end, s.flow.work, nf, stepS)
	on := binned(s.works.end, s.onState(), nf, stepS)
	add(Work, work, state)
	if !anyKnown(s.flow.work) {
		add(Work, on, state)
		work = on
	}
	within := clue{Flow, s.withinPasses(nf, stepS), level(speed, int(60/stepS))}
	cs = append(cs, within)
	add(Lift, work, capped(still))
	add(Lift, work, speed)
	return cs, nf, np
}

func (s *search) onState() []float64 {
	v := filled(len(s.works.on))
	for i, on := range s.works.on {
		if s.flow.ports == 0 || s.works.level == 0 {
			break
		}
		if v[i] = 0; on {
			v[i] = 1
		}
	}
	return v
}

// withinPasses is flow less its mean in each stretch, and known only there.
func (s *search) withinPasses(n int, stepS float64) signal {
	out := signal{make([]float64, n), make([]float64, n)}
	for _, st := range s.works.stretches(stretchS) {
		part := binned(s.works.mid[st[0]:st[1]], s.works.rate[st[0]:st[1]], n, stepS)
		part = centred(part)
		for k := max(0, int(s.works.mid[st[0]]/stepS)); k < n && float64(k)*stepS <= s.works.mid[st[1]-1]; k++ {
			if part.known[k] > 0 {
				out.v[k], out.known[k] = part.v[k], 1
			}
		}
	}
	return out
}

func negated(v []float64) []float64 {
	out := make([]float64, len(v))
	for i, x := range v {
		out[i] = -x
	}
	return out
}

// capped turns turning into a state: what is faster than 5 degrees a second is
// no more than that.
func capped(s signal) signal {
	for i := range s.v {
		s.v[i] = max(-5, s.v[i])
	}
	return s
}

// centred takes the mean off, which keeps sums of squares small.
func centred(s signal) signal {
	sum, n := 0.0, 0.0
	for i, v := range s.v {
		sum += v
		n += s.known[i]
	}
	for i := range s.v {
		if s.known[i] > 0 {
			s.v[i] -= sum / n
		}
	}
	return s
}

// level takes the mean of the neighbourhood, half bins either way, off.
func level(s signal, half int) signal {
	out := signal{make([]float64, len(s.v)), s.known}
	sums, counts := make([]float64, len(s.v)+1), make([]float64, len(s.v)+1)
	for i, v := range s.v {
		sums[i+1], counts[i+1] = sums[i]+v, counts[i]+s.known[i]
	}
	for i, v := range s.v {
		a, b := max(0, i-half), min(len(s.v), i+half+1)
		if s.known[i] > 0 {
			out.v[i] = v - (sums[b]-sums[a])/(counts[b]-counts[a])
		}
	}
	return out
}

func sumOf(v []float64) float64 {
	t := 0.0
	for _, x := range v {
		t += x
	}
	return t
}
