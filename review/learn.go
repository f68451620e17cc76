package review

import (
	"math"
	"slices"

	"runproof/counts"
)

// learned is what the first minutes of work say of this drill.
type learned struct {
	share     []float64 // by run: its part of what its head's sensors count
	assumed   []string  // by run: why the share is not the run's own, else ""
	overdisp  []float64 // by run: variance/mean F of a frame's count
	rateHz    []float64 // by run: usual count per second in work
	lagOnS    []float64 // by run: from the command to settled flow
	lagOffS   []float64 // by run: from the command to no flow
	headShare []float64 // by head: its part of its product's flow
	headVar   []float64 // by head: variance of a frame's headShare
	level     []float64 // by product: usual flow per second (and per m/s where speed is known)
	bySpeed   bool
	totalHz   float64 // usual count per second of all runs in work
}

// Lags when the log shows no start or stop to learn from, seconds: design.md
// gives 1 to 5 s from the command to the flow (common practice, no source).
const (
	defaultLagOnS  = 6
	defaultLagOffS = 7
	lagMarginS     = 1
	maxLagS        = 9
	standsMPS      = 0.5
)

// learn looks at the frames of the first minutes. It never fails: what cannot
// be learned keeps a default.
func learn(in *inputs, frames []*frame, given map[string]float64) *learned {
	n := len(in.runs)
	k := &learned{
		share: make([]float64, n), assumed: make([]string, n), overdisp: make([]float64, n), rateHz: make([]float64, n),
		lagOnS: make([]float64, n), lagOffS: make([]float64, n),
		headShare: make([]float64, len(in.heads)), headVar: make([]float64, len(in.heads)), level: make([]float64, len(in.products)),
	}
	k.inferWork(in, frames)
	k.rates(in, frames)
	k.lags(in, frames)
	blocks := k.blocks(in, frames)
	k.shares(in, blocks, given)
	k.spread(in, frames)
	k.levels(in, frames)
	return k
}

// inferWork sets the work state from the flow where the log has no work
// column: in work is a total above 15 % of the usual one.
func (k *learned) inferWork(in *inputs, frames []*frame) {
	var totals []float64
	for _, f := range frames {
		if t := f.total() / f.durS; t > 0 {
			totals = append(totals, t)
		}
	}
	k.totalHz = counts.Quantile(totals, 0.6)
	if in.work >= 0 {
		return
	}
	for _, f := range frames {
		f.work = k.flowing(f)
	}
}

func (k *learned) flowing(f *frame) bool { return f.total()/f.durS > 0.15*k.totalHz }

func (f *frame) total() float64 {
	t := 0.0
	for _, x := range f.x {
		t += x
	}
	return t
}

// rates takes each run's usual rate as the median over frames in which it is
// called for and the drill as a whole flows.
func (k *learned) rates(in *inputs, frames []*frame) {
	flowing := slices.DeleteFunc(slices.Clone(frames), func(f *frame) bool { return !k.flowing(f) })
	v := make([]float64, 0, len(flowing))
	for i := range in.runs {
		v = v[:0]
		for _, f := range flowing {
			if f.reported(i) > 0 && in.calledFor(f, i) {
				v = append(v, f.x[i]/f.durS*float64(f.samples)/float64(f.reported(i)))
			}
		}
		k.rateHz[i] = mean(v)
		if m := counts.Quantile(v, 0.5); m > 4 {
			k.rateHz[i] = m
		}
	}
}

// lags takes, for every change of command, the time until the run's count
// crosses a level; the run's lag is the worst but one in ten of these, the
// product's where the run shows too few, plus a margin.
func (k *learned) lags(in *inputs, frames []*frame) {
	on, off := make([][]float64, len(in.runs)), make([][]float64, len(in.runs))
	for i := range in.runs {
		on[i], off[i] = runLags(in, frames, i, k.rateHz[i])
	}
	settle(in, on, defaultLagOnS, k.lagOnS)
	settle(in, off, defaultLagOffS, k.lagOffS)
}

func settle(in *inputs, seen [][]float64, fallback float64, out []float64) {
	for p := range in.products {
		var all []float64
		for i, r := range in.runs {
			if r.product == p {
				all = append(all, seen[i]...)
			}
		}
		common := fallback
		if len(all) > 0 {
			common = counts.Quantile(all, 0.9) + lagMarginS
		}
		for i, r := range in.runs {
			if r.product != p {
				continue
			}
			out[i] = common
			if len(seen[i]) >= 2 {
				out[i] = max(common, counts.Quantile(seen[i], 0.9)+lagMarginS)
			}
			out[i] = min(out[i], maxLagS)
		}
	}
}

// runLags returns the run's start and stop lags, seconds, one for each change
// of command that is seen to take effect.
func runLags(in *inputs, frames []*frame, i int, rateHz float64) (on, off []float64) {
	if rateHz <= 0 {
		return nil, nil
	}
	was, sinceS, waiting, heldS := false, 0.0, false, 0.0
	for j, f := range frames {
		is := in.calledFor(f, i)
		if j > 0 && is != was {
			// a work state that was read off the flow has no lag to learn from
			commanded := in.work >= 0 || f.work && frames[j-1].work
			waiting, sinceS = commanded && heldS >= 3, 0
			heldS = 0
		}
		was, heldS = is, heldS+f.durS
		if f.speedMPS < standsMPS {
			waiting = false // flow ends with the travel, not with the command
		}
		if waiting && f.reported(i) > 0 {
			level := f.x[i] / f.durS / rateHz
			if is && level >= 0.6 {
				on, waiting = append(on, sinceS), false
			} else if !is && level < 0.15 {
				off, waiting = append(off, sinceS), false
			}
		}
		sinceS += f.durS
		if sinceS > 12 {
			waiting = false
		}
	}
	return on, off
}

// settledFrames calls fn for every frame with the runs that are called for,
// past their lag, and reporting.
func (k *learned) settledFrames(in *inputs, frames []*frame, fn func(f *frame, ok []bool)) {
	ph, ok := newPhase(in), make([]bool, len(in.runs))
	for _, f := range frames {
		ph.step(f)
		for i := range ok {
			ok[i] = ph.on(i) > k.lagOnS[i] && f.reported(i) > 0
		}
		fn(f, ok)
	}
}

// block is about ten seconds of settled work.
type block struct {
	x     []float64
	durS  float64
	whole []bool // run settled and reporting throughout
}

func (k *learned) blocks(in *inputs, frames []*frame) []block {
	var bs []block
	fresh := func() block {
		b := block{x: make([]float64, len(in.runs)), whole: make([]bool, len(in.runs))}
		for i := range b.whole {
			b.whole[i] = true
		}
		return b
	}
	b := fresh()
	k.settledFrames(in, frames, func(f *frame, ok []bool) {
		if !slices.Contains(ok, true) {
			b = fresh()
			return
		}
		for i := range ok {
			b.whole[i] = b.whole[i] && ok[i]
			if f.reported(i) > 0 {
				b.x[i] += f.x[i] * float64(f.samples) / float64(f.reported(i))
			}
		}
		if b.durS += f.durS; b.durS >= 10 {
			bs, b = append(bs, b), fresh()
		}
	})
	if b.durS > 3 || len(bs) == 0 && b.durS > 0 {
		bs = append(bs, b)
	}
	return bs
}

func (f *frame) scaled(i int) float64 {
	return f.x[i] * float64(f.samples) / float64(f.reported(i))
}

func mean(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	t := 0.0
	for _, x := range v {
		t += x
	}
	return t / float64(len(v))
}

func variance(v []float64) float64 {
	m, t := mean(v), 0.0
	for _, x := range v {
		t += (x - m) * (x - m)
	}
	return t / math.Max(1, float64(len(v)-1))
}
