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

// preAssembly is the paper for the bench: what can be done before the drill is
// there.
func (j *job) preAssembly() *drawing.Book {
	p := j.newPage("Pre-assembly sheet", "What is cut, plugged and labelled at the bench", j.in.Paper.Portrait(), benchLook)
	p.Title("Pre-assembly sheet")
	p.Paragraph("At the bench, before you drive to the drill. Work from top to bottom and tick as you go. At the end there is one bundle for each node, one coil for each leg of the harness, and a box with the rest.")
	p.standing()
	p.benchParts()
	p.benchLabels()
	p.cuttingList()
	p.benchNodes()
	p.benchHarness()
	p.benchRest()
	return p.finish()
}

// standing says on the first page what the plan itself finds wrong.
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

func (p *page) benchParts() {
	p.part("1  Parts from the shelf", 30)
	if len(p.f.Kit.Lines) == 0 {
		p.missing("the parts list")
		return
	}
	t := tickTable{again: "Parts", columns: []column{{kind: tick}, {title: "pieces", right: true, bold: true}, {title: "part", wrap: true}, {title: "what for", wrap: true}}}
	for _, l := range p.f.Kit.Lines {
		why := l.Why
		if l.Spare > 0 {
			why = strings.TrimPrefix(fmt.Sprintf("%s; %s in it", why, one(l.Spare, "spare")), "; ")
		}
		t.rows = append(t.rows, []string{fmt.Sprint(l.Pieces()), fmt.Sprintf("%s (%s)", l.Name, l.Part), why})
	}
	p.table(t)
}

func (p *page) benchLabels() {
	p.part("2  Labels", 20)
	p.step(fmt.Sprintf("Print the label sheets: two labels for each of the %s, one for each node, two for each leg of the harness.", one(len(p.f.Map), "sensed run")),
		"They come in the order of this sheet: a node, then its runs by port, each with one label for the sensor's end and one for the port's end.")
}

// cuttingList is the tubes by length, so that a roll is measured off once for
// all that are alike.
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
	p.say("Cut square with a sharp blade. The lengths have the lay in them, as in the parts list; together " + p.units.length(sum) + ".")
	t := tickTable{again: "Tubes to cut", columns: []column{{kind: tick}, {title: "pieces", right: true, bold: true}, {title: "length", right: true, bold: true}, {title: "for the ports", wrap: true}}}
	for _, size := range sizes {
		t.rows = append(t.rows, []string{fmt.Sprint(count[size]), size, p.portsOfLength(size)})
	}
	p.table(t)
}

// portsOfLength lists the ports whose tubes are cut to a length, node by node.
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

// stepsOfNodeMM is about what the steps around the table of a node take: a node
// stays on one page where it can, so that the page goes with its bundle.
const stepsOfNodeMM = 58.0

func (p *page) benchNodes() {
	for i, n := range p.nodes {
		t := p.benchTable(n)
		p.part(fmt.Sprintf("4.%d  Node %s, for head %s", i+1, n.Serial, n.Head), p.tableMM(t)+stepsOfNodeMM)
		p.step(fmt.Sprintf("Take %s. Read the serial on the box: it must be %s.", withArticle(p.partName(n.Part)), n.Serial))
		p.step(fmt.Sprintf("Stick on the node label: %s, name “%s”, head %s.", n.Serial, n.Name, n.Head))
		if len(n.Links) > 0 {
			p.step("Put the labels on both ends of each tube and push the tube on its port. The free ends stay together.")
			p.table(t)
		}
		if len(n.Free) > 0 {
			p.step(fmt.Sprintf("Cap the free %s: %s.", plural(len(n.Free), "port"), numbers(n.Free)), "Close each with one cap; a cap comes off when a run is moved to its port later.")
		}
		p.benchPlugs(n)
		p.step(fmt.Sprintf("Bind the tubes and tie the bundle to the box; mark it “head %s”.", n.Head))
	}
}

func (p *page) benchTable(n node) tickTable {
	t := tickTable{again: "Node " + n.Serial, columns: []column{
		{title: "port", right: true, bold: true},
		{title: "label", bold: true},
		{title: "head"},
		{title: "outlet", right: true},
		{title: "row", right: true},
		{title: "tube", right: true, bold: true},
		{title: "cut", kind: tick},
		{title: "label at sensor's end", kind: tick, mm: 24},
		{title: "label at port's end", kind: tick, mm: 24},
		{title: "on port", kind: tick, mm: 14},
	}}
	for _, l := range n.Links {
		r := p.runs[l.Run]
		t.rows = append(t.rows, []string{fmt.Sprint(l.Port), string(l.Run), string(r.Head), fmt.Sprint(r.Outlet), fmt.Sprint(r.Row), p.units.cut(parts.CutM(l.TubeM))})
	}
	return t
}

// benchPlugs says what each connector of the node will take.
func (p *page) benchPlugs(n node) {
	part, _ := p.job.part(n.Part)
	plugs := p.plugs(n.Serial, connectors(part))
	if len(plugs) == 0 {
		p.step("Close its harness connectors with plugs for the way.")
		return
	}
	note := "Close them for the way."
	if slices.Contains(plugs, terminatorPlug) || slices.Contains(plugs, closingPlug) {
		note = "What is no leg goes on now; close the rest for the way."
	}
	p.step("Mark its harness connectors with what they will take: "+listing(plugs, plug.String)+".", note)
}

func (p *page) benchRest() {
	p.part("6  The rest of the box", 20)
	if g, ok := p.first(parts.Gateway); ok {
		p.step(fmt.Sprintf("%s: antenna lead screwed on hand-tight, or its antenna connector plugged for the way.", sentence(g.String())))
	}
	if w, ok := p.first(parts.Switch); ok {
		p.step(fmt.Sprintf("%s: lead and fixings with it, its connector plugged for the way.", sentence(w.String())))
	}
	for _, h := range p.hoseSizes() {
		p.step(fmt.Sprintf("%s for hose of %s inside: look through each, nothing may sit in it; clamps of the same size with them.", one(h.sensors, "sensor"), p.known(h.mm > 0, p.units.mm(h.mm))))
	}
	p.step("Spares, caps, plugs, ties, a tube cutter, a hose knife, a tape, a multimeter, and these sheets.")
}

func (p *page) known(ok bool, text string) string {
	if ok {
		return text
	}
	return "a size that is not said: measure"
}

// hoseSize is how many sensors go into hoses of one size.
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
