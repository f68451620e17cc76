package dossier

import "runproof/drawing"

// signOff is the page that is filled in by hand when the drill is handed over.
func (b *book) signOff() {
	b.NewPage()
	b.Title("Hand-over and sign-off")
	b.Heading("Done differently from this book")
	b.Paragraph("Write down every change, however small: the next person works from this page.")
	b.ruled(8)
	b.Heading("Tried together before hand-over")
	for _, text := range []string{
		"Every node is found and every sensor counts while product flows.",
		"Raising the drill stops the alarms, lowering it starts them: the work-state switch is the right way round.",
		"One hose of each head was pinched shut: the alarm named the right run within the time on the key-in sheet.",
		"One section was shut off on purpose: no alarm.",
		"Harness and hoses are clear when the wings fold and unfold and when the drill is raised.",
		"Spare sensors, tube and caps, and a copy of this book, stay with the drill.",
	} {
		b.Item("☐", text)
	}
	b.signatures()
}

// ruled draws n lines to write on.
func (b *book) ruled(n int) {
	for range n {
		s, r := b.Area(8)
		s.Line(drawing.Point{X: r.X, Y: r.Bottom()}, drawing.Point{X: r.Right(), Y: r.Bottom()}, drawing.Grid)
	}
	b.Space(2)
}

func (b *book) signatures() {
	b.Space(4)
	const high = 26.0
	s, r := b.Area(high)
	label := drawing.TextStyle{SizePT: 8, Ink: drawing.Soft}
	for i, who := range []string{"for the technician", "for the owner of the drill"} {
		box := drawing.Rect{X: r.X + float64(i)*(r.W/2+2), Y: r.Y, W: r.W/2 - 2, H: high}
		s.Text(box.Corners()[0].Add(0, 4), who, drawing.TextStyle{SizePT: 10}.Bold())
		y := box.Bottom() - 5
		split := box.X + box.W*0.68
		s.Line(drawing.Point{X: box.X, Y: y}, drawing.Point{X: split - 3, Y: y}, drawing.Thin)
		s.Line(drawing.Point{X: split, Y: y}, drawing.Point{X: box.Right(), Y: y}, drawing.Thin)
		s.Text(drawing.Point{X: box.X, Y: y + 3.8}, "name and signature", label)
		s.Text(drawing.Point{X: split, Y: y + 3.8}, "date", label)
	}
}
