package alarm

import (
	"math"
	"slices"

	"runproof/counts"
	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
)

// headData is one head's settled samples: every sound run of it in work, past
// its start, and reporting.
type headData struct {
	id      drill.HeadID
	product drill.ProductID
	runs    []drill.RunID
	xs      [][]int // by run, then sample
	totals  []int
	rows    []int // index of each sample in the log
	stretch []int // samples with the same number follow each other without a gap
}

// baseline is what the recording tells.
type baseline struct {
	intervalS float64
	speedMPS  float64 // median in work; 0 = not known
	heads     []headData
	faulty    []drill.RunID
	absent    []drill.RunID
	workS     float64
	lagS      float64
}

// settling time after a start when the log shows none, and the margin on what
// it shows, seconds (design: 1 to 5 s of transport; common practice, no source).
const (
	defaultLagS = 6
	lagMarginS  = 1
	maxLagS     = 9
)

// gather picks the settled samples of every head out of the log.
func gather(f *fit.Fit, l *flowlog.Log) *baseline {
	b := &baseline{intervalS: flowlog.IntervalS(l.TimeNS)}
	g := &gatherer{f: f, l: l, b: b, bind: flowlog.Bind(l.Schema, f)}
	g.states()
	for _, h := range f.Drill.Heads {
		g.head(h)
	}
	return b
}

type gatherer struct {
	f    *fit.Fit
	l    *flowlog.Log
	b    *baseline
	bind *flowlog.Binding
	work []bool
	sec  [][]bool // by section, then sample; nil where the log lacks it
}

// states finds work and section states for every sample.
func (g *gatherer) states() {
	n := g.l.Len()
	g.work = make([]bool, n)
	speed := g.l.Column(flowlog.Speed)
	total := g.total()
	usual := median(positive(total))
	inGround, speeds := true, []float64(nil)
	col := g.l.Column(flowlog.Work)
	for i := range g.work {
		switch {
		case col == nil:
			inGround = total[i] > 0.35*usual
		case !flowlog.IsMissing(col[i]):
			inGround = col[i] != 0
		}
		moving := speed == nil || flowlog.IsMissing(speed[i]) || speed[i] > 0.4
		g.work[i] = inGround && moving
		if g.work[i] {
			g.b.workS += g.b.intervalS
			if speed != nil && !flowlog.IsMissing(speed[i]) {
				speeds = append(speeds, speed[i])
			}
		}
	}
	g.b.speedMPS = median(speeds)
	for _, s := range g.bind.Sections {
		if s.Column == flowlog.None {
			g.sec = append(g.sec, nil)
			continue
		}
		open, states := true, make([]bool, n)
		for i, v := range g.l.Values[s.Column] {
			if !flowlog.IsMissing(v) {
				open = v != 0
			}
			states[i] = open
		}
		g.sec = append(g.sec, states)
	}
}

// total is the count of all ports, sample by sample.
func (g *gatherer) total() []float64 {
	t := make([]float64, g.l.Len())
	for _, r := range g.bind.Runs {
		if r.Column == flowlog.None {
			continue
		}
		for i, v := range g.l.Values[r.Column] {
			if !flowlog.IsMissing(v) {
				t[i] += v
			}
		}
	}
	return t
}

// head gathers the samples of one head.
func (g *gatherer) head(h drill.Head) {
	var runs []flowlog.BoundRun
	for _, r := range g.bind.Runs {
		switch {
		case r.Head != h.ID || r.Closed:
		case r.Column == flowlog.None:
			g.b.absent = append(g.b.absent, r.ID)
		default:
			runs = append(runs, r)
		}
	}
	if len(runs) == 0 {
		return
	}
	on := g.calledFor(runs)
	settled := g.settle(on, runs)
	sound := g.sound(runs, settled)
	hd := headData{id: h.ID, product: h.Product}
	for _, r := range sound {
		hd.runs = append(hd.runs, r.ID)
	}
	hd.xs = make([][]int, len(sound))
	last, stretch := -2, 0
	for i := range settled {
		if !settled[i] || !g.reported(sound, i) {
			continue
		}
		total := 0
		for k, r := range sound {
			x := int(math.Round(g.l.Values[r.Column][i]))
			hd.xs[k] = append(hd.xs[k], x)
			total += x
		}
		if i != last+1 {
			stretch++
		}
		last = i
		hd.totals, hd.rows, hd.stretch = append(hd.totals, total), append(hd.rows, i), append(hd.stretch, stretch)
	}
	if len(sound) > 0 && len(hd.totals) > 0 {
		g.b.heads = append(g.b.heads, hd)
	}
}

// calledFor says for every sample whether all runs of the head shall sow.
func (g *gatherer) calledFor(runs []flowlog.BoundRun) []bool {
	on := slices.Clone(g.work)
	for k, sec := range g.bind.Sections {
		if g.sec[k] == nil {
			continue
		}
		ids := g.f.Drill.SectionRuns(sec.Section)
		if !slices.ContainsFunc(runs, func(r flowlog.BoundRun) bool { return slices.Contains(ids, r.ID) }) {
			continue
		}
		for i := range on {
			on[i] = on[i] && g.sec[k][i]
		}
	}
	return on
}

// settle leaves out the start of every spell of work: until the head's flow is
// usual in nine of ten starts, and a second more. Where the log has no work
// column the last two seconds go too: flow was already falling.
func (g *gatherer) settle(on []bool, runs []flowlog.BoundRun) []bool {
	dt := g.b.intervalS
	flow := make([]float64, len(on))
	var usual []float64
	for i := range flow {
		for _, r := range runs {
			if v := g.l.Values[r.Column][i]; !flowlog.IsMissing(v) {
				flow[i] += v
			}
		}
		if on[i] && flow[i] > 0 {
			usual = append(usual, flow[i])
		}
	}
	lag := startLag(on, flow, median(usual), dt)
	g.b.lagS = max(g.b.lagS, lag)
	out := make([]bool, len(on))
	since := 0.0
	for i := range on {
		if !on[i] {
			since = 0
			continue
		}
		since += dt
		out[i] = since > lag
	}
	if g.l.Column(flowlog.Work) == nil {
		ahead := int(2 / dt)
		for i := range out {
			if i+ahead < len(on) && !on[i+ahead] {
				out[i] = false
			}
		}
	}
	return out
}

func startLag(on []bool, flow []float64, usual, dt float64) float64 {
	var lags []float64
	for i := 1; i < len(on); i++ {
		if !on[i] || on[i-1] {
			continue
		}
		for k := i; k < len(on) && on[k] && float64(k-i)*dt < 12; k++ {
			if flow[k] > 0.7*usual {
				lags = append(lags, float64(k-i)*dt)
				break
			}
		}
	}
	if len(lags) == 0 {
		return defaultLagS
	}
	return min(maxLagS, counts.Quantile(lags, 0.9)+lagMarginS)
}

// sound leaves out the runs that were faulty while the baseline was taken, so
// that they do not poison it: their share strays by more than 40 % in one
// ten-second block of eight, or lies below a quarter of their siblings'. Blocks
// in which a sound run strays are taken out of settled.
func (g *gatherer) sound(runs []flowlog.BoundRun, settled []bool) []flowlog.BoundRun {
	size := max(1, int(math.Round(10/g.b.intervalS)))
	shares, blocks := g.blockShares(runs, settled, size)
	usual := make([]float64, len(runs))
	for k := range runs {
		usual[k] = median(shares[k])
	}
	typical := median(usual)
	var out []flowlog.BoundRun
	for k, r := range runs {
		strayed := 0
		for _, s := range shares[k] {
			if s < 0.6*usual[k] || s > 1.6*usual[k] {
				strayed++
			}
		}
		if len(runs) > 1 && (strayed*8 > len(shares[k]) || usual[k] < typical/4) {
			g.b.faulty = append(g.b.faulty, r.ID)
			continue
		}
		for j, s := range shares[k] {
			if s < 0.6*usual[k] || s > 1.6*usual[k] {
				for i := blocks[j]; i < min(blocks[j]+size, len(settled)); i++ {
					settled[i] = false
				}
			}
		}
		out = append(out, r)
	}
	return out
}

// blockShares are the runs' shares of their head in blocks of settled samples
// that count at least 40 particles a run, and where the blocks begin.
func (g *gatherer) blockShares(runs []flowlog.BoundRun, settled []bool, size int) (shares [][]float64, blocks []int) {
	shares = make([][]float64, len(runs))
	sums := make([]float64, len(runs))
	for from := 0; from+size <= len(settled); from += size {
		clear(sums)
		total, whole := 0.0, true
		for i := from; i < from+size && whole; i++ {
			whole = settled[i]
			for k, r := range runs {
				if v := g.l.Values[r.Column][i]; whole && !flowlog.IsMissing(v) {
					sums[k] += v
					total += v
				}
			}
		}
		if !whole || total < 40*float64(len(runs)) {
			continue
		}
		blocks = append(blocks, from)
		for k := range runs {
			shares[k] = append(shares[k], sums[k]/total)
		}
	}
	return shares, blocks
}

func (g *gatherer) reported(runs []flowlog.BoundRun, i int) bool {
	for _, r := range runs {
		if flowlog.IsMissing(g.l.Values[r.Column][i]) {
			return false
		}
	}
	return true
}

func positive(v []float64) []float64 {
	var out []float64
	for _, x := range v {
		if x > 0 {
			out = append(out, x)
		}
	}
	return out
}

func median(v []float64) float64 { return counts.Quantile(v, 0.5) }
