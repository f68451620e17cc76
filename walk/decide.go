package walk

import (
	"fmt"
	"math"
	"slices"
)

const (
	surePlanned = 0.99 // least probability at which a run is called as planned...
	leastProof  = 4.0  // ...and least evidence, nats, that its port reacted at all
	clearEnough = 8.0  // evidence, nats, from which a reaction teaches what reactions are like
	sureOther   = 0.80 // least probability of any other verdict
	togetherS   = 0.6  // reactions of one pinch start within this time
	priorShared = 0.006
	commonFall  = 4   // so many ports at once are no pinch of one run
	seenAtLeast = 0.5 // part of the time about a mark in which a port must be able to react
	lookS       = 2.0 // that time
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
		r := p.runs[i]
		if b := by[i]; b != nil {
			out[i] = p.judge(*b)
		} else {
			out[i] = Run{Verdict: NotWalked, Confidence: 1, Reason: "no mark names it"}
		}
		out[i].Run, out[i].Planned = r.ID, r.port
	})
	return out
}

// judge gives the verdict of one walked run.
func (p *prover) judge(b belief) Run {
	r := p.runs[b.run]
	col, prob := b.best()
	planned := 0.0
	if r.col >= 0 {
		planned = b.ports[r.col]
	}
	out := Run{Evidence: p.evidence(b, col)}
	if j := p.joints[b.run]; j.prob >= sureOther {
		out.Evidence = p.evidence(b, r.col)
		p.shared(&out, b, r.col, sharing{prob: j.prob, also: []int{j.col}, share: 1})
		out.Confidence = j.prob
		return out
	}
	if b.silent > max(planned, prob) {
		out.Evidence = p.evidence(b, r.col)
		return p.judgeSilent(out, b)
	}
	out.Confidence = prob
	var sh sharing
	if b.nats[col] >= leastProof {
		sh = p.sharing(col, p.start(col, b.atS[0]))
	}
	switch {
	case sh.common >= commonFall:
		out.Verdict, out.Confidence = Unsure, prob/float64(sh.common)
		out.Reason = fmt.Sprintf("%d ports reacted at once: not the pinch of one run", sh.common+1)
	case sh.prob > 0.5 && sh.also[0] == unseen:
		out.Verdict, out.Confidence = Unsure, prob*(1-sh.prob)
		out.Reason = fmt.Sprintf("%v lost about half of its flow only: another run may be joined to it", p.g.ports[col])
	case sh.prob > 0.5 && sh.prob*sh.share*prob >= sureOther:
		p.shared(&out, b, col, sh)
	case b.nats[col] < leastProof:
		out.Verdict, out.Reason = Unsure, fmt.Sprintf("the reaction of %v is too faint", p.g.ports[col])
		out.Confidence = prob * (1 - sh.prob)
	case col == r.col:
		out.Confidence = prob * (1 - sh.prob) * (1 - p.joints[b.run].prob)
		out.Verdict, out.Reason = AsPlanned, "its planned port reacted, and no other"
		if out.Confidence < surePlanned {
			out.Verdict, out.Reason = Unsure, p.doubt(b, sh)
		}
	default:
		out.Confidence = prob * (1 - sh.prob)
		out.Verdict, out.Reason = Moved, fmt.Sprintf("%v reacted instead of its planned port", p.g.ports[col])
		if out.Confidence < sureOther {
			out.Verdict, out.Reason = Unsure, p.doubt(b, sh)
		}
	}
	if out.Verdict == Moved || out.Verdict == AsPlanned {
		out.Found = &p.g.ports[col]
	}
	return out
}

func (p *prover) doubt(b belief, sh sharing) string {
	if sh.prob > 0.005 && sh.also[0] == unseen {
		return "it lost little of its flow: another run may be joined to it"
	}
	if sh.prob > 0.005 {
		return fmt.Sprintf("%v may have reacted with it", p.g.ports[sh.also[0]])
	}
	if p.joints[b.run].prob > 0.005 {
		return fmt.Sprintf("%v may be joined to it", p.g.ports[p.joints[b.run].col])
	}
	if b.silent > 0.005 {
		return "the reaction may be chance"
	}
	return "another port may have reacted instead"
}

func (p *prover) judgeSilent(out Run, b belief) Run {
	r := p.runs[b.run]
	out.Confidence, out.Verdict, out.Reason = b.silent, Silent, "no port reacted"
	dead := r.col < 0 || p.ex[r.col].dead
	if dead {
		out.Reason = "no port reacted, and its planned port counts next to nothing all along"
	}
	if r.col < 0 {
		out.Reason = "no port reacted, and the recording lacks its planned port"
	}
	seen := dead
	for _, at := range b.atS {
		a := p.tr.step(at)
		seen = seen || p.tr.covered(r.col, a, a+p.tr.step(lookS)) >= seenAtLeast
	}
	if !seen {
		out.Verdict, out.Reason = Unsure, "its planned port reported no flow at that time"
		out.Confidence = 1 - b.silent
	} else if out.Confidence < sureOther {
		out.Verdict, out.Reason = Unsure, "its planned port may have reacted faintly"
	}
	return out
}

func (p *prover) shared(out *Run, b belief, col int, sh sharing) {
	out.Verdict, out.Confidence = Shared, sh.prob*sh.share*b.ports[col]
	all := []int{col}
	for _, c := range sh.also {
		if c != unseen {
			all = append(all, c)
		}
	}
	if i := slices.Index(all, p.runs[b.run].col); i > 0 {
		all[0], all[i] = all[i], all[0]
	}
	out.Found = &p.g.ports[all[0]]
	for _, c := range all[1:] {
		out.Also = append(out.Also, p.g.ports[c])
	}
	out.Reason = fmt.Sprintf("%d ports reacted together", len(all))
}

func (p *prover) evidence(b belief, col int) *Evidence {
	e := &Evidence{}
	if c := p.runs[b.run].col; c >= 0 {
		e.Planned = round(b.nats[c], 2)
	}
	if col < 0 {
		return e
	}
	e.Nats = round(b.nats[col], 2)
	step := p.start(col, b.atS[0])
	v, l := p.tr.peak(col, step, p.full)
	e.startS, e.LengthS = float64(step)*p.tr.stepS, round(float64(l)*p.tr.stepS, 3)
	v = round(v, 3)
	if p.full.tap {
		e.AddedHz = &v
	} else {
		e.Left = &v
	}
	for c, w := range b.ports {
		if c != col && (w > e.RivalOdd) {
			e.Rival, e.RivalOdd = &p.g.ports[c], w
		}
	}
	return e
}

func round(v float64, digits int) float64 {
	f := math.Pow(10, float64(digits))
	return math.Round(v*f) / f
}
