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
	p.step("Power point disconnected, fuse out, every leg plugged.")
	m := p.f.Bus.Meter
	switch {
	case m.Ohm > 0:
		p.ohms(m)
	case m.Words != "":
		p.notice("The resistance test does not apply to this bus", m.Words, drawing.Ring, drawing.Soft)
	default:
		p.missing("the resistance to expect across the pair")
	}
	p.measured([]reading{{"supply to return, at the supply lead's end", "no short: well above 5\u00a0Ω"}, {"supply to frame, at the supply lead's end", "no short: well above 5\u00a0Ω"}})
}

func (p *page) ohms(m fit.Ohmmeter) {
	if m.Words != "" {
		p.say(m.Words)
	}
	rs := []reading{{"across the pair, at the gateway", ohm(m.Ohm)}}
	if ends := p.busEnds(); len(ends) == 2 && m.EndA > 0 && m.EndB > 0 {
		rs = append(rs, reading{"across the pair, at " + p.place(ends[0]), ohm(m.EndA)}, reading{"across the pair, at " + p.place(ends[1]), ohm(m.EndB)})
	}
	p.measured(rs)
	if len(m.Bands) == 0 {
		return
	}
	p.table(bandTable(m.Bands))
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

// runPowerOn is power, volts, and the first sign of life of every box.
func (p *page) runPowerOn() {
	p.part("9  Power up and measure volts", 60)
	p.step("Hands off the wiring, every connector closed. Supply lead on the power point, plus and minus as marked; the fuse is still out.")
	p.step("Battery minus on, as the last wire of all. Engine off.")
	p.step("Meter at the empty fuse holder: plus comes from the power point's side. If not, battery minus off again and turn the lead round.")
	if pr := p.f.Protection; pr.RatingA > 0 {
		p.step(fmt.Sprintf("Fuse in: %g A, at the power point's end. No larger one, whatever happens.", pr.RatingA),
			fmt.Sprintf("All boxes together draw at most %s.", p.units.fixed(measure.Current, pr.ContinuousA, 2)))
	} else {
		p.missing("the fuse")
	}
	c, ok := p.engineOff()
	if !ok {
		p.missing("the voltages to expect at the boxes")
		return
	}
	p.Need(60) // the table stays with what it is about
	p.say(fmt.Sprintf("Measure between supply and return at each box, with all boxes on. The expected values are for %s at the power point. Where the power point has less or more, so do the boxes. A box well under its neighbours has a bad contact before it.", p.units.volts(c.SupplyV)))
	p.volts(c)
	if len(c.Off) > 0 {
		p.notice("The plan expects boxes without enough voltage", listing(c.Off, p.place)+": more copper or a nearer power point is needed before these can work.", drawing.Cross, drawing.Vermillion)
	}
	p.step("Look at the list of nodes on the monitor: every serial of this sheet is there, and no other.", "Type in names, heads and runs by port from part 4; the key-in sheet of the dossier has the same in the order of typing.")
	t := tickTable{again: "Nodes", columns: []column{{title: "node", bold: true}, {title: "name"}, {title: "sensors", right: true}, {title: "found", kind: tick, mm: 16}, {title: "all sensors alive", kind: tick, mm: 26}, {title: "not as planned", kind: blank, mm: 30}}}
	for _, n := range p.nodes {
		t.rows = append(t.rows, []string{n.Serial, n.Name, fmt.Sprint(len(n.Links))})
	}
	p.table(t)
}

// engineOff is the case of the supply that is measured in the yard.
func (j *job) engineOff() (fit.PowerCase, bool) {
	i := slices.IndexFunc(j.f.Power, func(c fit.PowerCase) bool { return strings.Contains(c.Case, "engine off") })
	if i < 0 {
		return fit.PowerCase{}, false
	}
	return j.f.Power[i], true
}

// volts lists what to measure at each box that draws current, in the order in
// which a person reaches them.
func (p *page) volts(c fit.PowerCase) {
	t := tickTable{again: "Volts", columns: []column{
		{kind: tick},
		{title: "at", bold: true},
		{title: "expected", right: true, bold: true},
		{title: "drop from the power point", right: true, mm: 27},
		{title: "least at which it works", right: true, mm: 27},
		{title: "measured", kind: blank, mm: 30},
	}}
	t.rows = append(t.rows, []string{"power point", p.units.volts(c.SupplyV), "", ""})
	for _, place := range p.f.Harness.Places {
		if place.Kind != fit.NodePlace && place.Kind != fit.GatewayPlace {
			continue
		}
		row := []string{p.place(place.ID), "not known", "", p.least(place)}
		if v, ok := c.Volts[place.ID]; ok && !math.IsNaN(v) {
			row[1], row[2] = p.units.volts(v), p.units.volts(c.SupplyV-v)
		}
		t.rows = append(t.rows, row)
	}
	p.table(t)
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
	w := p.f.WorkSwitch
	if w.On == "" {
		p.missing("the set-up of the work-state switch")
		return
	}
	p.warn(cautionMoving)
	deg := func(v *float64) string {
		if v == nil {
			return "to be noted"
		}
		return fmt.Sprintf("%+.1f°", *v)
	}
	if w.Kind == fit.TiltSwitch {
		p.measured([]reading{{"angle with the drill in the ground", deg(w.WorkDeg)}, {"angle with the drill raised", deg(w.UpDeg)}})
		p.thresholds(w, deg)
	}
	p.step(wayRound(w.Work) + " Noted in the monitor as: ____________________")
	p.step("Raise and lower twice: the monitor follows each time, and does not flutter in between.")
	p.step("Raised with nothing flowing: no alarm. Lowered with nothing flowing: every open run alarms.")
}

// thresholds are those of the plan, or how to find them from what is measured.
func (p *page) thresholds(w fit.WorkSwitch, deg func(*float64) string) {
	hold := reading{"hold before the state changes", fmt.Sprintf("%g s", w.HoldS)}
	if w.RaiseAt != nil && w.LowerAt != nil {
		p.measured([]reading{{"raised past", deg(w.RaiseAt)}, {"in the ground past", deg(w.LowerAt)}, hold})
		return
	}
	if len(w.Options) > 0 {
		p.step(fmt.Sprintf("The two angles lie more than %.1f° apart. If not, the switch goes on another part.", 2*w.Options[0].NeedDeg))
	}
	p.measured([]reading{
		{"raised past", "half-way, and 15 % of the difference on towards raised"},
		{"in the ground past", "half-way, and 15 % of the difference on towards the ground"},
		hold,
	})
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
