package dossier

import (
	"cmp"
	"fmt"
	"strings"

	"runproof/drawing"
	"runproof/drill"
	"runproof/fit"
)

// keyIn is everything to type into the monitor, in working order.
func (b *book) keyIn() {
	b.NewPage()
	b.Title("Key-in sheet")
	b.Paragraph("What to type into the monitor on the tractor, whatever make it is, from top to bottom. Tick as you go. Words on the monitor may differ: a head may be called tower or manifold there, a run a row or a hose.")
	b.keyWarning()
	b.keyMachine()
	b.keyNodes()
	b.keyPorts()
	b.keySections()
	b.keyClosed()
	b.keyWorkState()
	b.keyAlarms()
}

// keyWarning says so where the walk found hoses elsewhere than the sheet has them.
func (b *book) keyWarning() {
	if b.in.Proof == nil {
		b.warn("The map below is the plan: no walk has proved it yet.")
	} else if n := len(b.notAsPlanned()); n > 0 {
		b.warn(fmt.Sprintf("The walk did not find %s as planned (see the proof). Move the hoses back before typing this in, or print this sheet again from the fit that the walk proved.", one(n, "run")))
	}
}

func (b *book) step(n int, text string) { b.Heading(fmt.Sprintf("%d  %s", n, text)) }

func (b *book) keyMachine() {
	b.step(1, "The machine")
	b.pairs([]fact{
		{"working width", b.units.length(b.d.WidthM())},
		{"rows", fmt.Sprint(b.d.Rows.Count)},
		{"row spacing", b.units.short(b.d.Rows.SpacingM)},
		{"usual speed", b.units.speed(b.d.Work.SpeedMPS)},
		{"products", listing(b.d.Products, func(p drill.Product) string { return productWords(p) })},
		{"antenna, ahead of the front rank", b.units.length(b.d.GNSS.At.Forward)},
		{"antenna, right of the middle", b.units.length(b.d.GNSS.At.Right)},
	})
}

func productWords(p drill.Product) string {
	if p.Material == "" {
		return string(p.ID)
	}
	return fmt.Sprintf("%s (%s)", p.ID, p.Material)
}

// pairs prints settings and values with a box to tick.
func (b *book) pairs(facts []fact) {
	t := drawing.Table{Columns: []drawing.Column{{}, {Title: "setting"}, {Title: "value", Bold: true}}, Text: drawing.TextStyle{SizePT: 10}, Rules: true}
	for _, f := range facts {
		t.Rows = append(t.Rows, drawing.Cells("☐", f.name, f.value))
	}
	b.Table(t)
}

func (b *book) keyNodes() {
	b.step(2, "The nodes, from left to right")
	b.Paragraph("The names are numbered so that a list sorted by name runs from the left wing to the right one.")
	t := drawing.Table{Text: drawing.TextStyle{SizePT: 10}, Rules: true, Columns: []drawing.Column{
		{},
		{Title: "name", Bold: true},
		{Title: "serial", Bold: true},
		{Title: "at head"},
		{Title: "product"},
		{Title: "sensors", Align: drawing.Right},
		{Title: "on ports"},
		{Title: "listens to heads"},
	}}
	for _, n := range b.nodes {
		ports := make([]int, len(n.Links))
		for i, l := range n.Links {
			ports[i] = l.Port
		}
		t.Rows = append(t.Rows, drawing.Cells("☐", n.Name, n.Serial, string(n.Head),
			listing(n.Feeds, func(p drill.Product) string { return string(p.ID) }), fmt.Sprint(len(n.Links)),
			known(len(ports) > 0, rangesOf(ports)), listing(n.Heads, func(h drill.HeadID) string { return string(h) })))
	}
	b.Table(t)
}

// keyPorts lists, for each node, which run is on which port.
func (b *book) keyPorts() {
	if len(b.nodes) > 0 {
		b.Need(min(b.PageRoom(), b.TableMM(b.portTable(b.nodes[0]))+20))
	}
	b.step(3, "Port to run, node by node")
	if len(b.nodes) == 0 {
		b.Paragraph("The fit has no nodes.")
		return
	}
	b.Columns(4)
	for _, n := range b.nodes {
		t := b.portTable(n)
		head := b.Text.Bold()
		b.Need(min(b.TableMM(t)+head.LineMM()+1, b.PageRoom()))
		b.Styled(head.Fit(n.Name+" · "+n.Serial, b.Width()), head)
		b.Table(t)
	}
	b.Columns(1)
}

func (b *book) portTable(n namedNode) drawing.Table {
	t := drawing.Table{Text: drawing.TextStyle{SizePT: 9}, Stretch: true, Rules: true, Columns: []drawing.Column{
		{Title: "port", Align: drawing.Right}, {Title: "run", Bold: true}, {Title: "row", Align: drawing.Right}, {},
	}}
	for _, l := range n.Links {
		t.Rows = append(t.Rows, drawing.Cells(fmt.Sprint(l.Port), string(l.Run), fmt.Sprint(b.runs[l.Run].Row), "☐"))
	}
	return t
}

func (b *book) keySections() {
	b.step(4, "Sections: runs shut off together")
	if len(b.d.Sections) == 0 {
		b.Paragraph("☐  None: the drill is one section.")
		return
	}
	t := drawing.Table{Text: drawing.TextStyle{SizePT: 10}, Rules: true, Stretch: true, Columns: []drawing.Column{{}, {Title: "section", Bold: true}, {Title: "runs"}, {Title: "rows"}}}
	for _, s := range b.d.Sections {
		t.Rows = append(t.Rows, drawing.Cells("☐", string(s.ID), b.runRanges(b.d.SectionRuns(s)), rangesOf(b.d.SectionRows(s))))
	}
	b.Table(t)
}

func (b *book) keyClosed() {
	b.step(5, "Runs closed on purpose")
	if len(b.d.Closed) == 0 {
		b.Paragraph("☐  None.")
		return
	}
	b.Paragraph("Switch these off in the monitor; they must not alarm: " + b.runRanges(b.d.Closed) + ".")
	t := drawing.Table{Text: drawing.TextStyle{SizePT: 10}, Rules: true, Columns: []drawing.Column{{}, {Title: "run", Bold: true}, {Title: "row", Align: drawing.Right}, {Title: "node:port"}}}
	for _, id := range b.d.Closed {
		port := "not sensed"
		if ref, ok := b.f.PortOf(id); ok {
			port = ref.String()
		}
		t.Rows = append(t.Rows, drawing.Cells("☐", string(id), fmt.Sprint(b.runs[id].Row), port))
	}
	b.Table(t)
}

// runRanges writes runs head by head: "A 1-6, 8; B 1-12".
func (b *book) runRanges(ids []drill.RunID) string {
	outlets := map[drill.HeadID][]int{}
	for _, id := range ids {
		r := b.runs[id]
		outlets[r.Head] = append(outlets[r.Head], r.Outlet)
	}
	var parts []string
	for _, id := range drill.HeadOrder(b.d) {
		if n := outlets[id]; len(n) > 0 {
			parts = append(parts, string(id)+" "+rangesOf(sorted(n)))
		}
	}
	return strings.Join(parts, "; ")
}

func (b *book) keyWorkState() {
	b.step(6, "Work-state switch")
	w := b.in.Work
	facts := []fact{{"node that carries it", cmp.Or(w.Node, "____________________")}, {wayName(w), wayWords(w)}}
	if w.RaiseAt != nil && w.LowerAt != nil {
		facts = append(facts,
			fact{"raised past", fmt.Sprintf("%.1f°", *w.RaiseAt)},
			fact{"in the ground past", fmt.Sprintf("%.1f°", *w.LowerAt)})
	}
	if w.HoldS > 0 {
		facts = append(facts, fact{"for so long before it counts", span(w.HoldS)})
	}
	b.pairs(facts)
	b.Paragraph("Try it: with the drill raised there must be no alarm though nothing flows; lowered with the fan off, every run must alarm.")
}

func wayName(w fit.WorkSwitch) string {
	if w.Node == "" || w.Kind == fit.ContactSwitch {
		return "contact"
	}
	return "in the ground means"
}

// wayWords is which way round the switch is, or boxes to tick.
func wayWords(w fit.WorkSwitch) string {
	switch w.Work {
	case fit.WorkClosed:
		return "closed while the drill is in the ground"
	case fit.WorkOpen:
		return "open while the drill is in the ground"
	case fit.WorkBelow:
		return "the angle is below the threshold"
	case fit.WorkAbove:
		return "the angle is above the threshold"
	case fit.WorkUnknown:
	}
	if w.Node != "" && w.Kind == fit.TiltSwitch {
		return "☐ angle below   ☐ angle above   the threshold"
	}
	return "☐ closed   ☐ open   while the drill is in the ground"
}
