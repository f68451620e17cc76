package review

import (
	"math"
	"slices"

	"runproof/counts"
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
		k.share[i] = counts.Quantile(v, 0.5)
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
	typical := k.typicalShare(runs)
	for a, i := range runs {
		var v []float64
		for _, b := range blocks {
			if r := k.siblingLevel(b, runs); b.whole[i] && r > 0 && k.share[i] > 0 {
				v = append(v, b.x[i]/(k.share[i]*r))
			}
		}
		better[a] = k.share[i]
		if len(v) > 0 {
			better[a] *= soundLevel(v, k.share[i]/typical)
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
		return counts.Quantile(v, 0.5)
	}
	if p == 0 {
		return 0
	}
	return t / p
}

// Which of two levels is a run's sound one: gains of sensors differ by gainSD
// (design: tens of percent), and a run that lost flow is likelier, by lossOdds
// nats, than one that counted what did not flow (common practice, no source).
const (
	gainSD   = 0.3
	lossOdds = 2
)

// soundLevel is the median of v; when v falls into two clusters that are well
// apart, the middle of the upper one, as runs lose flow more often than they count
// noise, unless the lower stands so much nearer to what the siblings show (odd is
// this run's share against theirs at v = 1), or lasted so much longer, that it is
// likelier. A run that was faulty for most of the time shows its sound level in the
// rest; one that counted noise for a while does so the other way round.
func soundLevel(v []float64, odd float64) float64 {
	s := slices.Clone(v)
	slices.Sort(s)
	cut := twoClusters(s)
	if cut == 0 {
		return counts.Quantile(s, 0.5)
	}
	lo, hi := counts.Quantile(s[:cut], 0.5), counts.Quantile(s[cut:], 0.5)
	if lo > 0 && gainNats(hi*odd)-gainNats(lo*odd) > lossOdds+math.Log(float64(len(s)-cut)/float64(cut)) {
		return lo
	}
	return hi
}

// gainNats is what speaks against a gain of so many times the siblings'.
func gainNats(times float64) float64 {
	l := math.Log(times) / gainSD
	return l * l / 2
}

// twoClusters returns where ascending s falls into two clusters, 0 where it is
// one: they lie five standard deviations and a fifth of their size apart, and
// neither is smaller than an eighth of the whole.
func twoClusters(s []float64) int {
	if len(s) < 6 {
		return 0
	}
	best, cut := 0.0, 0
	for c := 2; c <= len(s)-2; c++ {
		a, b := mean(s[:c]), mean(s[c:])
		if between := float64(c) * float64(len(s)-c) * (b - a) * (b - a); between > best {
			best, cut = between, c
		}
	}
	if cut == 0 || min(cut, len(s)-cut)*8 < len(s) {
		return 0
	}
	lo, hi := s[:cut], s[cut:]
	sd := math.Sqrt((variance(lo)*float64(len(lo)-1) + variance(hi)*float64(len(hi)-1)) / float64(len(s)-2))
	if mean(hi)-mean(lo) > 5*sd && mean(lo) < 0.8*mean(hi) {
		return cut
	}
	return 0
}

// doubtShares replaces a share that cannot be the run's own: far below its
// siblings', or below the one that the rules document gives.
func (k *learned) doubtShares(in *inputs, runs []int, given map[string]float64) {
	typical := k.typicalShare(runs)
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

// typicalShare is the middle of the runs' shares; a little above it, as with
// several runs down the upper half is the sounder.
func (k *learned) typicalShare(runs []int) float64 {
	if len(runs) == 2 {
		return 0.5
	}
	var v []float64
	for _, i := range runs {
		v = append(v, k.share[i])
	}
	return counts.Quantile(v, 0.6)
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
// total. What clings together from frame to frame counts in full: sums of eight
// frames vary more than eight times a frame by a factor that the product's runs
// share. Medians and clipped means keep faults out of it.
func (k *learned) spread(in *inputs, frames []*frame) {
	one, eight := k.squares(in, frames, 1), k.squares(in, frames, 8)
	for p := range in.products {
		var cling, all []float64
		for i, r := range in.runs {
			if one := clippedMean(one[i]); r.product == p && len(eight[i]) >= 5 && one > 0 {
				cling = append(cling, clippedMean(eight[i])/one)
			}
			if r.product == p && len(one[i]) > 0 {
				all = append(all, clippedMean(one[i]))
			}
		}
		factor, usual := max(1, counts.Quantile(cling, 0.5)), max(1, counts.Quantile(all, 0.5))
		for i, r := range in.runs {
			if r.product == p {
				f := usual
				if len(one[i]) >= 20 {
					f = clippedMean(one[i])
				}
				k.overdisp[i] = factor * min(3*usual, max(0.7, f))
			}
		}
	}
}

// squares are, for each run, (count - expected)^2 / expected over sums of
// group settled frames.
func (k *learned) squares(in *inputs, frames []*frame, group int) [][]float64 {
	n := len(in.runs)
	out := make([][]float64, n)
	gx, ge, gn := make([]float64, n), make([]float64, n), make([]int, n)
	k.settledFrames(in, frames, func(f *frame, ok []bool) {
		for _, h := range in.heads {
			r, _ := k.headLevel(f, h.runs, ok)
			for _, i := range h.runs {
				e := k.share[i] * r
				if !ok[i] || e <= 0 {
					continue
				}
				gx[i], ge[i], gn[i] = gx[i]+f.scaled(i)-e, ge[i]+e, gn[i]+1
				if gn[i] == group {
					out[i] = append(out[i], gx[i]*gx[i]/ge[i])
					gx[i], ge[i], gn[i] = 0, 0, 0
				}
			}
		}
	})
	return out
}

// clippedMean is the mean of squares of something nearly normal, each clipped
// at nine times the variance that the median tells (median of a square: 0.455
// of the variance); 1.03 makes up for what is clipped of a normal law.
func clippedMean(squares []float64) float64 {
	v := counts.Quantile(squares, 0.5) / 0.455
	if v == 0 { // a run that is its head's only one, or hardly counts
		return mean(squares)
	}
	t := 0.0
	for _, s := range squares {
		t += min(s, 9*v)
	}
	return 1.03 * t / float64(len(squares))
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
			k.headShare[h] = counts.Quantile(per[h], 0.5)
			k.headVar[h] = max(1e-6, varianceOfShare(per[h]))
		}
		normalise(k.headShare, pr.heads)
		k.level[p] = counts.Quantile(flow[p], 0.5)
	}
}

// varianceOfShare is the robust variance of v from its quartiles.
func varianceOfShare(v []float64) float64 {
	iqr := counts.Quantile(v, 0.75) - counts.Quantile(v, 0.25)
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
