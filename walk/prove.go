package walk

import (
	"math"
	"slices"

	"runproof/fit"
	"runproof/flowlog"
	"runproof/input"
)

// Options are what a person may say of a walk.
type Options struct {
	Marks  *Marks // nil: the walk went in plan order
	Method Method // Auto: see what the recording shows
}

// Prove works out from the recording of a walk which port listens to which
// run of the fit.
func Prove(f *fit.Fit, log *flowlog.Log, o Options) (*Proof, error) {
	g, err := newGrid(log)
	if err != nil {
		return nil, err
	}
	p := &prover{g: g, runs: plannedRuns(f, g)}
	seat, products := seats(p.runs, g.ports)
	fl := newFlow(g, seat, products)
	p.ex = fl.expect()
	p.tr = newTracker(fl, p.ex)
	p.pick(o.Method)
	proof := &Proof{Runproof: Version, Method: Pinch}
	if p.full.tap {
		proof.Method = Tap
	}
	if o.Marks == nil {
		bs, ordered := p.fromOrder()
		proof.Runs = p.decide(bs)
		p.doubtOrder(proof, ordered)
		p.stamp(proof, log.Clock)
		return proof, nil
	}
	if err := p.place2(o.Marks, log.Clock); err != nil {
		return nil, err
	}
	bs, peaks := p.fromMarks()
	proof.Runs = p.decide(bs)
	p.clock(proof, bs, peaks)
	p.stamp(proof, log.Clock)
	return proof, nil
}

// stamp writes the starts of reactions as the log writes time.
func (p *prover) stamp(proof *Proof, clock flowlog.Clock) {
	for i := range proof.Runs {
		if e := proof.Runs[i].Evidence; e != nil && e.startS != 0 {
			e.Start = clock.Format(p.g.ns(e.startS))
		}
	}
}

// doubtOrder lowers every confidence by the chance that the walk did not go in
// plan order, and leaves nothing standing that it makes doubtful.
func (p *prover) doubtOrder(proof *Proof, ordered float64) {
	for i := range proof.Runs {
		r := &proof.Runs[i]
		if r.Verdict == NotWalked {
			continue
		}
		r.Confidence *= ordered
		if ordered < surePlanned && r.Verdict != Unsure {
			r.Verdict, r.Found, r.Also = Unsure, nil, nil
			r.Reason = "the reactions do not follow the order of the plan: note the times of the runs and give them with --marks"
		}
	}
}

// pick chooses the shape of a reaction.
func (p *prover) pick(m Method) {
	pinch, tap := pinchShape(p.tr), newShape(tapAdds, tapLengthS, p.tr, true)
	p.full = pinch
	if m == Tap || (m == Auto && p.total(tap) > p.total(pinch)) {
		p.full = tapShape(p.typicalTap(tap), p.tr)
		p.tr.frame = throughFrame(p.g, p.ex)
	}
}

// typicalTap is the median over ports of what the port's clearest burst adds,
// counts/s. A port's clearest burst is its own tap, not its neighbour's.
func (p *prover) typicalTap(s shape) float64 {
	var add []float64
	for col, tr := range p.tr.all(s) {
		most := 0.0
		for _, r := range p.tr.tops(col, tr, clearReaction, s) {
			x, m := p.counted(col, r.step, p.tr.step(r.endS))
			most = max(most, (x-m)/(r.endS-r.atS))
		}
		if most > 0 {
			add = append(add, most)
		}
	}
	if len(add) == 0 {
		return tapAdds[2]
	}
	return quantile(add, 0.5)
}

// total is the evidence of all clear reactions under a shape.
func (p *prover) total(s shape) float64 {
	var sum float64
	for col, tr := range p.tr.all(s) {
		for _, r := range p.tr.tops(col, tr, clearReaction, s) {
			sum += r.nats
		}
	}
	return sum
}

// place2 puts the marks on the grid's axis.
func (p *prover) place2(m *Marks, clock flowlog.Clock) error {
	if len(m.Marks) == 0 {
		return input.Fault{Place: input.Place{File: m.File}, What: "there is no mark", Remedy: "leave --marks out if the walk went in plan order"}
	}
	if m.Clock != clock {
		return input.Fault{Place: input.Place{File: m.File}, What: "the times are of another form than the recording's", Remedy: "write both in RFC 3339 or both in decimal seconds"}
	}
	for _, k := range m.Marks {
		run := slices.IndexFunc(p.runs, func(r planned) bool { return r.ID == k.Run })
		p.marks = append(p.marks, mark{run: run, atS: p.g.seconds(k.TimeNS)})
	}
	slices.SortStableFunc(p.marks, func(a, b mark) int { return cmpFloat(a.atS, b.atS) })
	return nil
}

func (p *prover) clock(proof *Proof, bs []belief, peaks []offsetPeak) {
	o := round(peaks[0].offsetS, 3)
	proof.ClockOffsetS = &o
	c := &Clock{}
	var d []float64
	for _, b := range bs {
		if col, prob := b.best(); prob > 0.9 && b.nats[col] > 8 {
			for _, at := range b.atS {
				d = append(d, float64(p.start(col, at))*p.tr.stepS-at)
			}
		}
	}
	var s float64
	for _, v := range d {
		s += v * v
	}
	if len(d) > 1 {
		c.ScatterS = round(math.Sqrt(s/float64(len(d)-1)), 3)
		c.StandardErrorS = round(c.ScatterS*1.25/math.Sqrt(float64(len(d))), 3)
	}
	if len(peaks) > 1 {
		r := round(peaks[1].offsetS, 3)
		c.RunnerUpS = &r
		c.RunnerUpOdds = 1 - odds(peaks, 0)
	}
	proof.Clock = c
}
