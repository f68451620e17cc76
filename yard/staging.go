package yard

import (
	"fmt"
	"strings"

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
	p.Paragraph("Lay everything where it will go, on the ground or over the frame, before anything is fixed or joined. The antenna stays on the ground until part 5 of the run sheet.")
	p.say(orderOfSheets)
	p.standing()
	p.step("Part 1 of the run sheet is done and ticked: drill unfolded and lowered, engine off, battery minus off.")
	p.warn(cautionUnder)
	p.stagingBoxes()
	p.stagingHinges()
	p.picture(p.drawStaging)
	p.picture(p.drawSide)
	p.picture(p.drawHead)
	p.stagingLegs()
	p.stagingEnds()
	p.step("Walk along the whole harness once more: every leg reaches both of its places with its slack, and no leg crosses a chain, a hinge pin, a hot or a moving part.")
	return p.finish()
}

// stagingBoxes says where everything is mounted.
func (p *page) stagingBoxes() {
	p.part("1  Boxes to their places", 40)
	p.say(originWords + " It is marked 0 on the drawings. A node sits close under the middle of its head.")
	t := tickTable{again: "Boxes", columns: []column{{kind: tick}, {title: "what", bold: true}, {title: "name"}, {title: "where", wrap: true}}, box: denseBoxMM}
	for _, n := range p.nodes {
		t.rows = append(t.rows, []string{"node " + n.Serial, n.Name, fmt.Sprintf("at head %s, whose middle is %s", n.Head, p.units.place(n.At.At))})
	}
	for _, place := range p.f.Harness.Places {
		switch place.Kind {
		case fit.SupplyPlace:
			t.rows = append(t.rows, []string{p.place(place.ID), "", fmt.Sprintf("the end of %s comes here: %s.%s", p.supplyLead(), p.units.place(place.At), p.guessedPowerPoint())})
		case fit.JunctionPlace:
			t.rows = append(t.rows, []string{p.place(place.ID), "", p.junctionPlace(place)})
		case fit.GatewayPlace, fit.NodePlace:
		}
	}
	t.rows = append(t.rows, p.radioRows()...)
	if w := p.f.WorkSwitch; w.On != "" {
		t.rows = append(t.rows, []string{"work-state switch", p.partName(w.Part), fmt.Sprintf("on %s, about here: %s; its lead%s goes to the switch input of node %s", w.On, p.units.place(w.At), p.leadOfSwitch(), w.Node)})
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
		{"gateway", p.partName(p.f.Radio.Gateway), fmt.Sprintf("on the %s, about here: %s%s", best.GatewayOn, p.units.place(best.Gateway), p.fromCart(best.Gateway))},
		{"antenna", p.antennaName(), fmt.Sprintf("on the %s, about here: %s%s; %s of lead to the gateway", best.AntennaOn, p.units.place(best.Antenna), p.fromCart(best.Antenna), p.units.length(best.LeadM))},
	}
}

// stagingHinges lists what the harness crosses with slack: the drawing and the
// table of legs name them by number.
func (p *page) stagingHinges() {
	hinges := p.f.Harness.Hinges()
	if len(hinges) == 0 {
		return
	}
	t := tickTable{again: "Hinges", columns: []column{{title: "hinge", bold: true}, {title: "between", wrap: true}, {title: "where", wrap: true}, {title: "slack of each leg", right: true, mm: 30}, {title: "legs", wrap: true}}, box: denseBoxMM}
	for _, h := range hinges {
		from, _ := p.f.Harness.Frame.Point(h.Link.From)
		to, _ := p.f.Harness.Frame.Point(h.Link.To)
		mid := drill.Point{Forward: (from.Forward + to.Forward) / 2, Right: (from.Right + to.Right) / 2, Up: (from.Up + to.Up) / 2}
		t.rows = append(t.rows, []string{h.ID, spoken(h.Link.From) + " and " + spoken(h.Link.To), "about " + p.units.place(mid), p.units.length(h.Link.SlackM), listing(h.Legs, text)})
	}
	p.Space(1)
	p.Need(min(p.PageRoom(), p.tableMM(t)))
	p.table(t)
}

// spoken is a frame point's name as a person says it: "cart front".
func spoken(id string) string { return strings.ReplaceAll(id, "-", " ") }

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
		{title: "cables in order", wrap: true},
		{title: "length", right: true},
		{title: "slack at hinges", wrap: true},
		{title: "to coil at the second place", right: true, mm: 26},
	}}
	for _, st := range harness.Staging(p.f.Harness) {
		t.rows = append(t.rows, []string{st.Leg, kindWord(st.Kind), p.place(st.From), p.place(st.To), p.pieces(st.Pieces), p.units.length(st.LengthM), p.slack(st.Hinges), p.coil(st)})
	}
	p.table(t)
}

// kindWord is what a kind of leg is called on the sheets.
func kindWord(kind string) string {
	if kind == "feed" {
		return "supply"
	}
	return kind
}

// slack says how much bow each hinge on the way takes.
func (p *page) slack(hinges []drill.FrameLink) string {
	if len(hinges) == 0 {
		return "none"
	}
	return listing(hinges, func(k drill.FrameLink) string {
		return fmt.Sprintf("%s at %s", p.units.length(k.SlackM), p.f.Harness.HingeID(k))
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
	if ends := p.busEnds(); len(ends) > 0 {
		p.step("A terminator is on at " + listing(ends, p.place) + ": the ends of the bus.")
	}
	for _, l := range p.f.Harness.Legs {
		if l.Drop {
			p.step(fmt.Sprintf("Drop %s, from %s to %s, is %s: do not lengthen it.", l.ID, p.place(l.From), p.place(l.To), p.units.length(l.LengthM)))
		}
	}
	if len(p.f.Harness.Bus) > 0 {
		p.step("The bus goes through these places in this order: "+listing(p.f.Harness.Bus, p.place)+".",
			fmt.Sprintf("Its cables together: %s.", p.units.length(p.f.Harness.BusM)))
	}
}
