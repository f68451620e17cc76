package walk

import (
	"slices"

	"runproof/measure"
)

// What it takes to say a thing. A wrong "as planned" is the worst error this
// program can make, so that verdict needs both a high posterior and evidence
// of its own: belief that most hoses are right must not be what carries it.
const (
	surePlanned = 0.99  // least probability at which a run is called as planned...
	sureTapped  = 0.995 // the same by taps, which the frame carries to other sensors
	leastProof  = 4.0   // ...and least evidence, nats, that its port reacted at all
	clearEnough = 8.0   // evidence, nats, from which a reaction teaches what reactions are like
	sureOther   = 0.80  // least probability of moved and shared
	sureSilent  = 0.70  // least probability of silent, which costs a look at the sensor
	commonFall  = 4     // so many ports at once are no pinch of one run
	seenAtLeast = 0.5   // part of the time about a mark in which a port must be able to react...
	lookS       = 2.0   // ...and that time, s
)

// decide turns beliefs into verdicts, one for each run of the fit.
func (p *prover) decide(bs []belief) []Run {
	if p.full.tap {
		p.cross = p.crosstalk(bs)
	} else {
		p.whole = p.levels(bs)
	}
	p.claim(bs)
	p.joints = p.junctions(bs)
	by := map[int]*belief{}
	for i := range bs {
		by[bs[i].run] = &bs[i]
	}
	out := make([]Run, len(p.runs))
	parallel(len(out), func(i int) {
		if b := by[i]; b != nil {
			out[i] = p.judge(*b)
		} else {
			out[i] = p.leftOut(i)
		}
		out[i].Run, out[i].Planned = p.runs[i].ID, p.runs[i].port
		out[i].Confidence = measure.Round(min(max(out[i].Confidence, 0), 1), 6)
	})
	return out
}

// leftOut is the word on a run that the walk did not call on.
func (p *prover) leftOut(i int) Run {
	r := Run{Verdict: NotWalked, Confidence: 1, Reason: "No mark names it."}
	if p.runs[i].Closed {
		r.Reason = "It is closed on purpose, and the walk went past it."
	}
	return r
}

// judge gives the verdict of one walked run.
func (p *prover) judge(b belief) Run {
	if b.slot == passedBy {
		return p.leftOut(b.run)
	}
	planned := p.runs[b.run].col
	if j := p.joints[b.run]; j.prob >= sureOther {
		out := Run{Evidence: p.evidence(b, planned)}
		return p.shared(out, b, []int{planned, j.col}, j.prob)
	}
	col, prob := b.best()
	if col < 0 || b.silent > prob {
		return p.judgeSilent(b)
	}
	out := Run{Evidence: p.evidence(b, col)}
	if b.nats[col] < leastProof {
		out.Confidence, out.Reason = prob, p.faintReason(col)
		return out
	}
	sh := p.sharing(col, p.start(col, b.atS[0]))
	switch {
	case sh.common >= commonFall:
		out.Confidence, out.Reason = prob/float64(sh.common), p.commonReason(sh.common+1)
	case sh.prob > 0.5 && sh.also[0] == unseen:
		out.Confidence, out.Reason = prob*(1-sh.prob), p.halfReason(col)
	case sh.prob*sh.share*prob >= sureOther:
		return p.shared(out, b, append([]int{col}, sh.also...), sh.prob*sh.share*prob)
	default:
		return p.judgeOne(out, b, col, prob*(1-sh.prob), sh)
	}
	return out
}

// judgeOne is the verdict of a run to which just one port seems to have
// reacted, with the given probability.
func (p *prover) judgeOne(out Run, b belief, col int, prob float64, sh sharing) Run {
	verdict, sure := Moved, sureOther
	if col == p.runs[b.run].col {
		verdict, sure = AsPlanned, surePlanned
		if p.full.tap {
			sure = sureTapped
		}
		prob *= 1 - p.joints[b.run].prob
	}
	out.Confidence = prob
	if verdict == AsPlanned && b.disorder {
		out.Reason = disorderReason
		return out
	}
	if prob < sure || b.assigned != col {
		out.Reason = p.doubt(b, sh)
		return out
	}
	out.Verdict, out.Found = verdict, p.portAt(col)
	out.Reason = p.foundReason(verdict, col, out.Evidence)
	return out
}

// judgeSilent is the verdict of a run to which no port seems to have reacted.
func (p *prover) judgeSilent(b belief) Run {
	out := Run{Verdict: Silent, Confidence: b.silent, Evidence: p.evidence(b, p.runs[b.run].col)}
	switch {
	case b.disorder:
		out.Verdict, out.Reason = Unsure, disorderReason
	case b.slot == noTime:
		out.Verdict, out.Reason = NotWalked, "The runs before and after it followed one another too soon for it to have had its turn."
	case b.slot == beyond:
		out.Verdict, out.Reason = NotWalked, "Its turn lies outside the recording."
	case !p.couldBeSeen(b):
		out.Verdict, out.Confidence = Unsure, 1-b.silent
		out.Reason = "Its planned port reported no flow at that time, so that a reaction could not have been seen."
	case b.silent < sureSilent:
		out.Verdict, out.Reason = Unsure, "No port reacted clearly; its planned port may have, faintly."
	default:
		out.Reason = p.silentReason(b)
	}
	return out
}

// couldBeSeen says that the silence of the run's planned port means something:
// it was listening, or it is known to be dead or to hear another run.
func (p *prover) couldBeSeen(b belief) bool {
	c := p.runs[b.run].col
	if c < 0 || p.ex[c].dead {
		return true
	}
	if own, taken := p.own[c]; taken && own.run != b.run {
		return true
	}
	return slices.ContainsFunc(b.atS, func(at float64) bool {
		a := p.tr.step(at)
		return p.tr.covered(c, a, a+p.tr.step(lookS)) >= seenAtLeast
	})
}

// shared is the verdict that all of cols reacted to the run; the planned port,
// if among them, comes first.
func (p *prover) shared(out Run, b belief, cols []int, prob float64) Run {
	out.Verdict, out.Confidence, out.Reason = Shared, prob, p.sharedReason(cols)
	if i := slices.Index(cols, p.runs[b.run].col); i > 0 {
		cols[0], cols[i] = cols[i], cols[0]
	}
	out.Found = p.portAt(cols[0])
	for _, c := range cols[1:] {
		out.Also = append(out.Also, p.g.ports[c])
	}
	return out
}
