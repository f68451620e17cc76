package walk

import (
	"slices"

	"runproof/fit"
	"runproof/flowlog"
	"runproof/input"
	"runproof/measure"
)

// Options are what a person may say of a walk. The zero Options: no marks, and
// the recording shows the method.
type Options struct {
	Marks  *Marks // nil: the walk went in plan order
	Method Method // Auto: see what the recording shows
}

// Prove works out from the recording of a walk which port listens to which
// run of the fit. The proof's Made is left to the caller.
//
// It fails with an input.Fault where the recording is too short, too long or
// too coarse to show a walk or has no port, and where the marks cannot belong
// to it. All that is merely odd is told in the proof.
func Prove(f *fit.Fit, log *flowlog.Log, o Options) (*Proof, error) {
	g, err := newGrid(log)
	if err != nil {
		return nil, err
	}
	p := newProver(f, g)
	if len(p.runs) == 0 {
		return nil, input.Fault{What: "the fit senses no run", Remedy: "plan the sensing first"}
	}
	p.strays = straysUnmarked
	if o.Marks != nil {
		p.strays = straysMarked
		if err := p.takeMarks(o.Marks, log.Clock); err != nil {
			return nil, err
		}
	}
	seat, products := seats(p.runs, g.ports)
	fl := newFlow(g, seat, products)
	p.ex = fl.expect()
	p.tr = newTracker(fl, p.ex)
	p.pick(o.Method)
	proof := &Proof{Runproof: Version, Method: Pinch, Moves: []Move{}}
	if p.full.tap {
		proof.Method = Tap
	}
	p.work(proof)
	if p.tr.still && !slices.ContainsFunc(proof.Runs, func(r Run) bool { return r.Found != nil }) {
		proof.Notes = append(proof.Notes, "The ports counted next to nothing: no product flowed, and no tap is seen.")
	}
	p.stamp(proof, log.Clock)
	p.strangers(proof)
	proof.WorkState = workColumn(log, p.tr.still)
	proof.restore()
	return proof, nil
}

func newProver(f *fit.Fit, g *grid) *prover {
	p := &prover{g: g, runs: plannedRuns(f, g), nodePorts: map[string]int{}}
	for _, r := range g.ports {
		p.nodePorts[r.Node]++
	}
	return p
}

// work fills in the runs and the clock.
func (p *prover) work(proof *Proof) {
	if len(p.marks) > 0 {
		bs, peaks := p.fromMarks()
		proof.Runs = p.decide(bs)
		p.clock(proof, bs, peaks)
		return
	}
	bs, ordered := p.fromOrder()
	proof.Runs = p.decide(bs)
	if ordered < surePlanned {
		proof.Notes = append(proof.Notes, "The reactions do not follow the order of the plan. Walk again in plan order, or note the time of each run and give the notes with --marks.")
	}
	doubtOrder(proof.Runs, ordered)
}

// doubtOrder lowers every confidence by the chance that the walk did not go in
// plan order, and leaves nothing standing that it makes doubtful.
func doubtOrder(runs []Run, ordered float64) {
	for i := range runs {
		r := &runs[i]
		if r.Verdict == NotWalked && r.Evidence == nil {
			continue
		}
		r.Confidence = measure.Round(r.Confidence*ordered, 6)
		if ordered < surePlanned {
			r.Verdict, r.Found, r.Also = Unsure, nil, nil
			r.Reason = "The reactions do not follow the order of the plan."
		}
	}
}

// stamp writes the starts of reactions as the log writes time.
func (p *prover) stamp(proof *Proof, clock flowlog.Clock) {
	for i := range proof.Runs {
		if e := proof.Runs[i].Evidence; e != nil && e.startS != 0 {
			e.Start = clock.Format(p.g.ns(e.startS))
		}
	}
}

// strangers tells of ports that only the fit or only the recording has.
func (p *prover) strangers(proof *Proof) {
	known := map[fit.PortRef]bool{}
	for _, r := range p.runs {
		known[r.port] = true
		if r.col < 0 {
			proof.NotInLog = append(proof.NotInLog, r.port)
		}
	}
	for _, r := range p.g.ports {
		if !known[r] {
			proof.NotInFit = append(proof.NotInFit, r)
		}
	}
}

// pick chooses the method, and with it the shape of a reaction.
func (p *prover) pick(m Method) {
	pinch, tap := pinchShape(p.tr), newShape(tapAdds, tapLengthS, p.tr, true)
	p.full = pinch
	if m == Tap || (m == Auto && (p.tr.still || p.total(tap) > p.total(pinch))) {
		p.full = tapShape(p.typicalTap(tap), p.tr)
		p.tr.frame = throughFrame(p.g, p.ex)
	}
}

// typicalTap is the median over ports of what the port's clearest burst adds,
// counts/s. A port's clearest burst is its own tap, not its neighbour's.
func (p *prover) typicalTap(s shape) float64 {
	p.burst = make([]float64, len(p.ex))
	parallel(len(p.ex), func(col int) {
		for _, r := range p.tr.tops(col, p.tr.track(col, s), clearReaction, s) {
			p.burst[col] = max(p.burst[col], p.excess(col, r.step, p.tr.step(r.endS))/(r.endS-r.atS))
		}
	})
	bursts := slices.DeleteFunc(slices.Clone(p.burst), func(v float64) bool { return v <= 0 })
	if len(bursts) == 0 {
		return tapAdds[2]
	}
	return quantile(bursts, 0.5)
}

// fewPorts are enough to tell a pinch from a tap.
const fewPorts = 32

// total is the evidence of the clear reactions of some ports under a shape.
func (p *prover) total(s shape) float64 {
	every := (len(p.ex) + fewPorts - 1) / fewPorts
	sums := make([]float64, (len(p.ex)+every-1)/every)
	parallel(len(sums), func(i int) {
		for _, r := range p.tr.tops(i*every, p.tr.track(i*every, s), clearReaction, s) {
			sums[i] += r.nats
		}
	})
	var sum float64
	for _, v := range sums {
		sum += v
	}
	return sum
}
