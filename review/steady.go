package review

import "math"

// Nearly all frames of a day are of sound heads at work. They take a quicker
// way than run by run through every watch: what a watch could find in such a
// frame is asked for all runs of the head together, and each run's sums go on
// without a branch that chance decides. What comes out is the same.

// lane is what the detector keeps of a head for that.
type lane struct {
	runs  []int
	gates []int
	lagS  float64 // the longest start lag of its runs
	sound bool    // each run has a share
	byRun bool    // never take the quick way

	idle   bool    // no run is in an event, silent, or learning its share
	whole  bool    // in this frame: idle, and each run flows and reports
	steady bool    // in this frame: whole, and taken the quick way
	even   bool    // in this frame: no run stands so high that levelOf would cut it
	shares float64 // sum of the runs' shares, after each has moved
	count  float64 // of all runs in this frame
}

// flow is what the judgeable heads of a product count in a frame, and the part
// of the product that they are.
type flow struct {
	level, part float64
	all         bool // of all its heads
}

// bulk gathers what the picture and the tally keep of steady frames.
type bulk struct {
	x                    []float64 // by run
	level, durS, samples []float64 // by head
}

func (d *detector) newLanes() {
	d.lanes = make([]lane, len(d.in.heads))
	for h, hr := range d.in.heads {
		ln := lane{runs: hr.runs, sound: true}
		for _, i := range hr.runs {
			indexOr(&ln.gates, func(g int) bool { return g == d.phase.gate[i] }, d.phase.gate[i])
			ln.lagS = max(ln.lagS, d.k.lagOnS[i])
			ln.sound = ln.sound && d.k.share[i] > 0
		}
		d.lanes[h] = ln
	}
	n := len(d.in.heads)
	d.bulk = bulk{make([]float64, len(d.in.runs)), make([]float64, n), make([]float64, n), make([]float64, n)}
}

// goesSteady says whether the head's frame is steady, and remembers it if so.
func (d *detector) goesSteady(ln *lane, h int, f *frame) bool {
	was := ln.steady
	ln.whole = ln.idle && ln.sound
	for _, g := range ln.gates {
		ln.whole = ln.whole && d.phase.onS[g] > ln.lagS
	}
	ln.steady = ln.whole
	if !ln.steady {
		return false
	}
	n, t := d.now, 0.0
	for _, i := range ln.runs {
		t += n.x[i]
	}
	ln.whole = t > 0 && !math.IsInf(t, 1)
	if ln.steady = ln.whole && !ln.byRun; !ln.steady {
		return false
	}
	if !was {
		ln.shares = 0
		for _, i := range ln.runs {
			d.ok[i], d.calm[i] = true, true
			ln.shares += d.runs[i].share
		}
	}
	ln.count = t
	d.steadyLevel(ln, h)
	b := &d.bulk
	b.level[h], b.durS[h], b.samples[h] = b.level[h]+n.level[h], b.durS[h]+f.durS, b.samples[h]+float64(f.samples)
	return true
}

// A head is even when no run exceeds evenHigh times its part and no more than
// half of the runs fall below evenLow of theirs. Then the middle of the runs is
// at least evenLow, and highClip times it is above evenHigh: levelOf cuts
// nothing, and need not look for the middle. Between the two limits there is
// room for what the shares move in a frame.
const (
	evenLow  = 0.885
	evenHigh = 1.39 // < evenLow * highClip
)

func (d *detector) steadyLevel(ln *lane, h int) {
	n := d.now
	level := ln.count / ln.shares
	low, high := 0, 0
	ne := n.e[:len(n.x)]
	gathered := d.bulk.x[:len(n.x)]
	for _, i := range ln.runs {
		x, e := n.x[i], d.runs[i].share*level
		ne[i] = e
		gathered[i] += x
		if x < evenLow*e {
			low++
		}
		if x > evenHigh*e+3 {
			high++
		}
	}
	ln.even = high == 0 && low*2 <= len(ln.runs) || len(ln.runs) < 3
	if !ln.even {
		copyCalm(n, d, ln)
		level = d.levelOf(n, ln.runs, -1)
		for _, i := range ln.runs {
			n.e[i] = d.runs[i].share * level
		}
	}
	n.level[h] = level
}

// copyCalm marks the lane's runs as calm in the frame, which is done for all
// runs together once all heads are remembered.
func copyCalm(n *past, d *detector, ln *lane) {
	for _, i := range ln.runs {
		n.calm[i] = d.calm[i]
	}
}

// The far alternatives (a tenth or 45 % left, 2.2 times as much) gain nothing
// from a frame whose count lies between these parts of what was expected:
// there x ln f + e (1-f) is below 0 for each of them.
var (
	farLow  = (1 - lowParts[1]) / -lowLogs[1]
	farHigh = (upParts[1] - 1) / upLogs[1]
)

// steadyRuns tests the runs of a steady head, as testRun does, and says whether
// one may raise an alarm. Sums below 0 are kept as 0, from which they would
// begin anyway.
func (d *detector) steadyRuns(h int) (hot bool) {
	const near, risen = len(lowParts) - 1, 0
	ln, n := &d.lanes[h], d.now
	lowLog, lowRest := lowLogs[near], 1-lowParts[near]
	upLog, upRest := upLogs[risen], 1-upParts[risen]
	perLevel, fromNS, shares := 1/n.level[h], n.fromNS, 0.0
	for _, i := range ln.runs {
		r, x, e := &d.runs[i], n.x[i], n.e[i]
		f := r.perVar
		low := r.low[near].steadyAdd((x*lowLog+e*lowRest)*f, fromNS)
		up := r.up[risen].steadyAdd((x*upLog+e*upRest)*f, fromNS)
		wild := r.wild.steadyAdd(x-e, f/e, fromNS)
		if r.far || x < e*farLow || x > e*farHigh {
			hot = r.addFar(x, e, f, fromNS) || hot
			low, up = max(low, r.low[0].s, r.low[1].s), max(up, r.up[1].s)
		}
		if low < 5 && up < 5 && wild < wildAlarm/2 {
			d.move(r, x*perLevel)
		} else if low >= lowAlarm || up >= upAlarm || wild >= wildAlarm {
			hot = true
		}
		shares += r.share
	}
	ln.shares = shares
	d.rescale(ln)
	return hot
}

// moved takes the shares of a whole head that was judged run by run.
func (d *detector) moved(ln *lane) {
	ln.shares = 0
	for _, i := range ln.runs {
		ln.shares += d.runs[i].share
	}
	d.rescale(ln)
}

// rescale makes the shares of the head add up to one again. Shares follow only
// while no alarm stands, which leans a little to one side; hour by hour the
// whole scale would creep, and the picture with it.
func (d *detector) rescale(ln *lane) {
	if math.Abs(ln.shares-1) <= 0.001 {
		return
	}
	for _, i := range ln.runs {
		r := &d.runs[i]
		r.share, r.anchor = r.share/ln.shares, r.anchor/ln.shares
	}
	ln.shares = 1
}

// steadyAdd adds one frame to a sum that is 0 or more.
func (c *cusum) steadyAdd(l float64, fromNS int64) float64 {
	s, from := c.s, c.fromNS
	if s == 0 {
		from = fromNS
	}
	c.fromNS = from
	if l > frameClip {
		l = frameClip
	} else if s > frameClip && l < -frameClip {
		l = -frameClip
	}
	c.s = notBelow0(s + l)
	return c.s
}

// addFar adds the frame to the far alternatives.
func (r *runState) addFar(x, e, perVar float64, fromNS int64) (hot bool) {
	a := r.low[0].steadyAdd((x*lowLogs[0]+e*(1-lowParts[0]))*perVar, fromNS)
	b := r.low[1].steadyAdd((x*lowLogs[1]+e*(1-lowParts[1]))*perVar, fromNS)
	c := r.up[1].steadyAdd((x*upLogs[1]+e*(1-upParts[1]))*perVar, fromNS)
	r.far = a > 0 || b > 0 || c > 0
	return max(a, b) >= lowAlarm || c >= upAlarm
}

// steadyAdd adds a frame that misses what was expected by so much; scale is one
// over the variance.
func (w *wildSum) steadyAdd(miss, scale float64, fromNS int64) float64 {
	z := miss * miss * scale
	l := (z*(1-1/wildTimes) - wildLog) / 2
	if l > wildClip {
		l, z = wildClip, min(10, z)
	}
	begun := ifAbove0(w.s)
	under := z
	under = masked(under, uint64(int64(math.Float64bits(miss))>>63))
	from := w.fromNS
	if w.s == 0 {
		from = fromNS
	}
	w.fromNS = from
	w.below = masked(w.below, begun) + under
	w.above = masked(w.above, begun) + (z - under)
	w.s = notBelow0(w.s + l)
	return w.s
}

// notBelow0 is max(0, v) of a number, without a branch.
func notBelow0(v float64) float64 {
	b := math.Float64bits(v)
	return math.Float64frombits(b &^ uint64(int64(b)>>63))
}

// ifAbove0 is a mask of all ones for v > 0 and of all noughts for v = 0.
func ifAbove0(v float64) uint64 { return uint64(-int64(math.Float64bits(v)) >> 63) }

func masked(v float64, mask uint64) float64 { return math.Float64frombits(math.Float64bits(v) & mask) }

// steadyAndRef is siblingsAndRef of all runs of a head that is still steady at
// the end of its frame.
func (d *detector) steadyAndRef(h int) (level, ref float64, mode reference, ok bool) {
	ln, fl := &d.lanes[h], &d.flows[d.in.heads[h].product]
	if !ln.steady || !ln.idle || !ln.even || !fl.all || len(d.in.products[d.in.heads[h].product].heads) < 2 {
		return 0, 0, noReference, false
	}
	return ln.count / ln.shares, (fl.level - d.now.level[h]) / (fl.part - d.heads[h].share), againstHeads, true
}

// rest says, at the end of a frame, which heads are idle.
func (d *detector) rest() {
	for h := range d.lanes {
		ln := &d.lanes[h]
		if ln.steady && ln.idle {
			continue
		}
		ln.idle, ln.steady = true, false
		for _, i := range ln.runs {
			ln.idle = d.runs[i].rest() && ln.idle
		}
	}
}

// rest readies the sums for steady frames, and says whether the run is idle.
func (r *runState) rest() bool {
	for k := range r.low {
		r.low[k].s = max(0, r.low[k].s)
	}
	for k := range r.up {
		r.up[k].s = max(0, r.up[k].s)
	}
	r.wild.s, r.far = max(0, r.wild.s), true
	return r.spell == nil && r.stuck == nil && r.gone == nil && r.goneS == 0 && r.relearnS <= 0
}

// settleBulk gives what steady frames have gathered to the picture's open cell
// and the tally.
func (d *detector) settleBulk(p *picture, t *tally) {
	b := &d.bulk
	for h := range d.lanes {
		if b.durS[h] == 0 {
			continue
		}
		for _, i := range d.lanes[h].runs {
			s := &p.cells[i][p.open]
			s.x, s.e = s.x+b.x[i], s.e+p.k.share[i]*b.level[h]
			s.durS, s.workS, s.samples = s.durS+b.durS[h], s.workS+b.durS[h], s.samples+b.samples[h]
			t.x[i], t.total[i] = t.x[i]+b.x[i], t.total[i]+b.level[h]
			t.work[i], t.seen[i] = t.work[i]+b.durS[h], t.seen[i]+b.samples[h]
			b.x[i] = 0
		}
		b.level[h], b.durS[h], b.samples[h] = 0, 0, 0
	}
}
