package yard

import (
	"fmt"

	"runproof/drawing"
	"runproof/drill"
	"runproof/fit"
	"runproof/harness"
)

// staging is the paper for laying out: what goes where, before anything is
// fixed.
func (j *job) staging() *drawing.Book {
	p := j.newPage("Staging sheet", "Where the harness and the boxes are laid out before they are fixed", j.in.Paper.Landscape(), benchLook)
	p.Title("Staging sheet")
	p.Paragraph("Lay everything where it will go, on the ground or over the frame, before anything is fixed or plugged. Unfolded drill, lowered, engine off.")
	p.standing()
	p.warn(cautionUnder)
	p.picture(p.drawStaging)
	p.stagingBoxes()
	if len(p.f.Radio.Options) > 0 {
		p.picture(p.drawSide)
	}
	p.stagingLegs()
	p.stagingEnds()
	p.step("Walk along the whole harness once more: every leg reaches both of its places with its slack, and no leg crosses a chain, a hinge pin, a hot or a moving part.")
	return p.finish()
}

// stagingBoxes says where everything is mounted.
func (p *page) stagingBoxes() {
	p.part("1  Boxes to their places", 40)
	p.say("Places are measured from the middle of the front rank, at ground level, facing forward.")
	t := tickTable{again: "Boxes", columns: []column{{kind: tick}, {title: "what", bold: true}, {title: "name"}, {title: "where", wrap: true}}}
	for _, n := range p.nodes {
		t.rows = append(t.rows, []string{"node " + n.Serial, n.Name, fmt.Sprintf("at head %s: %s", n.Head, p.units.place(n.At.At))})
	}
	for _, place := range p.f.Harness.Places {
		if place.Kind == fit.SupplyPlace || place.Kind == fit.JunctionPlace {
			t.rows = append(t.rows, []string{p.place(place.ID), "", p.units.place(place.At)})
		}
	}
	t.rows = append(t.rows, p.radioRows()...)
	if w := p.f.WorkSwitch; w.On != "" {
		t.rows = append(t.rows, []string{"work-state switch", p.partName(w.Part), fmt.Sprintf("on %s, about here: %s; plugs into node %s", w.On, p.units.place(w.At), w.Node)})
	}
	p.table(t)
	if len(p.f.Radio.Options) == 0 {
		p.missing("the places of gateway and antenna")
	}
	if p.f.WorkSwitch.On == "" {
		p.missing("the place of the work-state switch")
	}
}

func (p *page) radioRows() [][]string {
	if len(p.f.Radio.Options) == 0 {
		return nil
	}
	best := p.f.Radio.Best()
	return [][]string{
		{"gateway", p.partName(p.f.Radio.Gateway), fmt.Sprintf("on the %s: %s", best.GatewayOn, p.units.place(best.Gateway))},
		{"antenna", p.antennaName(), fmt.Sprintf("on the %s: %s; lead of %s", best.AntennaOn, p.units.place(best.Antenna), p.units.length(best.LeadM))},
	}
}

// antennaName is the antenna's part, or that the gateway has its own.
func (j *job) antennaName() string {
	if j.f.Radio.Antenna == "" {
		return "the gateway's own"
	}
	return j.partName(j.f.Radio.Antenna)
}

func (p *page) stagingLegs() {
	p.part("2  Legs, in the order in which you lay them", 60)
	if !p.planned() {
		p.missing("the harness")
		return
	}
	p.say("Lay the leg along the frame from the first place to the second. Leave the slack at the hinge, in an open bow on the side that does not pinch, and a loop a hand wide at each box. Coil what is left over at the second place, wider than your hand, and tie it where nothing moves.")
	t := tickTable{again: "Legs", columns: []column{
		{kind: tick},
		{title: "leg", bold: true},
		{title: "kind"},
		{title: "from"},
		{title: "to"},
		{title: "pieces in order", wrap: true},
		{title: "length", right: true},
		{title: "slack at hinges", wrap: true},
		{title: "to coil at the second place", right: true, mm: 26},
	}}
	for _, st := range harness.Staging(p.f.Harness) {
		t.rows = append(t.rows, []string{st.Leg, st.Kind, p.place(st.From), p.place(st.To), p.pieces(st.Pieces), p.units.length(st.LengthM), p.slack(st.Hinges), p.coil(st)})
	}
	p.table(t)
}

// slack says how much bow each hinge on the way takes.
func (p *page) slack(hinges []drill.FrameLink) string {
	if len(hinges) == 0 {
		return "none"
	}
	return listing(hinges, func(k drill.FrameLink) string {
		return fmt.Sprintf("%s between %s and %s", p.units.length(k.SlackM), k.From, k.To)
	})
}

// coil says how much is left over, and where it goes.
func (p *page) coil(s harness.Step) string {
	const leastM = 0.05
	if s.CoilM < leastM {
		return "nothing"
	}
	if s.CoilAt == s.To {
		return p.units.length(s.CoilM)
	}
	return fmt.Sprintf("%s at %s", p.units.length(s.CoilM), s.CoilAt)
}

func (p *page) stagingEnds() {
	if !p.planned() {
		return
	}
	p.part("3  Ends and drops", 30)
	for _, id := range p.busEnds() {
		p.step(fmt.Sprintf("Terminator lies at %s: one end of the backbone.", p.place(id)))
	}
	for _, l := range p.f.Harness.Legs {
		if l.Drop {
			p.step(fmt.Sprintf("Drop %s, from %s to %s, is %s: do not lengthen it.", l.ID, p.place(l.From), p.place(l.To), p.units.length(l.LengthM)))
		}
	}
	if len(p.f.Harness.Bus) > 0 {
		p.step("The backbone goes through these places in this order: "+listing(p.f.Harness.Bus, p.place)+".",
			fmt.Sprintf("Backbone as laid: %s.", p.units.length(p.f.Harness.BusM)))
	}
}
