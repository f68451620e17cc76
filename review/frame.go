package review

import (
	"math"
	"slices"

	"runproof/flowlog"
)

// frame is a stretch of about half a second: the counts of every watched run
// summed, with the machine's state, which is the same throughout.
type frame struct {
	fromNS, toNS int64
	durS         float64
	samples      int
	work         bool    // in the ground, where the log says so
	speedMPS     float64 // mean; NaN = not known
	distM        float64 // travelled
	lat, lon     float64 // of the last sample; NaN = not known
	courseDeg    float64
	open         []bool    // by section
	x            []float64 // by run: particles counted
	lost         []int     // by run: samples not reported
	stuck        []int32   // by run: samples in a row with this very count, up to the end of the frame
	short        []int     // the runs that lost samples
	repeats      bool      // a run may have repeated one count beyond chance
}

// framer cuts a log into frames. A frame ends when it is long enough, when the
// work state or a section changes, and at a gap.
type framer struct {
	in        inputs
	intervalS float64
	frameS    float64
	gapS      float64
	emit      func(*frame)
	pause     func() // between stretches; nil = nothing to do

	lends   bool // who is given frames gives them back to free
	cur     *frame
	old     *frame // the one before it
	spans   []span // of the stretch at hand
	ends    []int32
	few     bool      // no span of the log has had more than FewSamples
	row     int       // spans in the stretch
	sums    []float64 // by run, then span
	streaks []int32
	free    []*frame
	prevNS  int64
	started bool
	last    []float64 // by run: count of the sample before
	streak  []int
	pos     *odometer
}

// span is the part of a batch that belongs to one frame.
type span struct {
	f      *frame
	a, b   int
	goesOn bool // the frame has samples of an earlier stretch
}

func newFramer(in inputs, intervalS float64, emit func(*frame)) *framer {
	k := math.Max(1, math.Floor(0.5/intervalS+1e-6))
	fr := &framer{
		in: in, intervalS: intervalS, frameS: k * intervalS, gapS: math.Max(3*intervalS, 1.5), emit: emit, few: true,
		last: make([]float64, len(in.runCols)), streak: make([]int, len(in.runCols)), pos: newOdometer(),
	}
	for i := range fr.last {
		fr.last[i] = -1
	}
	return fr
}

// add takes the next batch. Frames that are whole go to emit in order; they
// are used again afterwards.
func (fr *framer) add(b *flowlog.Batch) {
	for from := 0; from < b.Len(); from += stretchSamples {
		fr.addStretch(b, from, min(from+stretchSamples, b.Len()))
		if fr.pause != nil {
			fr.pause()
		}
	}
}

// stretchSamples are the samples whose frames are summed column by column before
// they are given on: few enough that the frames stay in the fastest cache.
const stretchSamples = 1024

func (fr *framer) addStretch(b *flowlog.Batch, from, to int) {
	spans := fr.cut(b, from, to)
	fr.table(len(spans))
	for r, c := range fr.in.runCols {
		if n := b.NarrowColumn(c); n != nil {
			fr.sumNarrow(r, n, spans)
		} else {
			fr.sum(r, b.Values[c], spans)
		}
	}
	for k, s := range spans {
		fr.spread(k, &s)
		if k+1 < len(spans) {
			fr.release(s.f)
		}
	}
}

// table makes room for the sums of a stretch, which lie run by run: a column
// writes them in a row.
func (fr *framer) table(spans int) {
	fr.row = spans
	n := spans * len(fr.in.runCols)
	fr.sums, fr.streaks = slices.Grow(fr.sums[:0], n)[:n], slices.Grow(fr.streaks[:0], n)[:n]
	fr.ends = fr.ends[:0]
	for _, s := range fr.spans {
		fr.ends = append(fr.ends, int32(s.b))
		fr.few = fr.few && s.b-s.a <= flowlog.FewSamples
	}
}

// spread takes span k of the table into its frame.
func (fr *framer) spread(k int, s *span) {
	f, at, sums, streaks := s.f, k, fr.sums, fr.streaks
	for r := range f.x {
		x, streak := sums[at], streaks[at]
		if s.goesOn {
			x += f.x[r]
		}
		f.x[r], f.stuck[r] = x, streak
		if streak >= fewRepeats && x > 0 || x > highCount {
			f.repeats = true
		}
		at += fr.row
	}
}

func (fr *framer) release(f *frame) {
	fr.emit(f)
	if !fr.lends {
		fr.free = append(fr.free, f)
	}
}

// flush gives the frame that is still open.
func (fr *framer) flush() {
	if fr.cur != nil {
		fr.release(fr.cur)
		fr.cur = nil
	}
}

// cut finds the spans of the batch from its time and state columns. The first
// span continues the frame left open by the batch before, if it can.
func (fr *framer) cut(b *flowlog.Batch, from, to int) []span {
	spans := fr.spans[:0]
	for i := from; i < to; i++ {
		t := b.TimeNS[i]
		dt := fr.intervalS
		if fr.started {
			dt = float64(t-fr.prevNS) / 1e9
		}
		gap := fr.started && dt > fr.gapS
		if fr.cur == nil || gap || fr.cur.durS >= fr.frameS-1e-6 || fr.stateChanged(b, i) {
			fr.openFrame(b, i, t, dt, gap)
			if i == from && fr.old != nil {
				fr.release(fr.old) // not sooner: its memory is used again
			}
		}
		if len(spans) == 0 || spans[len(spans)-1].f != fr.cur {
			spans = append(spans, span{fr.cur, i, i, fr.cur.samples > 0})
		}
		spans[len(spans)-1].b = i + 1
		fr.advance(b, i, t, dt, gap)
	}
	fr.spans = spans
	return spans
}

func (fr *framer) stateChanged(b *flowlog.Batch, i int) bool {
	if w, ok := fr.in.workAt(b, i); ok && w != fr.cur.work {
		return true
	}
	for s, c := range fr.in.secCols {
		if v := at(b, c, i); v == v && (v != 0) != fr.cur.open[s] {
			return true
		}
	}
	return false
}

// openFrame begins a frame at row i. A frame that was open before stays in the
// batch's spans until its counts are summed; one of an earlier batch is whole.
func (fr *framer) openFrame(b *flowlog.Batch, i int, t int64, dt float64, gap bool) {
	old := fr.cur
	f := fr.take()
	f.fromNS = t - int64(dt*1e9)
	if gap {
		f.fromNS = t - int64(fr.intervalS*1e9)
	}
	f.work = true
	if w, ok := fr.in.workAt(b, i); ok {
		f.work = w
	} else if old != nil && fr.in.work >= 0 {
		f.work = old.work
	}
	for s, c := range fr.in.secCols {
		f.open[s] = true
		if v := at(b, c, i); v == v {
			f.open[s] = v != 0
		} else if old != nil {
			f.open[s] = old.open[s]
		}
	}
	fr.old, fr.cur = old, f
}

func (fr *framer) take() *frame {
	n := len(fr.in.runCols)
	if k := len(fr.free); k > 0 {
		f := fr.free[k-1]
		fr.free = fr.free[:k-1]
		for _, r := range f.short {
			f.lost[r] = 0
		}
		*f = frame{x: f.x, lost: f.lost, short: f.short[:0], stuck: f.stuck, open: f.open, lat: math.NaN(), lon: math.NaN(), courseDeg: math.NaN(), speedMPS: math.NaN()}
		return f
	}
	fr.grow(n)
	return fr.take()
}

// grow makes some frames. Their counts lie an odd number of cache lines apart:
// one column goes through all frames of a stretch, which would else meet in few
// places of the cache.
func (fr *framer) grow(n int) {
	const some, line = 64, 64
	xs, stucks := ((n*8+line-1)/line|1)*line/8, ((n*4+line-1)/line|1)*line/4
	x, stuck := make([]float64, some*xs), make([]int32, some*stucks)
	for k := range some {
		fr.free = append(fr.free, &frame{
			x: x[k*xs:][:n:n], stuck: stuck[k*stucks:][:n:n], lost: make([]int, n), open: make([]bool, len(fr.in.secCols)),
		})
	}
}

// advance takes the row's time, position and speed into the open frame.
func (fr *framer) advance(b *flowlog.Batch, i int, t int64, dt float64, gap bool) {
	f := fr.cur
	if gap {
		dt = fr.intervalS
	}
	f.toNS, f.samples, f.durS = t, f.samples+1, f.durS+dt
	lat, lon := at(b, fr.in.lat, i), at(b, fr.in.lon, i)
	speed := fr.pos.speed(lat, lon, at(b, fr.in.speed, i), t)
	if speed == speed {
		if f.speedMPS != f.speedMPS {
			f.speedMPS = 0
		}
		f.speedMPS += (speed - f.speedMPS) / float64(f.samples)
		f.distM += speed * dt
	}
	if lat == lat && lon == lon {
		f.lat, f.lon = lat, lon
	}
	if c := at(b, fr.in.course, i); c == c {
		f.courseDeg = c
	}
	fr.prevNS, fr.started = t, true
}

// sum sums one run's column over the spans.
func (fr *framer) sum(r int, v []float64, spans []span) {
	last, streak := fr.last[r], fr.streak[r]
	for k, s := range spans {
		x, n := 0.0, 0
		for _, c := range v[s.a:s.b] {
			if c == c {
				x += c
				n++
				if c == last {
					streak++
				} else {
					last, streak = c, 1
				}
			}
		}
		fr.put(r, k, x, streak, s.b-s.a-n)
	}
	fr.last[r], fr.streak[r] = last, streak
}

// put writes run r's sum over span k.
func (fr *framer) put(r, k int, x float64, streak, lost int) {
	at := r*fr.row + k
	fr.sums[at], fr.streaks[at] = x, int32(min(streak, math.MaxInt32))
	if lost > 0 {
		fr.spans[k].f.lose(r, lost)
	}
}

// sumNarrow is sum for a narrow column. Nearly every frame has no more samples
// than are added up at a time, and all of them.
func (fr *framer) sumNarrow(r int, n *flowlog.Narrow, spans []span) {
	was := flowlog.Streak{Last: uint8(fr.last[r]), Times: fr.streak[r]}
	begun := fr.last[r] == float64(was.Last)
	absent := n.AbsentFrom(spans[0].a)
	for k := 0; k < len(spans); {
		whole := 0 // spans from k on that have all of their samples
		if begun && fr.few {
			whole = len(spans) - k
			if len(absent) > 0 {
				whole, _ = slices.BinarySearch(fr.ends[k:], absent[0]+1)
			}
		}
		if whole > 0 {
			at := r*fr.row + k
			was = n.Few(spans[k].a, fr.ends[k:k+whole], was, fr.sums[at:], fr.streaks[at:])
			k += whole
			continue
		}
		x, lost, s := 0, 0, spans[k]
		for i, c := range n.Counts[s.a:s.b] {
			switch {
			case len(absent) > 0 && int(absent[0]) == s.a+i:
				absent = absent[1:]
				lost++
				continue
			case begun && c == was.Last:
				was.Times++
			default:
				was, begun = flowlog.Streak{Last: c, Times: 1}, true
			}
			x += int(c)
		}
		fr.put(r, k, float64(x), was.Times, lost)
		k++
	}
	if begun {
		fr.last[r] = float64(was.Last)
	}
	fr.streak[r] = was.Times
}

// A streak of fewer than fewRepeats equal counts is never beyond chance while
// the counts are below highCount: see watchStuck.
const (
	fewRepeats = 5
	highCount  = 1e6
)

// lose notes samples of run r that were not reported.
func (f *frame) lose(r, samples int) {
	if f.lost[r] == 0 {
		f.short = append(f.short, r)
	}
	f.lost[r] += samples
}

// reported is how many samples of run r were.
func (f *frame) reported(r int) int { return f.samples - f.lost[r] }

// at is the value of column c, NaN where the log has no such column.
func at(b *flowlog.Batch, c, i int) float64 {
	if c < 0 {
		return math.NaN()
	}
	return b.Values[c][i]
}

// odometer gives speed: the log's own, else from successive positions.
type odometer struct {
	lat, lon float64
	t        int64
	speedMPS float64
}

func newOdometer() *odometer {
	return &odometer{lat: math.NaN(), lon: math.NaN(), speedMPS: math.NaN()}
}

func (o *odometer) speed(lat, lon, logged float64, t int64) float64 {
	if logged == logged {
		return logged
	}
	if lat != lat || lon != lon {
		return o.speedMPS
	}
	if o.lat == o.lat {
		if dt := float64(t-o.t) / 1e9; dt < 0.9 {
			return o.speedMPS // positions closer than that are mostly noise
		} else if dt < 10 {
			n := (lat - o.lat) * math.Pi / 180 * 6.37e6
			e := (lon - o.lon) * math.Pi / 180 * 6.38e6 * math.Cos(lat*math.Pi/180)
			o.speedMPS = math.Hypot(n, e) / dt
		} else {
			o.speedMPS = math.NaN()
		}
	}
	o.lat, o.lon, o.t = lat, lon, t
	return o.speedMPS
}
