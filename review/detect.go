package review

import (
	"math"
)

// Detection thresholds, nats. With L log-likelihood a false start has odds of
// about e^-L for each independent frame; a 12-hour day of 120 runs has 1e7
// frames, and share drift and tails take their part: 18 leaves a wide margin.
const (
	lowAlarm     = 18
	upAlarm      = 24
	returnAlarm  = 10
	headAlarm    = 20
	frameClip    = 6.0 // one odd frame decides nothing
	shareTauS    = 120
	anchorTauS   = 3600
	lowFlow      = 0.35 // product out below this part of its usual flow
	freezeFlow   = 0.5  // runs and heads are not judged below this
	goneAfterS   = 5
	sideWindowS  = 25 // before and after a fault, for the siblings' rise
	relearnS     = 20
	highClip     = 1.6
	settleAfterS = 3 // a hose fills in 0.5 to 3 s (common practice, no source)
)

var lowParts = [...]float64{0.1, 0.45, 0.75} // flow left, the alternatives of the run test

var upParts = [...]float64{1.35, 2.2}

var (
	lowLogs = logsOf(lowParts[:])
	upLogs  = logsOf(upParts[:])
)

func logsOf(parts []float64) []float64 {
	logs := make([]float64, len(parts))
	for i, p := range parts {
		logs[i] = math.Log(p)
	}
	return logs
}

// cusum is one alternative's sum and the last time it was zero.
type cusum struct {
	s      float64
	fromNS int64
}

func (c *cusum) add(l float64, fromNS int64) {
	if c.s <= 0 {
		c.s, c.fromNS = 0, fromNS
	}
	c.s += min(frameClip, max(-frameClip, l))
}

// runState is what the detector remembers of one run.
type runState struct {
	// What the quick way through sound frames touches stands first: steady.go.
	share  float64
	anchor float64
	low    [len(lowParts)]cusum
	up     [len(upParts)]cusum
	wild   wildSum
	perVar float64 // one over the variance/mean of a frame
	far    bool    // one of the far alternatives' sums may be above 0
	spell  *spell

	relearnS float64 // time left to learn a share that had been assumed

	goneS, goneWorkS float64
	goneNS           int64
	goneDist         float64
	gone             *spell

	silentX, silentS float64 // all spells without flow, outside events
	quietX, quietS   float64 // the present one
	quietNS          int64
	quietDist        float64
	stuck            *spell
}

func (r *runState) reset() {
	r.low, r.up, r.wild = [len(lowParts)]cusum{}, [len(upParts)]cusum{}, wildSum{}
}

// worst is the alternative with the greatest sum.
func worst(cs []cusum) (k int) {
	for i, c := range cs {
		if c.s > cs[k].s {
			k = i
		}
	}
	return k
}

type headState struct {
	share float64
	low   [2]cusum
	spell *spell
	drift drift
}

type productState struct {
	usual    float64
	lowS     float64
	okS      float64
	stoodS   float64 // since the drill stood still
	spell    *spell
	quietMed float64
}

// detector goes through the day once, frame by frame.
type detector struct {
	in      *inputs
	k       *learned
	phase   *phase
	hist    *history
	runs    []runState
	heads   []headState
	prods   []productState
	nodes   []*spell
	dead    []deadTime // by product; known once the day is over
	done    []*spell
	closing []*spell // ended lately, siblings still looked at

	flickers []*flicker // by run, of those that are followed
	flicking []int      // the runs that are
	told     []*flicker // followed to their end

	distM float64
	now   *past
	ok    []bool // settled and reporting
	calm  []bool // ok and in no event

	lanes                 []lane // by head
	slow                  []int  // the runs of the heads that are not steady in this frame
	bulk                  bulk
	flows                 []flow    // by product
	ratios                []float64 // scratch of levelOf
	shareStep, anchorStep float64   // how far a share moves in this frame
	stepsS                float64   // the length of frame that they are for
}

func newDetector(in *inputs, k *learned) *detector {
	d := &detector{
		in: in, k: k, phase: newPhase(in), hist: newHistory(in),
		runs: make([]runState, len(in.runs)), heads: make([]headState, len(in.heads)),
		prods: make([]productState, len(in.products)), nodes: make([]*spell, len(in.nodes)),
		ok: make([]bool, len(in.runs)), calm: make([]bool, len(in.runs)), ratios: make([]float64, 0, len(in.runs)),
	}
	for i := range d.runs {
		d.runs[i].share, d.runs[i].anchor, d.runs[i].perVar = k.share[i], k.share[i], 1/k.overdisp[i]
	}
	d.newLanes()
	d.flows = make([]flow, len(in.products))
	d.flickers = make([]*flicker, len(in.runs))
	for h := range d.heads {
		d.heads[h].share = k.headShare[h]
	}
	for p := range d.prods {
		d.prods[p].usual = k.level[p]
		d.prods[p].stoodS = 1e9
	}
	return d
}

// step judges the next frame.
func (d *detector) step(f *frame) {
	if d.in.work < 0 {
		f.work = d.k.flowing(f)
	}
	d.phase.step(f)
	d.remember(f)
	defer d.rest()
	d.watchSilence(f)
	d.watchStuck(f)
	for p := range d.in.products {
		d.watchProduct(p, f)
	}
	d.watchQuiet(f)
	for h := range d.in.heads {
		if d.judging(d.in.heads[h].product) {
			d.watchRuns(h)
		}
	}
	for p := range d.in.products {
		if d.judging(p) {
			d.watchHeads(p)
		}
	}
	d.followClosing()
	d.followFlickers()
}

// judging says whether the product flows well enough for its parts to be
// judged.
func (d *detector) judging(p int) bool {
	return d.prods[p].spell == nil && d.now.flow[p] > freezeFlow
}

// remember fills the newest frame of the history.
func (d *detector) remember(f *frame) {
	if f.durS != d.stepsS {
		d.shareStep, d.anchorStep, d.stepsS = 1-math.Exp(-f.durS/shareTauS), 1-math.Exp(-f.durS/anchorTauS), f.durS
	}
	if f.work {
		if f.speedMPS == f.speedMPS {
			d.distM += f.distM
		} else {
			d.distM += d.in.fit.Drill.Work.SpeedMPS * f.durS
		}
	}
	n := d.hist.push()
	d.now = n
	n.fromNS, n.toNS, n.durS, n.distM, n.speedMPS, n.key = f.fromNS, f.toNS, f.durS, d.distM, f.speedMPS, d.phase.key
	copy(n.x, f.x)
	for _, i := range f.short {
		if n.x[i] = f.scaled(i); f.reported(i) == 0 {
			d.lanes[d.in.runs[i].head].idle = false
		}
	}
	d.slow = d.slow[:0]
	for h := range d.lanes {
		if ln := &d.lanes[h]; !d.goesSteady(ln, h, f) {
			d.slow = append(d.slow, ln.runs...)
			d.rememberHead(h, f)
		}
	}
	copy(n.calm, d.calm)
	for p := range d.in.products {
		n.flow[p] = d.flowOf(f, p)
	}
}

// rememberHead takes a head run by run.
func (d *detector) rememberHead(h int, f *frame) {
	n, runs := d.now, d.in.heads[h].runs
	for _, i := range runs {
		r := &d.runs[i]
		d.ok[i] = d.phase.on(i) > d.k.lagOnS[i] && f.reported(i) > 0
		d.calm[i] = d.ok[i] && r.spell == nil && r.stuck == nil && r.gone == nil
		n.calm[i], n.e[i] = d.calm[i], 0
		if !d.ok[i] {
			n.x[i] = 0
		}
	}
	n.level[h] = d.levelOf(n, runs, -1)
	for _, i := range runs {
		if d.ok[i] && n.level[h] > 0 {
			n.e[i] = d.runs[i].share * n.level[h]
		}
	}
}

// levelOf is what all the head's sensors would count in the frame, judged by
// its calm runs but one (-1: by all of them); NaN where fewer than a third of
// the head can be judged. A run far above the others' middle counts only up to
// highClip of it, so that one sensor full of noise does not make its siblings
// look low.
func (d *detector) levelOf(n *past, runs []int, but int) float64 {
	t, part, whole := 0.0, 0.0, 0.0
	ratios := d.ratios[:0]
	for _, i := range runs {
		if i == but {
			continue
		}
		p := d.runs[i].share
		whole += p
		if n.calm[i] && p > 0 {
			t, part = t+n.x[i], part+p
			ratios = append(ratios, n.x[i]/p)
		}
	}
	if part < whole/3 || part == 0 {
		return math.NaN()
	}
	if len(ratios) < 3 {
		return t / part
	}
	limit := highClip * middle(ratios)
	if limit == 0 {
		return t / part
	}
	for _, i := range runs {
		if p := d.runs[i].share; i != but && n.calm[i] && n.x[i] > limit*p+3 {
			t -= n.x[i] - limit*p - 3
		}
	}
	return t / part
}

// middle is the median of v (the upper of two), by sorting v in place: a head
// has few runs.
func middle(v []float64) float64 {
	for i := 1; i < len(v); i++ {
		for j := i; j > 0 && v[j] < v[j-1]; j-- {
			v[j], v[j-1] = v[j-1], v[j]
		}
	}
	return v[len(v)/2]
}

// flowOf is the product's flow against its usual, NaN where it cannot be judged.
func (d *detector) flowOf(f *frame, p int) float64 {
	t, part := 0.0, 0.0
	all := true
	for _, h := range d.in.products[p].heads {
		if l := d.now.level[h]; d.judgeable(h) {
			t, part = t+l, part+d.heads[h].share
		} else {
			all = false
		}
	}
	d.flows[p] = flow{t, part, all}
	st := &d.prods[p]
	if f.speedMPS == f.speedMPS && f.speedMPS < 0.5 {
		st.stoodS = 0
	} else {
		st.stoodS += f.durS
	}
	if part == 0 || st.stoodS < 5 || st.usual == 0 {
		return math.NaN()
	}
	return d.k.perSpeed(f, t/part/f.durS) / st.usual
}

// judgeable says whether the head's flow is known and it is in no event.
func (d *detector) judgeable(h int) bool {
	return d.heads[h].spell == nil && d.now.level[h] == d.now.level[h]
}

func relax(v *float64, to, durS, tauS float64) { *v += (to - *v) * (1 - math.Exp(-durS/tauS)) }
