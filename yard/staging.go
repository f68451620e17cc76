package yard

import (
	"fmt"
	"math"

	"runproof/drawing"
	"runproof/drill"
	"runproof/fit"
	"runproof/views"
)

// staging is the paper for laying out: what goes where, before anything is
// fixed.
func (j *job) staging() *drawing.Book {
	p := j.newPage("Staging sheet", "Where the harness and the boxes are laid out before they are fixed", j.in.Paper.Landscape(), benchPT)
	p.Title("Staging sheet")
	p.Paragraph("Lay everything where it will go, on the ground or over the frame, before anything is fixed or plugged. Unfolded drill, lowered, engine off.")
	p.standing()
	p.stagingPlan()
	p.warn(cautionUnder)
	p.stagingBoxes()
	p.stagingLegs()
	p.stagingEnds()
	p.warn(cautionMoving)
	p.step("Walk along the whole harness once more: every leg reaches both of its places with its slack, and no leg crosses a chain, a hinge pin, a hot or a moving part.")
	return p.finish()
}

func (p *page) stagingPlan() {
	s, r := p.Rest(90)
	used := views.DrawTop(s, r, p.f, stagingView)
	p.GiveBack(r.H - used)
}

// stagingBoxes says where everything is mounted.
func (p *page) stagingBoxes() {
	p.part("1  Boxes to their places", 40)
	p.say("Places are measured from the middle of the front rank, at ground level, facing forward.")
	t := tickTable{again: "Boxes", columns: []column{{kind: tick}, {title: "what", bold: true}, {title: "name"}, {title: "where", wrap: true}}}
	for _, n := range p.nodes {
		t.rows = append(t.rows, []string{"node " + n.Serial, n.Name, fmt.Sprintf("at head %s: %s", n.Head, p.units.place(n.At.At))})
	}
	t.rows = append(t.rows, p.radioRows()...)
	if w := p.f.WorkSwitch; w.On != "" {
		t.rows = append(t.rows, []string{"work-state switch", p.partName(w.Part), fmt.Sprintf("on the %s: near %s; plugs into node %s", w.On, p.units.place(w.At), w.Node)})
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
		{"antenna", p.partName(p.f.Radio.Antenna), fmt.Sprintf("on the %s: %s; lead of %s", best.AntennaOn, p.units.place(best.Antenna), p.units.length(best.LeadM))},
	}
}

func (p *page) stagingLegs() {
	p.part("2  Legs, in the order in which you lay them", 60)
	if !p.planned() {
		p.missing("the harness")
		return
	}
	p.say("Lay the leg along the frame from the first place to the second. Leave the slack where the hinge is, in an open bow on the side that does not pinch. Coil what is left over at the place named, wider than your hand, and tie it where nothing moves.")
	t := tickTable{again: "Legs", columns: []column{
		{kind: tick},
		{title: "leg", bold: true},
		{title: "kind"},
		{title: "from"},
		{title: "to"},
		{title: "pieces", wrap: true},
		{title: "length", right: true},
		{title: "slack at hinges", wrap: true},
		{title: "to coil, and where", wrap: true},
	}}
	for _, l := range p.f.Harness.Legs {
		t.rows = append(t.rows, []string{l.ID, legKind(l), p.place(l.From), p.place(l.To), p.pieces(l), p.units.length(l.LengthM), p.slack(l), p.surplus(l)})
	}
	p.table(t)
}

func legKind(l fit.Leg) string {
	switch {
	case l.Drop:
		return "drop"
	case l.Bus:
		return "backbone"
	}
	return "supply"
}

// slack says how much bow each hinge on the way takes.
func (p *page) slack(l fit.Leg) string {
	if l.HingeM <= 0 {
		return "none"
	}
	links := hingesOn(l, p.f.Harness.Frame)
	where := listing(links, func(k drill.FrameLink) string {
		return fmt.Sprintf("%s between %s and %s", p.units.length(k.SlackM), k.From, k.To)
	})
	if where == "" {
		return p.units.length(l.HingeM)
	}
	return where
}

// hingesOn are the stretches of frame with slack that the leg's way goes along.
func hingesOn(l fit.Leg, frame drill.Frame) []drill.FrameLink {
	at := map[string]drill.Point{}
	for _, q := range frame.Points {
		at[q.ID] = q.At
	}
	var out []drill.FrameLink
	for _, k := range frame.Links {
		if k.SlackM <= 0 {
			continue
		}
		for i := 1; i < len(l.Path); i++ {
			a, b := l.Path[i-1], l.Path[i]
			if drill.DistanceM(a, b) > samePlaceM && onStretch(a, at[k.From], at[k.To]) && onStretch(b, at[k.From], at[k.To]) {
				out = append(out, k)
				break
			}
		}
	}
	return out
}

// samePlaceM is how far apart places of a way may be and still be one.
const samePlaceM = 0.005

// onStretch tells whether a place lies on the straight stretch between two.
func onStretch(q, a, b drill.Point) bool {
	return math.Abs(drill.DistanceM(a, q)+drill.DistanceM(q, b)-drill.DistanceM(a, b)) < samePlaceM/10
}

// surplus says how much is coiled, and where: at the end that is not at the
// power point or a hinge.
func (p *page) surplus(l fit.Leg) string {
	const leastM = 0.05
	if l.SurplusM() < leastM {
		return "nothing"
	}
	return fmt.Sprintf("%s at %s", p.units.length(l.SurplusM()), p.place(l.To))
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
