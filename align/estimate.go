package align

import (
	"fmt"
	"math"
	"math/rand/v2"

	"runproof/flowlog"
	"runproof/input"
)

// Estimate finds the offset between the clocks of a flow log and a position log.
// Both are read to their ends; what is kept of them does not depend on their
// columns and is bounded. The error is an input.Fault: a log lacks what it
// takes, or the two cannot overlap.
func Estimate(flow, position flowlog.Reader, o Options) (*Offset, error) {
	if o.SearchS == 0 {
		o.SearchS = DefaultSearchS
	}
	f, err := gather(flow)
	if err != nil {
		return nil, err
	}
	p, err := gather(position)
	if err != nil {
		return nil, err
	}
	s, err := newSearch(f, p, o)
	if err != nil {
		return nil, err
	}
	return s.run(), nil
}

// search is one estimation at work. Shifts are seconds from the flow log's own
// time since its first sample to the position log's since its first.
type search struct {
	o         Options
	flow, pos *series
	works     *works
	path      *path
	posS      []float64 // times of the position samples
	zeroS     float64   // offset at shift 0
	lo, hi    float64   // shifts to search
	rng       *rand.Rand
	workEdges []edge
	flowEdges []edge
	posEdges  []edge
	turns     []turn
	out       *Offset
}

func newSearch(f, p *series, o Options) (*search, error) {
	f.motion()
	p.motion()
	s := &search{o: o, flow: f, pos: p, rng: rand.New(rand.NewPCG(o.Seed, 0x616c69676e)), out: &Offset{Notes: []string{}}}
	switch {
	case len(f.ns) < 10 || f.medNS == 0:
		return nil, input.Fault{What: "the flow log is too short to align", Remedy: "give the offset with --offset"}
	case len(p.ns) < 10 || p.medNS == 0:
		return nil, input.Fault{What: "the position log is too short to align", Remedy: "give the offset with --offset"}
	case !anyKnown(p.speed) && !anyKnown(p.work):
		return nil, input.Fault{What: "the position log has neither positions nor speed nor work state", Remedy: "name a log that has them"}
	case f.ports == 0 && !anyKnown(f.speed) && !anyKnown(f.work):
		return nil, input.Fault{What: "the flow log has neither counts nor speed nor work state", Remedy: "name the flow log first, the position log second"}
	}
	s.works, s.path = newWorks(f), newPath(p)
	s.posS = make([]float64, len(p.ns))
	for i, ns := range p.ns {
		s.posS[i] = float64(ns-p.ns[0]) / 1e9
	}
	s.zeroS = float64(p.ns[0])/1e9 - float64(f.ns[0])/1e9
	most := 3 * max(f.intervalS(), p.intervalS(), 1)
	s.workEdges = edgesOf(s.works.end, f.work, most)
	s.posEdges = edgesOf(s.posS, p.work, most)
	s.flowEdges = s.works.flowEdges()
	s.turns = s.path.turns()
	s.out.FlowS, s.out.PositionS = f.intervalS(), p.intervalS()
	return s, s.window()
}

// window sets the shifts to search: those of the offsets that are allowed, or,
// where one log has no dates, all at which half of the shorter one overlaps.
func (s *search) window() error {
	fs, ps := s.works.end[len(s.works.end)-1], s.posS[len(s.posS)-1]
	if s.flow.clock != s.pos.clock {
		half := min(fs, ps) / 2
		s.lo, s.hi = half-fs, ps-half
		s.out.Notes = append(s.out.Notes, "one log has dates and the other has not: every offset at which half of the shorter one overlaps was tried")
		return nil
	}
	s.lo, s.hi = -s.o.SearchS-s.zeroS, s.o.SearchS-s.zeroS
	const overlap = 60
	if s.lo > ps-overlap || s.hi < overlap-fs {
		c := s.flow.clock
		last := func(x *series) string { return c.Format(x.ns[len(x.ns)-1]) }
		return input.Fault{
			What: fmt.Sprintf("the logs are of different times: flow from %s to %s, positions from %s to %s",
				c.Format(s.flow.ns[0]), last(s.flow), c.Format(s.pos.ns[0]), last(s.pos)),
			Remedy: "name the position log of that day, or search wider with --search",
		}
	}
	return nil
}

// run weighs all evidence.
func (s *search) run() *Offset {
	centre := s.coarse()
	var best *fine
	if len(s.out.Peaks) > 0 {
		best = s.weigh(centre)
	}
	s.judge(best)
	return s.out
}

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

// The coarse search.
const (
	apartS    = 10.0 // two peaks are two
	maxBins   = 1 << 21
	kept      = 5    // peaks that are told
	drawn     = 1500 // places of the picture's curve
	stretchS  = 120.0
	leastBins = 20 // known in both logs
)

// coarse finds the peaks of all evidence together, and returns the shift of the
// highest.
func (s *search) coarse() float64 {
	step := max(1, s.flow.intervalS(), s.pos.intervalS(), (s.works.end[len(s.works.end)-1]+s.posS[len(s.posS)-1])/maxBins)
	cs, nf, np := s.clues(step)
	// what chance makes is learned over a quarter of an hour at least
	wide := max(0, DefaultSearchS-(s.hi-s.lo)/2)
	lo, hi := int(math.Floor((s.lo-wide)/step)), int(math.Ceil((s.hi+wide)/step))
	lo, hi = max(lo, 1-nf), min(hi, np-1)
	c := newComparer(nf, np)
	total := make([]float64, hi-lo+1)
	for _, cl := range cs {
		known := min(sumOf(cl.flow.known), sumOf(cl.pos.known))
		if known < leastBins {
			continue
		}
		r := c.ratios(cl, lo, hi, max(leastBins, known/4))
		asChance(r, int(30/step))
		for i := range total {
			total[i] += r[i]
		}
	}
	from, to := max(0, int(math.Ceil(s.lo/step))-lo), min(len(total)-1, int(math.Floor(s.hi/step))-lo)
	if from > to {
		return 0
	}
	inside := total[from : to+1]
	shift := func(i int) float64 { return float64(lo+from+i) * step }
	for _, i := range tops(inside, int(apartS/step)+1, kept) {
		s.out.Peaks = append(s.out.Peaks, Peak{s.zeroS + shift(i), inside[i]})
	}
	s.picture(inside, shift)
	if len(s.out.Peaks) == 0 {
		return 0
	}
	return s.out.Peaks[0].OffsetS - s.zeroS
}

func sumOf(v []float64) float64 {
	t := 0.0
	for _, x := range v {
		t += x
	}
	return t
}

// picture keeps the curve, the highest of neighbours where there are many.
func (s *search) picture(curve []float64, shift func(int) float64) {
	k := len(curve)/drawn + 1
	for i := 0; i < len(curve); i += k {
		best := i
		for j := i; j < min(i+k, len(curve)); j++ {
			if curve[j] > curve[best] {
				best = j
			}
		}
		s.out.Picture.Curve = append(s.out.Picture.Curve, Peak{s.zeroS + shift(best), curve[best]})
	}
}
