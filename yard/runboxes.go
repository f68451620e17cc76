package yard

import (
	"fmt"
	"strings"

	"runproof/drawing"
	"runproof/fit"
	"runproof/parts"
)

func (p *page) runRadio() {
	p.part("6  Gateway and antenna", 50)
	if len(p.f.Radio.Options) == 0 {
		p.missing("the places of gateway and antenna")
		return
	}
	if _, ok := p.first(parts.Mount); ok {
		p.step("In the cab: tablet in its mount, out of the driver's view of the road; charger in its socket.")
	}
	best, people := p.f.Radio.Best(), p.f.Radio.People
	p.step(fmt.Sprintf("Gateway on the %s: %s; its connectors down or to the side.", best.GatewayOn, p.units.place(best.Gateway)))
	p.step(fmt.Sprintf("Antenna on the %s: %s, upright.", best.AntennaOn, p.units.place(best.Antenna)))
	p.step(fmt.Sprintf("The antenna lead is screwed on. Unused antenna leads and connectors are capped. Lead needed: %s.", p.units.length(best.LeadM)))
	p.warn(cautionRadio)
	p.measured([]reading{
		{"antenna to gateway", "at least " + p.units.short(antennaToGatewayM)},
		{"antenna to the operator's head", fmt.Sprintf("at least %s; planned %s", p.units.short(antennaToOperatorM), p.units.length(best.OperatorM))},
		{"antenna to where people stand", "at least " + p.units.short(people.RequiredM)},
	})
	if len(best.Broken) > 0 {
		p.notice("This place does not keep every rule", strings.Join(best.Broken, "\n"), drawing.Cross, drawing.Vermillion)
	}
}

// Distances of an antenna: common practice, no source.
const (
	antennaToOperatorM = 0.61
	antennaToGatewayM  = 0.20
)

// reading is something to measure: what, and what it should be.
type reading struct{ what, should string }

// measured leaves room for what is measured beside what it should be.
func (p *page) measured(rs []reading) {
	t := tickTable{again: "Measure", columns: []column{{kind: tick}, {title: "measure", wrap: true}, {title: "should be", wrap: true, bold: true, mm: 34}, {title: "measured", kind: blank, mm: 36}}}
	for _, r := range rs {
		t.rows = append(t.rows, []string{r.what, r.should})
	}
	p.table(t)
}

func (p *page) runSwitchMount() {
	p.part("7  Work-state switch", 40)
	w := p.f.WorkSwitch
	if w.On == "" {
		p.missing("the place of the work-state switch")
		return
	}
	p.step(fmt.Sprintf("Switch on %s, about here: %s; plugged into node %s; lead with slack for the full lift.", w.On, p.units.place(w.At), p.orNote(w.Node)))
	if w.Kind == fit.TiltSwitch {
		p.step("Mounted square and firm, so that it turns with that part and with nothing else. Mark which side is up.")
	}
	p.switchPlaces(w)
	p.say("It is set up with the power on, in part 10.")
}

// switchPlaces says what else the switch can go on, where nobody has said what
// turns when the drill is lifted.
func (p *page) switchPlaces(w fit.WorkSwitch) {
	if w.Kind != fit.TiltSwitch || w.WorkDeg != nil || len(w.Options) == 0 {
		return
	}
	p.say("The plan does not know what turns when this drill is lifted. Choose the first of these that it has:")
	t := tickTable{again: "Places for the switch", columns: []column{{kind: tick}, {title: "on", wrap: true, bold: true}, {title: "usually turns by", mm: 24}, {title: "must turn by more than", mm: 28, right: true}, {title: "mind", wrap: true}}}
	for _, o := range w.Options {
		turns := o.Typical
		if o.SpanDeg != nil {
			turns = fmt.Sprintf("%.1f°", *o.SpanDeg)
		}
		t.rows = append(t.rows, []string{o.On, turns, fmt.Sprintf("%.1f°", 2*o.NeedDeg), o.Words})
	}
	p.table(t)
}

func (p *page) orNote(s string) string {
	if s == "" {
		return "____________"
	}
	return s
}
