package yard

import (
	"fmt"
	"math"
	"strings"

	"runproof/drawing"
	"runproof/drill"
	"runproof/fit"
	"runproof/parts"
)

func (p *page) runRadio() {
	p.part("5  Gateway and antenna", 50)
	if len(p.f.Radio.Options) == 0 {
		p.missing("the places of gateway and antenna")
		return
	}
	if _, ok := p.first(parts.Mount); ok {
		p.step("In the cab: tablet with the monitor in its mount, out of the driver's view of the road; charger in its socket.")
	}
	best, people := p.f.Radio.Best(), p.f.Radio.People
	if max(best.Antenna.Up, best.Gateway.Up) > highM {
		p.warn(cautionHeight)
		p.warn(cautionWires)
	}
	p.step(fmt.Sprintf("Gateway on the %s, about here: %s%s; fixed as its own sheet says%s, its connectors down or to the side.", best.GatewayOn, p.units.place(best.Gateway), p.fromCart(best.Gateway), p.besideTank(best.Gateway)))
	p.step(fmt.Sprintf("Antenna on the %s, about here: %s%s; upright, on its bracket, fixed as its own sheet says.", best.AntennaOn, p.units.place(best.Antenna), p.fromCart(best.Antenna)))
	p.step(fmt.Sprintf("The antenna lead goes straight down to the gateway, tied and clear of edges (%s needed), and is screwed on. An antenna connector that is not used has a plug.", p.units.length(best.LeadM)))
	p.warn(cautionRadio)
	p.measured([]reading{
		{"antenna to gateway", "at least " + p.units.about(antennaToGatewayM)},
		{"antenna to the operator's head", fmt.Sprintf("at least %s; planned %s", p.units.about(antennaToOperatorM), p.units.length(best.OperatorM))},
		{"antenna to where people stand", "at least " + p.units.about(people.RequiredM)},
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
	p.Need(min(p.PageRoom(), p.tableMM(t)))
	p.table(t)
}

func (p *page) runSwitchMount() {
	p.part("6  Work-state switch", 40)
	w := p.f.WorkSwitch
	if w.On == "" {
		p.missing("the place of the work-state switch")
		return
	}
	p.step(fmt.Sprintf("Switch on %s, one near node %s, about here: %s.", w.On, p.orNote(w.Node), p.units.place(w.At)))
	if w.Kind == fit.TiltSwitch {
		p.step("Fixed square and firm, so that it turns with that part and with nothing else. Which face is up and which way it points, its own sheet says. Mark on it with the pen what is up and what is forward.")
	}
	p.step(fmt.Sprintf("Its lead%s goes to the switch input of node %s, which is neither a harness connector nor a port: where it is, the node's own sheet says. Tied, with an open bow for the full lift.", p.leadOfSwitch(), p.orNote(w.Node)),
		"A lead that does not reach: take an arm nearer to the node, or a longer lead.")
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

// fromCart says where a place is as seen from the cart's front top edge, where it
// is near it: the cart is where one measures.
func (j *job) fromCart(at drill.Point) string {
	c := j.d.Places().Cart
	ahead, over := at.Forward-c.Front, at.Up-c.Top
	if math.Abs(ahead) > 0.6 || over < -3 || over > 1.5 {
		return ""
	}
	way := func(m float64, plus, minus string) string {
		if m < 0 {
			return j.units.length(-m) + " " + minus
		}
		return j.units.length(m) + " " + plus
	}
	return fmt.Sprintf(" (from the cart's front top edge %s and %s)", way(ahead, "ahead", "back"), way(over, "up", "down"))
}

// besideTank says what to do where the place is taken by the cart's tank.
func (j *job) besideTank(at drill.Point) string {
	if j.fromCart(at) == "" {
		return ""
	}
	return ", outside the tank: where that is in the way, on the cart's frame beside it"
}

func (p *page) orNote(s string) string {
	if s == "" {
		return "____________"
	}
	return s
}
