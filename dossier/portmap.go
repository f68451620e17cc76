package dossier

import (
	"fmt"
	"strconv"

	"runproof/drawing"
	"runproof/drill"
	"runproof/fit"
	"runproof/views"
	"runproof/walk"
)

// portMap shows each node with its ports in type that can be read at arm's
// length in the yard.
func (b *book) portMap() {
	b.Turn(b.in.Paper.Portrait())
	b.Title("Port map, node by node")
	words := "Nodes in the order of a walk around the drill. The big figure is the port, beside it the run that plugs into it."
	if b.in.Proof == nil {
		words += " Tick each port when its tube is on."
	} else {
		words += " The mark says what the walk found."
	}
	b.Paragraph(words)
	b.markLegend()
	if len(b.f.Nodes) == 0 {
		b.Paragraph("The fit has no nodes.")
	}
	for _, n := range b.f.Nodes {
		s, r := b.Area(min(cardMM(n), b.PageRoom())) // a node of more ports than any page holds is cut
		b.card(s, r, n)
	}
}

// markLegend explains the marks of the walk.
func (b *book) markLegend() {
	if b.in.Proof == nil {
		return
	}
	var used []drawing.State
	for _, v := range verdicts {
		if b.in.Proof.Count(v) > 0 {
			used = append(used, verdictState(v))
		}
	}
	s, r := b.Area(6)
	s.Legend(r, used, drawing.TextStyle{SizePT: 9})
	b.Space(2)
}

// The measures of a node's card [mm].
const (
	cardHead  = 13.0
	cellHigh  = 14.5
	cellsWide = 6
	cardFoot  = 4.5
)

// cardMM is the height of a node's card [mm].
func cardMM(n fit.Node) float64 {
	rows := (n.Ports + cellsWide - 1) / cellsWide
	return cardHead + float64(rows)*cellHigh + cardFoot
}

// card draws a node's card from the top left of r.
func (b *book) card(s *drawing.Sheet, r drawing.Rect, n fit.Node) {
	s.Group("node-"+n.Serial, "node "+n.Serial, func() {
		b.cardHead(s, r, n)
		byPort := map[int]fit.Link{}
		for _, l := range linksOf(b.f, n.Serial) {
			byPort[l.Port] = l
		}
		w := r.W / cellsWide
		for port := 1; port <= n.Ports; port++ {
			row, col := (port-1)/cellsWide, (port-1)%cellsWide
			cell := drawing.Rect{X: r.X + float64(col)*w, Y: r.Y + cardHead + float64(row)*cellHigh, W: w, H: cellHigh}
			l, used := byPort[port]
			b.portCell(s, cell, port, l, used)
		}
	})
}

// PortMap draws the cards of all nodes as one picture, as wide as asked [mm];
// 180 is the width of a page's. The marks are those of the proof, if there is one.
func PortMap(f *fit.Fit, proof *walk.Proof, widthMM float64) *drawing.Sheet {
	const margin = 5
	b := newBook(Input{Fit: f, Proof: proof})
	s := drawing.NewSheet(drawing.Size{WMM: widthMM, HMM: 2 * margin})
	s.Title = "Port map of " + views.NameOf(&f.Drill)
	for _, n := range f.Nodes {
		b.card(s, drawing.Rect{X: margin, Y: s.Size.HMM - margin, W: widthMM - 2*margin, H: cardMM(n)}, n)
		s.Size.HMM += cardMM(n)
	}
	return s
}

func (b *book) cardHead(s *drawing.Sheet, r drawing.Rect, n fit.Node) {
	big := drawing.TextStyle{SizePT: 24}.Bold()
	base := r.Y + cardHead - 3.2
	big = big.Shrink(n.Serial, r.W*0.4, 12)
	serial := big.Fit(n.Serial, r.W*0.4)
	s.Text(drawing.Point{X: r.X, Y: base}, serial, big)
	x := r.X + big.WidthMM(serial) + 4
	at := drawing.TextStyle{SizePT: 14}.Bold()
	s.Text(drawing.Point{X: x, Y: base}, "at head "+string(n.Head), at.In(drawing.Accent))
	name := ""
	for _, m := range b.nodes {
		if m.Serial == n.Serial {
			name = fmt.Sprintf("name “%s” · %s", m.Name, b.serves(m))
		}
	}
	st := drawing.TextStyle{SizePT: 9.5, Ink: drawing.Soft, Align: drawing.Right}
	room := r.Right() - x - at.WidthMM("at head "+string(n.Head)) - 4
	s.Text(drawing.Point{X: r.Right(), Y: base}, st.Fit(name, room), st)
}

func (b *book) serves(n namedNode) string {
	if len(n.Heads) == 0 {
		return "nothing plugged in"
	}
	heads := listing(n.Heads, func(h drill.HeadID) string { return string(h) })
	products := listing(n.Feeds, func(p drill.Product) string { return string(p.ID) })
	return fmt.Sprintf("%s of %d ports, %s of %s", strconv.Itoa(len(n.Links)), n.Ports, products, heads)
}

// portCell draws one port: its number in a dark box, the run and its row, and
// the mark of the walk or a box to tick.
func (b *book) portCell(s *drawing.Sheet, r drawing.Rect, port int, l fit.Link, used bool) {
	s.Rect(r, drawing.Thin, drawing.NoInk)
	tab := drawing.Rect{X: r.X, Y: r.Y, W: 8.5, H: r.H}
	number := drawing.TextStyle{SizePT: 16, Align: drawing.Centre}.Bold()
	if !used {
		s.Hatch([][]drawing.Point{tab.Corners()}, drawing.Rising, 1.6, drawing.Grid)
		s.Label(tab.Centre(), strconv.Itoa(port), number.In(drawing.Soft))
		s.Label(drawing.Point{X: tab.Right() + 2, Y: r.Centre().Y}, "cap", drawing.TextStyle{SizePT: 11, Ink: drawing.Soft})
		return
	}
	s.Rect(tab, drawing.Thin, drawing.Dark)
	s.Label(tab.Centre(), strconv.Itoa(port), number.In(drawing.Ground))
	run := b.runs[l.Run]
	x := tab.Right() + 1.8
	id := drawing.TextStyle{SizePT: 19}.Bold()
	s.Text(drawing.Point{X: x, Y: r.Y + 7.4}, string(l.Run), id.Shrink(string(l.Run), r.Right()-x-b.markWidth(l.Run), 9))
	small := drawing.TextStyle{SizePT: 8}
	s.Text(drawing.Point{X: x, Y: r.Bottom() - 2}, small.Fit(fmt.Sprintf("row %d · %s", run.Row, b.units.length(l.TubeM)), r.Right()-x-0.5), small)
	b.cellMark(s, drawing.Point{X: r.Right() - 3, Y: r.Y + 3.2}, l.Run)
}

var cellWord = drawing.TextStyle{SizePT: 6.5, Align: drawing.Right}

// markWidth is the width that a port's mark and its word take of the cell [mm].
func (b *book) markWidth(id drill.RunID) float64 {
	const box = 5.2
	if found, walked := b.found[id]; walked && found.Verdict != walk.AsPlanned {
		return max(box, cellWord.WidthMM(verdictState(found.Verdict).Word)+1.8)
	}
	return box
}

// cellMark draws what the walk found at a port, or a box to tick by hand.
func (b *book) cellMark(s *drawing.Sheet, at drawing.Point, id drill.RunID) {
	found, walked := b.found[id]
	if !walked {
		s.Rect(drawing.Rect{X: at.X - 1.7, Y: at.Y - 1.7, W: 3.4, H: 3.4}, drawing.Thin, drawing.NoInk)
		return
	}
	st := verdictState(found.Verdict)
	s.Mark(at, 3, st.Mark, st.Ink)
	if found.Verdict != walk.AsPlanned {
		s.Text(drawing.Point{X: at.X + 1.8, Y: at.Y + 4.2}, st.Word, cellWord)
	}
}
