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
// takes, or the two cannot overlap; it is a PositionFault where it is the position
// log that lacks.
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

// PositionFault is what is wrong with the position log. Faults of others are of
// the flow log, or of both.
type PositionFault struct{ input.Fault }

// Unwrap is the fault.
func (f PositionFault) Unwrap() error { return f.Fault }

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
	case f.ports == 0 && anyKnown(f.lat) && !anyKnown(p.lat):
		return nil, input.Fault{What: "the first log has positions and no counts, and the second has no positions", Remedy: "name the flow log first, the position log second"}
	case len(f.ns) < 10 || f.medNS == 0:
		return nil, input.Fault{What: "the flow log is too short to align", Remedy: "name a longer one, or give the offset with --offset"}
	case len(p.ns) < 10 || p.medNS == 0:
		return nil, PositionFault{input.Fault{What: "the position log is too short to align", Remedy: "name a longer one, or give the offset with --offset"}}
	case !anyKnown(p.speed) && !anyKnown(p.work):
		return nil, PositionFault{input.Fault{What: "the position log has neither positions nor speed nor work state", Remedy: "name a log that has them"}}
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

// The coarse search.
const (
	apartS    = 10.0 // two peaks are two
	maxBins   = 1 << 20
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
