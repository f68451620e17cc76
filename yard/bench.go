package yard

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"runproof/check"
	"runproof/drawing"
	"runproof/parts"
)

// preAssembly is the paper for the bench: everything that can be done before the
// drive to the drill.
func (j *job) preAssembly() *drawing.Book {
	p := j.newPage("Pre-assembly sheet", "What is cut, plugged and labelled at the bench", j.in.Paper.Portrait(), benchLook)
	p.Title("Pre-assembly sheet")
	p.Paragraph("At the bench, before you drive to the drill. Work from top to bottom and tick as you go. At the end there is one bundle for each node, one coil for each leg of the harness, and a box with the rest.")
	p.say(orderOfSheets)
	p.standing()
	p.standIns()
	p.benchParts()
	p.benchLabels()
	p.cuttingList()
	p.benchNodes()
	p.benchHarness()
	p.benchRest()
	return p.finish()
}

// orderOfSheets stands first on each paper.
const orderOfSheets = "Order of the sheets: pre-assembly sheet at the bench; at the drill part 1 of the run sheet, then the staging sheet, then the run sheet from part 2 on."

// standing says how the plan stands with its rules, where one is broken. The
// first few stand here; more would hide what there is to do.
func (p *page) standing() {
	const most = 6
	broken := p.f.Checks.With(check.Broken)
	if len(broken) == 0 {
		return
	}
	var lines []string
	for _, r := range broken[:min(most, len(broken))] {
		lines = append(lines, "· "+r.Text(p.units.System))
	}
	if more := len(broken) - most; more > 0 {
		lines = append(lines, fmt.Sprintf("· and %d more: see runproof plan --checks", more))
	}
	p.notice(fmt.Sprintf("The plan breaks %s: settle this before you fit", one(len(broken), "rule")), strings.Join(lines, "\n"), drawing.Cross, drawing.Vermillion)
}

// cuttingList is how many tubes of which length, longest first.
func (p *page) cuttingList() {
	count, sum := map[string]int{}, 0.0
	length := map[string]float64{}
	for _, l := range p.f.Map {
		m := parts.CutM(l.TubeM)
		word := p.units.cut(m)
		count[word]++
		length[word] = m
		sum += m
	}
	sizes := slices.SortedFunc(maps.Keys(count), func(a, b string) int { return cmp.Or(cmp.Compare(length[b], length[a]), cmp.Compare(a, b)) })
	p.part("3  Cut the tubes", 30)
	if len(sizes) == 0 {
		p.Paragraph("This fit senses no run: there is no tube to cut.")
		return
	}
	p.step(fmt.Sprintf("Somebody has seen at the drill that each node can sit close under the middle of its head: the tubes have only %s to spare.", p.units.about(p.tubeReserveM())),
		"Not seen yet? Cut nothing now. Take the roll along; at the drill put in one node and the sensor farthest from it, try one tube, and cut the others of that node as long as this one must be.")
	p.say("Cut square with a sharp blade, gloves on, away from hand and body; together " + p.units.length(sum) + ". The lengths allow for tubes that do not lie straight.")
	t := tickTable{again: "Tubes to cut", columns: []column{{kind: tick}, {title: "pieces", right: true, bold: true}, {title: "length", right: true, bold: true}, {title: "for the ports", wrap: true}}}
	for _, size := range sizes {
		t.rows = append(t.rows, []string{fmt.Sprint(count[size]), size, p.portsOfLength(size)})
	}
	p.table(t)
}

// tubeReserveM is how much longer the tubes are cut than their planned way from
// the middle of the head to the sensor, at least, m.
func (j *job) tubeReserveM() float64 {
	least := 0.0
	for i, l := range j.f.Map {
		if over := parts.CutM(l.TubeM) - l.TubeM; i == 0 || over < least {
			least = over
		}
	}
	return least
}

// portsOfLength lists the ports that get tubes of a length, node by node.
func (p *page) portsOfLength(size string) string {
	var out []string
	for _, n := range p.nodes {
		var ports []int
		for _, l := range n.Links {
			if p.units.cut(parts.CutM(l.TubeM)) == size {
				ports = append(ports, l.Port)
			}
		}
		if len(ports) > 0 {
			out = append(out, fmt.Sprintf("%s: %s", n.Serial, numbers(ports)))
		}
	}
	return strings.Join(out, "; ")
}

// stepsOfNodeMM is about what the steps of a node take beside its table.
const stepsOfNodeMM = 34.0

func (p *page) benchNodes() {
	for i, n := range p.nodes {
		t := p.benchTable(n)
		p.part(fmt.Sprintf("4.%d  Node %s, for head %s", i+1, n.Serial, n.Head), p.tableMM(t)+stepsOfNodeMM)
		p.benchNode(n)
		if len(n.Links) > 0 {
			var how []string
			if i == 0 {
				how = []string{"Of all nodes: as far as it goes; a light pull does not take it off."}
			}
			p.step("Put the labels on both ends of each tube and push the tube on its port. The free ends stay together.", how...)
			p.table(t)
		}
		if len(n.Free) > 0 {
			p.step(fmt.Sprintf("Cap the free %s: %s.", plural(len(n.Free), "port"), numbers(n.Free)))
		}
		p.benchPlugs(n, i == 0)
		p.step(fmt.Sprintf("Bind the tubes and tie the bundle to the node; mark it “head %s”.", n.Head))
	}
}

// benchTable is what is done to the tubes of a node.
func (p *page) benchTable(n node) tickTable {
	t := tickTable{again: "Node " + n.Serial, box: denseBoxMM, columns: []column{
		{title: "port", right: true, bold: true},
		{title: "label", bold: true},
		{title: "head"},
		{title: "outlet", right: true},
		{title: "row"},
		{title: "tube", right: true, bold: true},
		{title: "cut", kind: tick},
		{title: "label at sensor's end", kind: tick, mm: 24},
		{title: "label at port's end", kind: tick, mm: 24},
		{title: "on port", kind: tick, mm: 14},
	}}
	for _, l := range n.Links {
		r := p.runs[l.Run]
		row := fmt.Sprint(r.Row)
		if r.Closed {
			row += ", closed"
		}
		t.rows = append(t.rows, []string{fmt.Sprint(l.Port), string(l.Run), string(r.Head), fmt.Sprint(r.Outlet), row, p.units.cut(parts.CutM(l.TubeM))})
	}
	return t
}

// benchPlugs says what each harness connector of a node will take.
func (p *page) benchPlugs(n node, first bool) {
	part, _ := p.job.part(n.Part)
	plugs := p.plugs(n.Serial, connectors(part))
	if len(plugs) == 0 {
		p.step("Put a bag over its open harness connectors for the way.")
		return
	}
	var notes []string
	if first {
		notes = []string{"Of all nodes: what is open on the way travels in a bag, tied shut."}
	}
	p.step("Mark its harness connectors with what they take: "+listing(plugs, plug.String)+".", notes...)
	p.closeWays(plugs, p.terminator(n.Serial))
	if n.Serial == p.f.WorkSwitch.Node {
		p.step("Mark its switch input, neither a harness connector nor a port: the node's own sheet says where.")
	}
}

// closeWays puts on what stays on for good: a terminator, a plug.
func (p *page) closeWays(plugs []plug, terminator string) {
	if slices.Contains(plugs, terminatorPlug) {
		p.step(fmt.Sprintf("Put %s on the connector marked for it: the bus ends here.", withArticle(terminator)))
	}
	if slices.Contains(plugs, closingPlug) {
		p.step("Put a plug on each connector that nothing is connected to.")
	}
}

func (p *page) benchRest() {
	p.part("6  The rest of the box", 20)
	p.benchLoose()
	for _, h := range p.hoseSizes() {
		p.step(fmt.Sprintf("%s%s for hose of %s inside, with their clamps: look through each, nothing may sit in it.", one(h.sensors, "sensor"), p.spareSensors(h.mm), p.known(h.mm > 0, p.units.mm(h.mm), "a size that is not said, see part 1,")))
	}
	p.step("Junctions, fixings, spares, ties; workshop and yard things of part 1; these sheets, and the own sheets of all parts.")
}

// benchLoose is what goes along as it is.
func (p *page) benchLoose() {
	var loose []string
	if _, ok := p.first(parts.Gateway); ok {
		loose = append(loose, "gateway", "antenna")
	}
	if p.f.WorkSwitch.On != "" {
		loose = append(loose, fmt.Sprintf("work-state switch (its lead%s with a label at each end)", p.leadOfSwitch()))
	}
	if len(loose) > 0 {
		p.step(sentence(listing(loose, text)) + "; a bag over each open connector.")
	}
}

// leadOfSwitch is the length of the switch's lead in words, where it is known.
func (j *job) leadOfSwitch() string {
	if m := j.f.WorkSwitch.LeadM; m > 0 {
		return " of " + j.units.length(m)
	}
	return ""
}

// spareSensors says how many more of a size go along.
func (j *job) spareSensors(mm float64) string {
	for _, l := range j.f.Kit.Lines {
		if q, ok := j.part(l.Part); ok && l.Kind == parts.Sensor && q.HoseMM == mm && l.Spare > 0 {
			return fmt.Sprintf(" and %s", one(l.Spare, "spare"))
		}
	}
	return ""
}

// known is the text, or what is said where nothing is known.
func (p *page) known(ok bool, text, unknown string) string {
	if ok {
		return text
	}
	return unknown
}

// hoseSize is how many sensors go into hoses of one inside diameter; 0 = not said.
type hoseSize struct {
	mm      float64
	sensors int
}

func (j *job) hoseSizes() []hoseSize {
	var out []hoseSize
	for _, l := range j.f.Map {
		h, _ := j.d.Head(j.runs[l.Run].Head)
		i := slices.IndexFunc(out, func(s hoseSize) bool { return s.mm == h.HoseMM })
		if i < 0 {
			out, i = append(out, hoseSize{mm: h.HoseMM}), len(out)
		}
		out[i].sensors++
	}
	slices.SortFunc(out, func(a, b hoseSize) int { return cmp.Compare(a.mm, b.mm) })
	return out
}
