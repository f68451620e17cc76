package align

import (
	"fmt"
	"math"
	"strings"
)

// What a kind of evidence must reach to be used.
const (
	speedR    = 0.3  // two speeds of one machine
	agreeZ    = 3.5  // how far stretches agree: a chance of 1 in 4000 (normal law)
	speedS    = 60.0 // length of a stretch; of a short log, less: a thirtieth of it
	leastS    = 20.0
	flowS     = 60.0
	flowSDS   = 1.5
	leastEdge = 3   // edges either way
	reachS    = 8.0 // how far an edge may be from where it should be
	habitS    = 0.7 // standard deviation of a driver's habit: lowering late and lifting early by unlike times (common practice, no source)
)

// weigh refines each kind of evidence about the shift centre, uses the sharpest
// that the clock alone speaks in, and returns the fine search that tells of
// drift.
func (s *search) weigh(centre float64) *fine {
	whole := pieces(s.works.end, max(leastS, min(speedS, s.works.end[len(s.works.end)-1]/30)))
	line := s.path.straight(s.path.speedFor(s.pos, s.flow.knownS(s.flow.speed)))
	speedFine := refine(s.works.end, s.flow.speed, whole, line, s.path.stepS, centre)
	speed, speedOK := speedFine.solve(nil, s.rng)
	speedOK = speedOK && speed.r >= speedR && speed.z >= agreeZ
	if speedOK {
		s.tell(Speed, speed)
	}
	work, workOK := s.switches(centre)
	flowFine, flow, flowOK := s.follows(centre)
	lift, liftOK := s.lift(centre)
	grain := s.grainS()
	switch {
	case speedOK && !(workOK && work.sd < speed.sd/2):
		s.answer(Speed, s.clock(speed.shift), math.Hypot(speed.sd, grain))
		if flowOK {
			s.tell(Flow, flow)
			s.out.Lag = &Lag{speed.shift - flow.shift, math.Hypot(flow.sd, speed.sd)}
			s.note("flow follows speed by %.1f s (sd %.1f s)", s.out.Lag.S, s.out.Lag.SDS)
		}
		return speedFine
	case workOK:
		s.answer(Work, s.clock(work.shift), math.Hypot(work.sd, grain))
		if flowOK {
			s.tell(Flow, flow)
			return flowFine
		}
	case flowOK:
		s.tell(Flow, flow)
		s.fromFlow(flow, lift, liftOK)
		return flowFine
	case liftOK:
		s.fromLift(lift)
	}
	return nil
}

func (s *search) clock(shift float64) float64 { return s.zeroS + shift }

func (s *search) note(format string, args ...any) {
	s.out.Notes = append(s.out.Notes, fmt.Sprintf(format, args...))
}

func (s *search) tell(k Kind, e estimate) {
	s.out.Evidence = append(s.out.Evidence, Evidence{Kind: k, OffsetS: s.clock(e.shift), SDS: e.sd, R: e.r, Z: e.z, N: e.n})
}

// answer makes a normal estimate the answer.
func (s *search) answer(k Kind, offset, sd float64) {
	s.interval(k, offset, offset-1.96*sd, offset+1.96*sd)
}

func (s *search) interval(k Kind, offset, low, high float64) {
	s.out.S, s.out.LowS, s.out.HighS = offset, low, high
	s.use(k)
}

// use marks the evidence that the answer rests on.
func (s *search) use(k Kind) {
	for i := range s.out.Evidence {
		if s.out.Evidence[i].Kind == k {
			s.out.Evidence[i].Used = true
		}
	}
}

// grainS is what nobody can tell within an interval of the flow log: when in it
// a state or speed was taken.
func (s *search) grainS() float64 { return s.flow.intervalS() / math.Sqrt(12) }

// switches matches the work states of both logs.
func (s *search) switches(centre float64) (e estimate, ok bool) {
	grain := (s.flow.intervalS() + s.pos.intervalS()) / 2
	m := match(s.workEdges, s.posEdges, centre, reachS, grain)
	if m.least() < leastEdge || !s.alike(m, centre) {
		return e, false
	}
	e = estimate{shift: m.mid(), n: m.up.n + m.down.n}
	// no fewer edges tell more than evenly spread ones do
	e.sd = max(m.sd(), grain/math.Sqrt(3*float64(e.n)))
	if at, sd, n, same := common(s.workEdges, s.posEdges, centre, reachS); same {
		e.shift, e.sd, e.n = at, sd, n
	}
	s.tell(Work, e)
	return e, true
}

// alike says whether the edges of two work states are those of one machine: two
// in three of the flow log's have a partner, and the differences are alike.
func (s *search) alike(m bothWays, centre float64) bool {
	const aliveS = 1.5
	expected := 0
	for _, e := range s.workEdges {
		if at := e.s + centre; at > s.posS[0] && at < s.posS[len(s.posS)-1] {
			expected++
		}
	}
	sd := max(m.up.sd*math.Sqrt(float64(m.up.n)), m.down.sd*math.Sqrt(float64(m.down.n)))
	return 3*(m.up.n+m.down.n) >= 2*expected && sd <= aliveS+s.pos.intervalS()+s.flow.intervalS()
}

// lift matches the work state, or else flow, with the turns, or where only the
// position log has a work state with that.
func (s *search) lift(centre float64) (bothWays, bool) {
	edges := s.workEdges
	if len(edges) == 0 {
		edges = s.flowEdges
	}
	partners := lifts(s.turns)
	if len(s.workEdges) == 0 && len(s.posEdges) > 0 {
		partners = s.posEdges
	}
	const far, wide = 20, 0.5
	m := match(edges, partners, centre, far, wide)
	if m.least() < leastEdge {
		return m, false
	}
	s.tell(Lift, estimate{shift: m.mid(), sd: math.Hypot(m.sd(), m.half()/math.Sqrt(3)), n: m.up.n + m.down.n})
	return m, true
}

// fromFlow answers from flow and speed, and takes off the lag as far as it is
// known: as said, or as reckoned, bounded by the work state and placed by turns.
func (s *search) fromFlow(flow estimate, lift bothWays, liftOK bool) {
	sd := math.Hypot(flow.sd, s.grainS())
	if l := s.o.Lag; l != nil && l.SDS == 0 {
		s.out.Lag = l
		s.moveFlow(l.S)
		s.answer(Flow, s.clock(flow.shift+l.S), sd)
		return
	}
	b := s.believed()
	if b.known == nil && len(b.bounds) == 0 {
		s.out.WithLag = true
		s.answer(Flow, s.clock(flow.shift), sd)
		s.note("flow follows speed by the drill's transport lag, which nothing here tells from the clock: the offset is the clock less that lag; name a fit whose lag is reckoned, or give --lag, or log speed or work state with the flow")
		return
	}
	other, otherSD := 0.0, math.Inf(1)
	if liftOK && len(s.workEdges) > 0 {
		other, otherSD = lift.mid(), max(habitS, math.Hypot(lift.sd(), lift.half()/math.Sqrt(3)))
	}
	m := b.posterior(flow.shift, sd, other, otherSD)
	clock := m.quantile(0.5)
	s.out.Lag = &Lag{clock - flow.shift, m.lagSD()}
	s.moveFlow(s.out.Lag.S)
	s.interval(Flow, s.clock(clock), s.clock(m.quantile(0.025)), s.clock(m.quantile(0.975)))
	if otherSD < math.Inf(1) {
		s.use(Lift)
	}
	s.note("the transport lag is taken as %.1f s (sd %.1f s), %s", s.out.Lag.S, s.out.Lag.SDS, b.words(otherSD < math.Inf(1)))
}

// believed gathers what is known of the lag.
func (s *search) believed() belief {
	bounds, ahead := boundsOf(s.workEdges, s.flowEdges)
	b := belief{known: s.o.Lag, bounds: bounds}
	if ahead || b.contradicted() {
		s.note("flow starts or stops sooner after the work state than product can be under way: the drill meters ahead, and the work state says nothing of the lag")
		b.bounds = nil
	}
	return b
}

// words say what a belief in the lag rests on.
func (b belief) words(turns bool) string {
	var on []string
	if b.known != nil {
		on = append(on, fmt.Sprintf("from the %.1f s reckoned", b.known.S))
	}
	if len(b.bounds) > 0 {
		least := b.bounds[0].at
		for _, x := range b.bounds {
			least = min(least, x.at)
		}
		on = append(on, fmt.Sprintf("from the %.1f s between the work state and flow", least))
	}
	if turns {
		on = append(on, "from where lifts and turns lie")
	}
	return strings.Join(on, " and ")
}

// moveFlow takes a lag off what flow tells.
func (s *search) moveFlow(lagS float64) {
	for i := range s.out.Evidence {
		if s.out.Evidence[i].Kind == Flow {
			s.out.Evidence[i].OffsetS += lagS
		}
	}
}

// fromLift answers where nothing sharper is to be had.
func (s *search) fromLift(lift bothWays) {
	sd := math.Hypot(max(habitS, math.Hypot(lift.sd(), lift.half()/math.Sqrt(3))), s.grainS())
	offset := s.clock(lift.mid())
	if len(s.workEdges) == 0 {
		if l := s.o.Lag; l != nil {
			s.out.Lag = l
			offset, sd = offset+l.S, math.Hypot(sd, l.SDS)
		} else {
			s.out.WithLag = true
		}
	}
	s.answer(Lift, offset, sd)
	s.note("it rests on lifts and turns alone, which drivers time as they like")
}

// pieces cuts a log into stretches of at most lengthS.
func pieces(end []float64, lengthS float64) [][2]int {
	var out [][2]int
	from := 0
	for i := range end {
		if end[i]-end[from] >= lengthS {
			out = append(out, [2]int{from, i})
			from = i
		}
	}
	return append(out, [2]int{from, len(end)})
}

// sureNats is how much better than any other an offset must explain the logs: a
// likelihood ratio of 22 000, for the thousand places that were tried.
const sureNats = 10

// judge says how far the answer can be trusted.
func (s *search) judge(best *fine) {
	o := s.out
	if o.Evidence == nil {
		o.Evidence = []Evidence{}
	}
	sharp := false
	for _, e := range o.Evidence {
		sharp = sharp || e.Used && e.Kind != Lift
	}
	if !o.Found() {
		o.Peaks = append([]Peak{}, o.Peaks...)
		s.note("nothing in the logs ties them together; give the offset with --offset")
		return
	}
	second := 0.0
	if len(o.Peaks) > 1 {
		second = o.Peaks[1].Nats
	}
	if !sharp {
		s.note("turns alone do not make an offset sure")
	} else if o.Peaks[0].Nats-second >= sureNats {
		s.certain()
	} else if second > 0 {
		s.note("an offset of %.0f s explains the logs nearly as well (%.0f against %.0f nats)", o.Peaks[1].OffsetS, second, o.Peaks[0].Nats)
	} else {
		s.note("the logs agree no better than chance might make them (%.0f nats, %d are wanted)", o.Peaks[0].Nats, sureNats)
	}
	if best != nil {
		if o.Drift = best.drift(s.rng); o.Drift != nil && math.Abs(o.Drift.S) > max(3*o.Drift.SDS, o.FlowS) {
			o.Drift.Marked = true
			o.Verdict = min(o.Verdict, Rough)
			s.note("the clocks drift apart by %.1f s in %.1f h: the offset is right in the middle of the logs only", o.Drift.S, o.Drift.SpanS/3600)
		}
	}
	s.overlay()
}

// certain says how near an offset is whose place is beyond doubt.
func (s *search) certain() {
	o := s.out
	o.Verdict = Rough
	half := max(o.HighS-o.S, o.S-o.LowS)
	if o.WithLag {
		return // a note says so already
	}
	if half <= o.FlowS {
		o.Verdict = Sure
		return
	}
	s.note("the offset is known to %.2f s only, and a sample of the flow log is %.2f s", half, o.FlowS)
}

// overlay fills the picture's stretch: ten minutes about the middle of the
// overlap.
func (s *search) overlay() {
	const n = 600
	p := &s.out.Picture
	shift := s.out.S - s.zeroS
	if s.out.Lag != nil {
		shift -= s.out.Lag.S // flow is drawn over the speed that it follows
	}
	from := max(0, shift)
	to := min(s.posS[len(s.posS)-1], s.works.end[len(s.works.end)-1]+shift)
	begin := max(from, (from+to)/2-n/2)
	p.T0NS, p.StepS = s.pos.ns[0]+secondsNS(begin), 1
	p.Flow, p.SpeedMPS = filled(n), filled(n)
	f := binned(s.works.mid, s.works.rate, int(s.works.end[len(s.works.end)-1])+2, 1)
	for k := range n {
		t := begin + float64(k)
		p.SpeedMPS[k] = at(s.path.v, s.path.stepS, t)
		if i := int(math.Floor(t - shift)); i >= 0 && i < len(f.v) && f.known[i] > 0 && s.works.level > 0 {
			p.Flow[k] = f.v[i] / s.works.level
		}
	}
}
