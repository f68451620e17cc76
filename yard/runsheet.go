package yard

import (
	"fmt"

	"runproof/drawing"
	"runproof/drill"
	"runproof/fit"
	"runproof/parts"
)

// runSheet is the paper for the yard, in working order.
func (j *job) runSheet() *drawing.Book {
	p := j.newPage("Run sheet", "The fit in working order, with the cautions where they belong", j.in.Paper.Portrait(), yardLook)
	p.Title("Run sheet")
	p.Paragraph("In the yard, from top to bottom. Tick what is done; write beside a line what is not as it says there.")
	p.dateLine()
	p.say(orderOfSheets)
	p.say(deferral)
	p.standing()
	p.runSafe()
	p.runNodes()
	p.runSensors()
	p.runTubes()
	p.runRadio()
	p.runSwitchMount()
	p.runHarness()
	p.runPowerOff()
	p.runPowerOn()
	p.runSwitchSet()
	p.runMove()
	p.runWalk()
	p.runNotes()
	p.runSign()
	return p.finish()
}

// dateLine leaves room for what only a person knows.
func (p *page) dateLine() {
	s, r := p.Area(10)
	w := (r.W - 8) / 3
	for i, label := range []string{"date", "fitted by", "machine hours"} {
		x := r.X + float64(i)*(w+4)
		st := p.Text.Sized(p.Text.SizePT - 2).In(drawing.Soft)
		s.Text(drawing.Point{X: x, Y: r.Y + 7}, label, st)
		s.Line(drawing.Point{X: x + st.WidthMM(label) + 2, Y: r.Y + 7.5}, drawing.Point{X: x + w, Y: r.Y + 7.5}, drawing.Thin.Of(drawing.Soft))
	}
}

func (p *page) runSafe() {
	p.part("1  Make the drill safe", 60)
	p.warn(cautionUnfold)
	p.step("Park on firm, level ground, unfolded and with room around it. Brake on, wheels chocked.")
	p.step("Drill lowered to the ground, or locks and stands fitted. Engine off, key out, hydraulic pressure released.")
	p.warn(cautionUnder)
	p.warn(cautionHydraulics)
	p.step("Fan stopped, tanks vented, product shut off; hoses run empty.")
	p.warn(cautionTank)
	p.warn(cautionAmmonia)
	p.warn(cautionPower)
	p.step("Battery minus is off and cannot spring back.")
}

const highM = 1.5 // from here on one climbs

func (p *page) runNodes() {
	t := tickTable{again: "Nodes", columns: []column{
		{title: "node", bold: true},
		{title: "name"},
		{title: "head", bold: true},
		{title: "where the head is", wrap: true},
		{title: "mounted", kind: tick, mm: 19},
		{title: "connectors not up", kind: tick, mm: 24},
	}}
	for _, n := range p.nodes {
		t.rows = append(t.rows, []string{n.Serial, n.Name, string(n.Head), p.units.place(n.At.At)})
	}
	p.part("2  Mount the nodes", 50)
	if p.highest() > highM {
		p.warn(cautionHeight)
	}
	p.say("Serials ascend from left to right along the front rank of heads, then along the next; the number in a name counts from left to right across the drill." + p.sharedNodes() + " " + originWords)
	p.step(fmt.Sprintf("Each node sits close under the middle of its head: its tubes have only %s to spare. Fixed as its own sheet says, on a part that does not bend.", p.units.about(p.tubeReserveM())),
		"The staging sheet has a sketch of it.")
	p.step("Connectors face down or to the side, never up, with a drip loop below each lead.")
	p.table(t)
}

// originWords say where places are measured from.
const originWords = "Places are measured from the middle of the front rank of openers, at ground level, facing forward."

// sharedNodes says that a node serves more than its own head, where one does.
func (j *job) sharedNodes() string {
	for _, n := range j.nodes {
		if len(j.headsOf(n)) > 1 {
			return " A node may serve two heads that stand close."
		}
	}
	return ""
}

func (p *page) runSensors() {
	p.part("3  Sensors into the runs", 60)
	p.warn(cautionSeed)
	p.step("Find the outlets of each head and mark their hoses: outlet n is the one whose hose goes to the row printed beside it in part 4. Start at the opener and follow the hose up. Row 1 is at the far left, facing forward.")
	p.step("First put in the sensor farthest from the node and try its tube: it must reach without a pull. If not, move the node, or cut this node's tubes longer.")
	p.step(fmt.Sprintf("Each sensor goes about %s from its outlet, along the hose, the same all round a head. Cut the hose square, push both ends on the sensor%s, clamp both.", p.units.about(p.d.Sensing.SensorFromHeadM), p.withAdapters()))
	p.step("The sensor's inlet faces the flow: it comes from the head. Which end is the inlet, and whether its tube points up or down, the sensor's own sheet says.")
	p.step("Clamps sit clear of moulded ridges and are tight all round; the hose hangs as before, without a kink.")
	t := tickTable{again: "Sensors", columns: []column{
		{title: "head", bold: true},
		{title: "product"},
		{title: "sensors", right: true},
		{title: "on outlets", wrap: true},
		{title: "hose inside", right: true},
		{title: "all in", kind: tick, mm: 15},
		{title: "all face the flow", kind: tick, mm: 22},
	}}
	for _, h := range p.servedHeads() {
		var outlets []int
		for _, r := range p.d.Runs() {
			if _, ok := p.f.PortOf(r.ID); ok && r.Head == h.ID {
				outlets = append(outlets, r.Outlet)
			}
		}
		size := "measure"
		if h.HoseMM > 0 {
			size = p.units.mm(h.HoseMM)
		}
		t.rows = append(t.rows, []string{string(h.ID), string(h.Product), fmt.Sprint(len(outlets)), numbers(outlets), size})
	}
	if len(t.rows) > 0 {
		p.Need(min(p.PageRoom(), p.tableMM(t)))
		p.table(t)
	}
	if ids := p.closedRuns(); len(ids) > 0 {
		p.say("Closed on purpose: " + listing(ids, text) + ". They get sensor and tube like the others; whoever runs the drill shuts them, and the monitor is told not to alarm for them.")
	}
}

// closedRuns are the sensed runs that are shut on purpose.
func (j *job) closedRuns() []drill.RunID {
	var ids []drill.RunID
	for _, l := range j.f.Map {
		if j.runs[l.Run].Closed {
			ids = append(ids, l.Run)
		}
	}
	return ids
}

// withAdapters says where the sensors are of another size than the hoses.
func (p *page) withAdapters() string {
	for _, l := range p.f.Kit.Lines {
		if l.Kind == parts.Adapter {
			return " (hose and sensor of different size: an adapter on each side)"
		}
	}
	return ""
}

// runTubes is the map of runs to ports, node by node: the only place of this
// paper where it stands.
func (p *page) runTubes() {
	p.part("4  Tubes, node by node", 40)
	if len(p.f.Map) == 0 {
		p.Paragraph("This fit senses no run.")
		return
	}
	p.say("Read the label at the sensor's end of a tube, find that outlet, push the tube on its sensor as far as it goes: a light pull does not take it off. Then follow the tube with the hand to its port and read the label there. Tie tubes loosely to the frame, not to hoses that move.")
	for _, n := range p.nodes {
		t := p.runTable(n)
		if len(t.rows) > 0 {
			p.Need(min(p.PageRoom(), 16+min(90, p.tableMM(t))))
			p.Styled(fmt.Sprintf("Node %s  ·  %s  ·  at head %s", n.Serial, n.Name, n.Head), p.Text.Sized(p.Text.SizePT+1).Bold())
			p.table(t)
		}
		if len(n.Free) > 0 {
			p.step(fmt.Sprintf("Node %s: free %s capped: %s.", n.Serial, plural(len(n.Free), "port"), numbers(n.Free)))
		}
	}
}

func (p *page) runTable(n node) tickTable {
	t := tickTable{again: "Node " + n.Serial, columns: []column{
		{title: "node:port", bold: true},
		{title: "run", bold: true},
		{title: "head"},
		{title: "outlet", right: true},
		{title: "row", right: true},
		{title: "product"},
		{title: "tube on", kind: tick, mm: 15},
		{title: "traced", kind: tick, mm: 16},
		{title: "not as planned", kind: blank, mm: 20},
	}}
	for _, l := range n.Links {
		r := p.runs[l.Run]
		product := string(r.Product)
		if r.Closed {
			product += ", closed"
		}
		t.rows = append(t.rows, []string{l.Ref().String(), string(l.Run), string(r.Head), fmt.Sprint(r.Outlet), fmt.Sprint(r.Row), product})
	}
	return t
}

func (p *page) runHarness() {
	p.part("7  Harness", 60)
	if !p.planned() {
		p.missing("the harness")
		return
	}
	for _, place := range p.f.Harness.Places {
		if place.Kind == fit.JunctionPlace {
			p.step(fmt.Sprintf("Junction %s is %s; its ways face down or to the side.", place.ID, p.junctionPlace(place)))
		}
	}
	p.step("Each leg follows the frame in the order below and is tied every " + p.units.tieEvery() + "; clear of hinges, chains, hot parts and pressure hoses; away from the leads of fan and valve motors.")
	p.step("At each hinge the slack lies in an open bow; what is left over is coiled and tied where nothing moves.")
	t := tickTable{again: "Legs", columns: []column{
		{title: "leg", bold: true},
		{title: "from", wrap: true},
		{title: "to", wrap: true},
		{title: "length", right: true},
		{title: "slack at hinges", wrap: true},
		{title: "laid and tied", kind: tick, mm: 19},
		{title: "plugged in", kind: tick, mm: 20},
	}}
	for _, l := range p.f.Harness.Legs {
		t.rows = append(t.rows, []string{l.ID, p.place(l.From), p.place(l.To), p.units.length(l.LengthM), p.slack(l.Hinges)})
	}
	p.Need(min(p.PageRoom(), p.tableMM(t)))
	p.table(t)
	if ends := p.busEnds(); len(ends) > 0 {
		p.step("Terminators are on at " + listing(ends, p.place) + ", and nowhere between.")
	}
	p.step("Every connector is locked; none faces up; one that nothing is connected to has a plug. The bags are off.")
	p.step(fmt.Sprintf("%s is plugged in at the drill's end only: it is not yet on the power point, and its fuse is out.", sentence(p.supplyLead())))
}
