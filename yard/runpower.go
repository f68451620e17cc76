package yard

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"runproof/drawing"
	"runproof/fit"
	"runproof/measure"
	"runproof/parts"
)

// runPowerOff is what is measured before there is power.
func (p *page) runPowerOff() {
	p.part("8  With the power off: measure the pair", 60)
	p.step("Power point disconnected, fuse out, every other connector closed.")
	m := p.f.Bus.Meter
	switch {
	case m.Ohm > 0:
		p.ohms(m)
	case m.Words != "":
		p.notice("The resistance test does not apply to this bus", m.Words, drawing.Ring, drawing.Soft)
	default:
		p.missing("the resistance to expect across the pair")
	}
	lead := p.supplyLead()
	p.say(fmt.Sprintf("No short: measure at the power point's end of %s, behind the empty fuse holder, that is on the drill's side of it.", lead))
	p.measured([]reading{{"supply to return", "well above 5\u00a0Ω"}, {"supply to the frame of the drill", "well above 5\u00a0Ω"}})
}

// ohms is the resistance of the pair. No connector of a bus that is done is open:
// the sheet says which to take off, and to put it back.
func (p *page) ohms(m fit.Ohmmeter) {
	p.say("Which two wires are the pair, the cable's own sheet says. Take off what the line says, measure across the pair in the connector that is open then, put it back before the next line.")
	t := tickTable{again: "Pair", columns: []column{
		{title: "take off", wrap: true, bold: true},
		{title: "measure across the pair", wrap: true},
		{title: "should be", right: true, bold: true},
		{title: "measured", kind: blank, mm: 24},
		{title: "back on and locked", kind: tick, mm: 20},
	}}
	if drop, ok := p.gatewayDrop(); ok {
		t.rows = append(t.rows, []string{fmt.Sprintf("%s from the gateway", drop.ID), fmt.Sprintf("in the end of %s", drop.ID), ohm(m.Ohm)})
	}
	for i, id := range p.busEnds() {
		if v := p.withoutTerminator(id, []float64{m.EndA, m.EndB}[i]); v > 0 {
			t.rows = append(t.rows, []string{"the terminator at " + p.place(id), "in the connector that it came off", ohm(v)})
		}
	}
	if len(t.rows) == 0 {
		p.say(m.Words)
		p.measured([]reading{{"across the pair, at the gateway", ohm(m.Ohm)}})
	} else {
		p.Need(min(p.PageRoom(), p.tableMM(t)))
		p.table(t)
	}
	if len(m.Bands) == 0 {
		return
	}
	bands := bandTable(m.Bands)
	p.Need(min(p.PageRoom(), p.tableMM(bands)+8))
	p.say("What a reading means while both terminators are on:")
	p.table(bands)
}

// gatewayDrop is the leg that leads aside to the gateway, where it hangs on one.
func (j *job) gatewayDrop() (fit.Leg, bool) {
	i := slices.IndexFunc(j.f.Harness.Legs, func(l fit.Leg) bool { return l.Drop && j.kindOf(l.To) == fit.GatewayPlace })
	if i < 0 {
		return fit.Leg{}, false
	}
	return j.f.Harness.Legs[i], true
}

// withoutTerminator is what a meter shows at an end of the backbone from which
// the terminator is off, ohm: both together read as atEnd, two resistances side by
// side, so the rest is 1/(1/atEnd - 1/terminator). 0 = not known.
func (j *job) withoutTerminator(id string, atEnd float64) float64 {
	for _, t := range j.f.Bus.Terminators {
		if t.At == id && t.Ohm > atEnd && atEnd > 0 {
			return 1 / (1/atEnd - 1/t.Ohm)
		}
	}
	return 0
}

// bandTable says what readings mean; those that mean nothing certain stand in one
// line at the end.
func bandTable(bands []fit.OhmBand) tickTable {
	t := tickTable{again: "What a reading means", columns: []column{{title: "reading", bold: true}, {title: "what it means", wrap: true}}}
	doubt := ""
	for _, b := range bands {
		if b.Means == fit.OhmDoubtful {
			doubt = b.Words
			continue
		}
		t.rows = append(t.rows, []string{bandWords(b), b.Words})
	}
	if doubt != "" {
		t.rows = append(t.rows, []string{"anything else", doubt})
	}
	return t
}

func ohm(v float64) string { return fmt.Sprintf("%.1f\u00a0Ω", v) }

func bandWords(b fit.OhmBand) string {
	switch {
	case b.ToOhm == 0:
		return fmt.Sprintf("%.0f Ω and above", b.FromOhm)
	case b.FromOhm == 0:
		return fmt.Sprintf("under %.0f Ω", b.ToOhm)
	}
	return fmt.Sprintf("%.0f to %.0f Ω", b.FromOhm, b.ToOhm)
}

// runPowerOn is power, volts, and the first sign of life of every node.
func (p *page) runPowerOn() {
	p.part("9  Power up and measure volts", 60)
	lead := p.supplyLead()
	p.step("Every connector is closed and locked; nobody has a hand on the wiring or within " + p.keepAway() + " of the antenna.")
	p.step(fmt.Sprintf("%s on the power point, “+” to plus and “-” to minus; the fuse is still out.", sentence(lead)))
	p.step("Battery minus on, as the last wire of all. Engine off; key on, if the power point is dead without it.")
	p.step("Meter at the empty fuse holder, against the “-” wire: plus stands on the power point's side, nothing on the drill's side.", fmt.Sprintf("If not: battery minus off again, and change the two wires over at the end of %s that was made off.", lead))
	if pr := p.f.Protection; pr.RatingA > 0 {
		p.step(fmt.Sprintf("Fuse in: %g A, at the power point's end. No larger one, whatever happens.", pr.RatingA),
			fmt.Sprintf("Nodes and gateway together draw at most %s.", p.units.fixed(measure.Current, pr.ContinuousA, 2)))
	} else {
		p.missing("the fuse")
	}
	p.warn(cautionLive)
	p.voltsOn()
	p.nodesOn()
}

// keepAway is how far people stay from the antenna.
func (p *page) keepAway() string {
	return p.units.about(max(p.f.Radio.People.RequiredM, antennaToGatewayM))
}

// dropSlackV is how much more than the warm wire's drop a meter may show before a
// contact is looked for: common practice, no source.
const dropSlackV = 0.1

// voltsOn is the voltage at each node.
func (p *page) voltsOn() {
	c, ok := p.engineOff()
	if !ok {
		p.missing("the voltages to expect at the boxes")
		return
	}
	p.Need(min(p.PageRoom(), 30+p.tableMM(p.voltTable(c)))) // the table stays with what it is about
	p.say("Read each voltage where the monitor shows it. Where it does not, measure between supply and return from behind a connector, only as the cable's own sheet allows." + p.farEnd(c))
	p.say(fmt.Sprintf("The figures are for %s at the power point, warm wire, and all at work: less drop is good. Over %.1f V more drop than printed is a bad contact or a thin wire before that place.", p.units.volts(c.SupplyV), dropSlackV))
	p.table(p.voltTable(c))
	if len(c.Off) > 0 {
		p.notice("The plan expects boxes without enough voltage", listing(c.Off, p.place)+": more copper or a nearer power point is needed before these can work.", drawing.Cross, drawing.Vermillion)
	}
}

// farEnd says where the pair's far terminator can come off for the meter: the
// one place of a harness that can be opened without stopping it.
func (p *page) farEnd(c fit.PowerCase) string {
	far, least := "", math.Inf(1)
	for _, id := range p.busEnds() {
		if v, ok := c.Volts[id]; ok && v < least && p.kindOf(id) == fit.NodePlace {
			far, least = id, v
		}
	}
	if far == "" {
		return ""
	}
	return fmt.Sprintf(" Where neither goes, measure at %s alone: fuse out, its terminator off, fuse in, measure in that connector; fuse out, terminator on, fuse in.", p.place(far))
}

// nodesOn is the list of nodes in the monitor.
func (p *page) nodesOn() {
	beside := "not as planned"
	if p.anyStandIn() {
		beside = "own serial; not as planned"
		p.step("Open the list of nodes on the monitor, as its manual says: every serial that was written on the boxes' labels is there, and no other. Write each beside its node below.")
	} else {
		p.step("Open the list of nodes on the monitor, as its manual says: every serial of this sheet is there, and no other.")
	}
	p.step("Type in names, heads and runs by port from part 4." + p.closedInMonitor())
	t := tickTable{again: "Nodes", columns: []column{{title: "node", bold: true}, {title: "name"}, {title: "sensors"}, {title: "found", kind: tick, mm: 16}, {title: "all sensors alive", kind: tick, mm: 26}, {title: beside, kind: blank, mm: 30}}}
	for _, n := range p.nodes {
		sensors := fmt.Sprint(len(n.Links))
		if closed := p.closedOn(n); closed > 0 {
			sensors += fmt.Sprintf(", %d closed", closed)
		}
		t.rows = append(t.rows, []string{n.Serial, n.Name, sensors})
	}
	p.Need(min(p.PageRoom(), p.tableMM(t)+8))
	p.Styled("Nodes on the monitor", p.Text.Bold())
	p.table(t)
}

// closedInMonitor says which runs may not alarm.
func (p *page) closedInMonitor() string {
	if ids := p.closedRuns(); len(ids) > 0 {
		return " Switch off the alarms of the closed runs: " + listing(ids, text) + "."
	}
	return ""
}

// closedOn is how many runs of a node are closed on purpose.
func (j *job) closedOn(n node) int {
	count := 0
	for _, l := range n.Links {
		if j.runs[l.Run].Closed {
			count++
		}
	}
	return count
}

// engineOff is the case of the supply that is measured in the yard.
func (j *job) engineOff() (fit.PowerCase, bool) {
	i := slices.IndexFunc(j.f.Power, func(c fit.PowerCase) bool { return strings.Contains(c.Case, "engine off") })
	if i < 0 {
		return fit.PowerCase{}, false
	}
	return j.f.Power[i], true
}

// voltTable lists what to measure at each box that draws current, in the order in
// which a person reaches them.
func (p *page) voltTable(c fit.PowerCase) tickTable {
	t := tickTable{again: "Volts", columns: []column{
		{kind: tick},
		{title: "at", bold: true},
		{title: "expected", right: true, bold: true},
		{title: "drop at most", right: true, mm: 20},
		{title: "least at which it works", right: true, mm: 27},
		{title: "measured", kind: blank, mm: 30},
	}}
	t.rows = append(t.rows, []string{"power point", p.units.volts(c.SupplyV), "–", "–"})
	for _, place := range p.f.Harness.Places {
		if place.Kind != fit.NodePlace && place.Kind != fit.GatewayPlace {
			continue
		}
		row := []string{p.place(place.ID), "not known", "–", p.least(place)}
		if v, ok := c.Volts[place.ID]; ok && !math.IsNaN(v) {
			row[1], row[2] = p.units.volts(v), p.units.volts(c.SupplyV-v)
		}
		t.rows = append(t.rows, row)
	}
	return t
}

// least is the least voltage at which the box at a place works.
func (p *page) least(place fit.Place) string {
	var part parts.Part
	if n, ok := p.node(place.ID); ok {
		part, _ = p.job.part(n.Part)
	} else {
		part, _ = p.gateway()
	}
	if part.VoltsMin <= 0 {
		return "not said"
	}
	return p.units.volts(part.VoltsMin)
}

// gateway is the gateway's part.
func (j *job) gateway() (parts.Part, bool) {
	if p, ok := j.part(j.f.Radio.Gateway); ok {
		return p, true
	}
	return j.first(parts.Gateway)
}

func (p *page) runSwitchSet() {
	p.part("10  Set up the work-state switch", 50)
	p.warn(cautionMoving)
	p.step("Tools and people are away from the drill. Locks and stands are off and stowed, chocks away. One person in the seat, who is trained for it; brake on; engine on.")
	w := p.f.WorkSwitch
	if w.On == "" {
		p.missing("the set-up of the work-state switch")
		return
	}
	if w.Kind == fit.TiltSwitch {
		p.say("Read the angles on the monitor, or with an inclinometer on that part: plus means its free end is above its pivot. A monitor that shows the other sign has the switch the other way round: then all signs below change. " +
			"In the yard the openers stand on the ground instead of in it: lowered reads between the other two. It is no fault, as long as it is past the setting for “in the ground”.")
		p.measured([]reading{{"angle with the drill raised", p.degrees(w.UpDeg)}, {"angle lowered, here in the yard", p.loweredHere(w)}, {"angle in the ground, at the first round in the field", p.degrees(w.WorkDeg)}})
		p.thresholds(w)
	}
	p.step(wayRound(w.Work) + " Noted in the monitor as: ____________________")
	p.step("Raise and lower twice: the monitor follows each time, and does not flutter in between.")
	p.step("Raised with nothing flowing: no alarm. Lowered with nothing flowing: every run that is not closed alarms, once the alarms are set.")
}

// loweredHere is what lowering on hard ground must reach.
func (p *page) loweredHere(w fit.WorkSwitch) string {
	switch {
	case w.LowerAt == nil:
		return "to be noted"
	case w.Work == fit.WorkAbove:
		return "more than " + p.degrees(w.LowerAt)
	}
	return "less than " + p.degrees(w.LowerAt)
}

// degrees is an angle, or that it is to be noted.
func (p *page) degrees(v *float64) string {
	if v == nil {
		return "to be noted"
	}
	return fmt.Sprintf("%+.1f°", *v)
}

// thresholds are those of the plan, or how to find them from what is measured.
func (p *page) thresholds(w fit.WorkSwitch) {
	set := tickTable{again: "Settings", columns: []column{{kind: tick}, {title: "set", wrap: true}, {title: "to", wrap: true, bold: true, mm: 34}, {title: "is set to", kind: blank, mm: 36}}}
	raise, lower := "half-way, and 15 % of the difference on towards raised", "half-way, and 15 % of the difference on towards the ground"
	if w.RaiseAt != nil && w.LowerAt != nil {
		raise, lower = p.degrees(w.RaiseAt), p.degrees(w.LowerAt)
	} else if len(w.Options) > 0 {
		p.step(fmt.Sprintf("The two angles lie more than %.1f° apart. If not, the switch goes on another part.", 2*w.Options[0].NeedDeg))
	}
	set.rows = [][]string{{"raised past", raise}, {"in the ground past", lower}, {"hold before the state changes", fmt.Sprintf("%g s", w.HoldS)}}
	p.Need(min(p.PageRoom(), p.tableMM(set)))
	p.table(set)
}

// wayRound says which way round the switch works.
func wayRound(w fit.WorkWay) string {
	switch w {
	case fit.WorkBelow:
		return "Way round: the smaller angle is “in the ground”."
	case fit.WorkAbove:
		return "Way round: the larger angle is “in the ground”."
	case fit.WorkClosed:
		return "Way round: contact closed is “in the ground”."
	case fit.WorkOpen:
		return "Way round: contact open is “in the ground”."
	case fit.WorkUnknown:
	}
	return "Way round: see what the switch says in the ground, and set that as “in the ground”."
}
