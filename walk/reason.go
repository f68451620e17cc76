package walk

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"runproof/fit"
	"runproof/measure"
)

// portAt is a port of the grid as a document holds it.
func (p *prover) portAt(col int) *fit.PortRef {
	r := p.g.ports[col]
	return &r
}

// say is the port as a person says it: "4103 port 7".
func say(r fit.PortRef) string { return fmt.Sprintf("%s port %d", r.Node, r.Port) }

func (p *prover) say(col int) string { return say(p.g.ports[col]) }

// evidence is what the port showed when the run was walked.
func (p *prover) evidence(b belief, col int) *Evidence {
	e := &Evidence{}
	if c := p.runs[b.run].col; c >= 0 {
		e.Planned = measure.Round(b.nats[c], 2)
	}
	if col < 0 {
		return e
	}
	e.Nats = measure.Round(b.nats[col], 2)
	step := p.start(col, b.atS[0])
	_, n := p.tr.peak(col, step, p.full)
	e.startS, e.LengthS = float64(step)*p.tr.stepS, measure.Round(float64(n)*p.tr.stepS, 2)
	if p.full.tap {
		v := measure.Round(p.excess(col, step, step+n)/(float64(n)*p.tr.stepS), 1)
		e.AddedHz = &v
	} else {
		v := measure.Round(p.core(col, step, step+n).left(), 3)
		e.Left = &v
	}
	for _, c := range slices.Sorted(maps.Keys(b.ports)) {
		if w := b.ports[c]; c != col && w > e.RivalOdd {
			e.Rival, e.RivalOdd = p.portAt(c), w
		}
	}
	e.RivalOdd = measure.Round(e.RivalOdd, 6)
	return e
}

// did is what the reaction looked like, in words.
func did(e *Evidence) string {
	if e.AddedHz != nil {
		return fmt.Sprintf("counted %.0f particles/s more than usual for %.1f s", *e.AddedHz, e.LengthS)
	}
	return fmt.Sprintf("fell to %.0f %% of its usual count for %.1f s", 100**e.Left, e.LengthS)
}

func (p *prover) foundReason(v Verdict, col int, e *Evidence) string {
	if v == AsPlanned {
		return fmt.Sprintf("Its planned port %s, and no other did.", did(e))
	}
	return fmt.Sprintf("%s %s; its planned port did not.", p.say(col), did(e))
}

func (p *prover) sharedReason(cols []int) string {
	names := make([]string, len(cols))
	for i, c := range cols {
		names[i] = p.say(c)
	}
	last := len(names) - 1
	return fmt.Sprintf("%s and %s reacted together: two hoses or tubes are joined, or one sensor feeds several ports.", strings.Join(names[:last], ", "), names[last])
}

func (p *prover) faintReason(col int) string {
	return fmt.Sprintf("The reaction of %s is too faint to be told from chance.", p.say(col))
}

func (p *prover) commonReason(n int) string {
	return fmt.Sprintf("%d ports reacted at once, which is not the doing of one run.", n)
}

func (p *prover) halfReason(col int) string {
	return fmt.Sprintf("%s lost only part of its count: another run may be joined to this one, or the hose was not shut.", p.say(col))
}

func (p *prover) silentReason(b belief) string {
	c := p.runs[b.run].col
	own, taken := p.own[c]
	switch {
	case c < 0:
		return "No port reacted, and the recording lacks its planned port."
	case p.ex[c].missing:
		return "No port reacted, and its planned port never reported: dead port or node, or loose lead."
	case p.ex[c].dead:
		return "No port reacted, and its planned port counts next to nothing all along: dead sensor, loose tube or no flow."
	case taken && own.run != b.run:
		return "No port reacted, and its planned port answers to another run."
	case p.ex[c].odd:
		return "No port reacted, and its planned port counts steadily whatever flows: a sensor that hums."
	}
	return "No port reacted: dead sensor, loose tube or no flow."
}

const disorderReason = "A port reacted out of its turn around this run, so the order of the walk is in doubt here."

// doubt says what stands against the likeliest verdict of a run.
func (p *prover) doubt(b belief, sh sharing) string {
	const worthSaying = 0.005
	j := p.joints[b.run]
	switch {
	case sh.prob > worthSaying && sh.also[0] == unseen:
		return "It lost little of its count: another run may be joined to it, or the hose was not shut."
	case sh.prob > worthSaying:
		return fmt.Sprintf("%s may have reacted with it.", p.say(sh.also[0]))
	case j.prob > worthSaying:
		return fmt.Sprintf("The run of %s may be joined to it.", p.say(j.col))
	case b.silent > worthSaying:
		return "The reaction may be chance."
	}
	return "Another port may have reacted instead, or the clock offset is in doubt."
}
