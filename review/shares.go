package review

import (
	"math"
	"slices"
)

// shares finds each run's share of its head from the blocks, robust against
// faults that are already there: the median of a run's shares, then, against
// the siblings' median level, the upper of two levels where a run shows two.
func (k *learned) shares(in *inputs, blocks []block, given map[string]float64) {
	for _, h := range in.heads {
		k.firstShares(h.runs, blocks)
		for range 2 {
			k.refineShares(h.runs, blocks)
		}
		k.doubtShares(in, h.runs, given)
		normalise(k.share, h.runs)
	}
}

func (k *learned) firstShares(runs []int, blocks []block) {
	for _, i := range runs {
		var v []float64
		for _, b := range blocks {
			if t := b.sum(runs); b.whole[i] && t > 0 {
				v = append(v, b.x[i]/t)
			}
		}
		k.share[i] = quantile(v, 0.5)
	}
	normalise(k.share, runs)
}

func (b block) sum(runs []int) float64 {
	t := 0.0
	for _, i := range runs {
		if b.whole[i] {
			t += b.x[i]
		}
	}
	return t
}

func (k *learned) refineShares(runs []int, blocks []block) {
	better := make([]float64, len(runs))
	for a, i := range runs {
		var v []float64
		for _, b := range blocks {
			if r := k.siblingLevel(b, runs); b.whole[i] && r > 0 && k.share[i] > 0 {
				v = append(v, b.x[i]/(k.share[i]*r))
			}
		}
		better[a] = k.share[i]
		if len(v) > 0 {
			better[a] *= soundLevel(v)
		}
	}
	for a, i := range runs {
		k.share[i] = better[a]
	}
	normalise(k.share, runs)
}

// siblingLevel is the head's flow in the block, as the median over its runs of
// count/share; with fewer than three runs, total/total.
func (k *learned) siblingLevel(b block, runs []int) float64 {
	var v []float64
	t, p := 0.0, 0.0
	for _, i := range runs {
		if b.whole[i] && k.share[i] > 0 {
			v = append(v, b.x[i]/k.share[i])
			t, p = t+b.x[i], p+k.share[i]
		}
	}
	if len(v) >= 3 {
		return quantile(v, 0.5)
	}
	if p == 0 {
		return 0
	}
	return t / p
}

// soundLevel is the median of v, or of its upper cluster when v falls into two
// that are well apart: a run that was faulty for most of the time shows its
// sound level in the rest.
func soundLevel(v []float64) float64 {
	s := slices.Clone(v)
	slices.Sort(s)
	if len(s) < 6 {
		return quantile(s, 0.5)
	}
	best, cut := 0.0, 0
	for c := 2; c <= len(s)-2; c++ {
		a, b := mean(s[:c]), mean(s[c:])
		if between := float64(c) * float64(len(s)-c) * (b - a) * (b - a); between > best {
			best, cut = between, c
		}
	}
	if cut == 0 {
		return quantile(s, 0.5)
	}
	lo, hi := s[:cut], s[cut:]
	sd := math.Sqrt((variance(lo)*float64(len(lo)-1) + variance(hi)*float64(len(hi)-1)) / float64(len(s)-2))
	apart := mean(hi)-mean(lo) > 5*sd && mean(lo) < 0.8*mean(hi)
	if apart && float64(len(hi)) >= 0.12*float64(len(s)) {
		return quantile(hi, 0.5)
	}
	return quantile(s, 0.5)
}

// doubtShares replaces a share that cannot be the run's own: far below its
// siblings', or below the one that the rules document gives.
func (k *learned) doubtShares(in *inputs, runs []int, given map[string]float64) {
	var v []float64
	for _, i := range runs {
		v = append(v, k.share[i])
	}
	typical := quantile(v, 0.5)
	if len(v) > 2 {
		typical = quantile(v, 0.6) // with several runs down the upper half is the sounder
	} else if len(v) == 2 {
		typical = 0.5
	}
	for _, i := range runs {
		if g, ok := given[string(in.runs[i].ID)]; ok && g > 0 {
			if k.share[i] < 0.8*g {
				k.share[i], k.assumed[i] = g, "share taken from the rules document: the run was low from the start of the log"
			}
		} else if k.share[i] < 0.3*typical {
			k.share[i], k.assumed[i] = typical, "share taken from the siblings: the run was low from the start of the log"
		}
	}
}

func normalise(v []float64, at []int) {
	t := 0.0
	for _, i := range at {
		t += v[i]
	}
	for _, i := range at {
		if t > 0 {
			v[i] /= t
		} else {
			v[i] = 1 / float64(len(at))
		}
	}
}

// spread finds F, the variance/mean of a run's frame counts given its head's
// total, on single frames and on sums of eight, and takes the greater: what
// clings together from frame to frame counts in full. Outliers beyond five
// standard deviations of the previous pass are left out.
func (k *learned) spread(in *inputs, frames []*frame) {
	const group = 8
	n := len(in.runs)
	for i := range k.overdisp {
		k.overdisp[i] = 4
	}
	for range 3 {
		one, eight := make([]meanOf, n), make([]meanOf, n)
		gx, ge, gn := make([]float64, n), make([]float64, n), make([]int, n)
		k.settledFrames(in, frames, func(f *frame, ok []bool) {
			for _, h := range in.heads {
				r, _ := k.headLevel(f, h.runs, ok)
				for _, i := range h.runs {
					e := k.share[i] * r
					if !ok[i] || e <= 0 {
						continue
					}
					d := f.scaled(i) - e
					if d*d > 25*k.overdisp[i]*e {
						gx[i], ge[i], gn[i] = 0, 0, 0
						continue
					}
					one[i].add(d*d, e)
					gx[i], ge[i], gn[i] = gx[i]+d, ge[i]+e, gn[i]+1
					if gn[i] == group {
						eight[i].add(gx[i]*gx[i], ge[i])
						gx[i], ge[i], gn[i] = 0, 0, 0
					}
				}
			}
		})
		for i := range k.overdisp {
			k.overdisp[i] = min(60, max(0.7, one[i].value(1), 0.8*eight[i].value(1)))
		}
	}
}

// meanOf is a ratio of sums.
type meanOf struct{ num, den float64 }

func (m *meanOf) add(num, den float64) { m.num += num; m.den += den }

func (m *meanOf) value(none float64) float64 {
	if m.den == 0 {
		return none
	}
	return m.num / m.den
}

// headLevel is the head's flow in the frame as its sound runs show it: what
// the head's sensors would count in total; and the part of the head's shares
// that it rests on.
func (k *learned) headLevel(f *frame, runs []int, ok []bool) (level, part float64) {
	t, p := 0.0, 0.0
	for _, i := range runs {
		if ok[i] {
			t, p = t+f.scaled(i), p+k.share[i]
		}
	}
	if p == 0 {
		return 0, 0
	}
	return t / p, p
}

// levels finds each head's part of its product, and each product's usual flow.
func (k *learned) levels(in *inputs, frames []*frame) {
	k.bySpeed = in.speed >= 0 || in.lat >= 0
	per := make([][]float64, len(in.heads))
	flow := make([][]float64, len(in.products))
	k.settledFrames(in, frames, func(f *frame, ok []bool) {
		for p, pr := range in.products {
			total, whole := 0.0, true
			lv := make([]float64, len(pr.heads))
			for a, h := range pr.heads {
				var part float64
				lv[a], part = k.headLevel(f, in.heads[h].runs, ok)
				total += lv[a]
				whole = whole && part > 0.5
			}
			if !whole || total <= 0 {
				continue
			}
			for a, h := range pr.heads {
				per[h] = append(per[h], lv[a]/total)
			}
			if u := k.perSpeed(f, total/f.durS); u > 0 {
				flow[p] = append(flow[p], u)
			}
		}
	})
	for p, pr := range in.products {
		for _, h := range pr.heads {
			k.headShare[h] = quantile(per[h], 0.5)
			k.headVar[h] = max(1e-6, varianceOfShare(per[h]))
		}
		normalise(k.headShare, pr.heads)
		k.level[p] = quantile(flow[p], 0.5)
	}
}

// varianceOfShare is the robust variance of v from its quartiles.
func varianceOfShare(v []float64) float64 {
	iqr := quantile(v, 0.75) - quantile(v, 0.25)
	return iqr * iqr / (1.349 * 1.349)
}

// perSpeed is flow per m/s where speed is known and the drill moves; 0 where
// it stands.
func (k *learned) perSpeed(f *frame, perS float64) float64 {
	if !k.bySpeed || f.speedMPS != f.speedMPS {
		return perS
	}
	if f.speedMPS < 0.4 {
		return 0
	}
	return perS / f.speedMPS
}
