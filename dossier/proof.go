package dossier

import (
	"fmt"

	"runproof/drawing"
	"runproof/drill"
	"runproof/fit"
	"runproof/walk"
)

// proof is what the yard walk found, run by run.
func (b *book) proof() {
	b.NewPage()
	b.Title("Proof: which hose reports where")
	p := b.in.Proof
	if p == nil {
		b.unproved()
		return
	}
	b.proofCounts(p)
	b.attention(p)
	b.moves(p)
	b.workColumn(p)
	b.asPlanned(p)
	for _, n := range p.Notes {
		b.Item("·", n)
	}
}

// unproved says how the proof is made and gives a list to walk by.
func (b *book) unproved() {
	b.Paragraph("The map has not been proved yet. With product flowing, pinch each hose shut for some seconds, one after the other in the order below, while the counts are recorded; note the time of each. Then: runproof prove FIT WALK --marks MARKS -o proof.json")
	if len(b.f.Map) == 0 {
		return
	}
	b.Space(2)
	b.Columns(3)
	t := drawing.Table{Columns: []drawing.Column{{Title: "run", Bold: true}, {Title: "row", Align: drawing.Right}, {Title: "node:port"}, {Title: "time"}}, Stretch: true, Rules: true}
	for _, l := range b.f.Map {
		t.Rows = append(t.Rows, drawing.Cells(string(l.Run), fmt.Sprint(b.runs[l.Run].Row), l.Ref().String(), ""))
	}
	b.Table(t)
	b.Columns(1)
}

// proofCounts shows how many runs have each verdict.
func (b *book) proofCounts(p *walk.Proof) {
	var cs []counter
	for _, v := range verdicts {
		if n := p.Count(v); n > 0 {
			cs = append(cs, counter{n, verdictState(v)})
		}
	}
	b.counters(cs)
	words := fmt.Sprintf("Walked by %s.", p.Method)
	if p.ClockOffsetS != nil {
		words += " The recorder's clock was " + clockWords(*p.ClockOffsetS) + " the notes'"
		if p.Clock != nil {
			words += fmt.Sprintf(" (standard error %.2f s)", p.Clock.StandardErrorS)
		}
		words += "."
	}
	b.Paragraph(words)
}

func clockWords(offsetS float64) string {
	if offsetS < 0 {
		return fmt.Sprintf("%.1f s behind", -offsetS)
	}
	return fmt.Sprintf("%.1f s ahead of", offsetS)
}

// attention lists every run that is not as planned, with the reason.
func (b *book) attention(p *walk.Proof) {
	runs := b.notAsPlanned()
	if len(runs) == 0 {
		b.Paragraph(allAnswered(p))
		return
	}
	b.Heading(one(len(runs), "run") + " to look at")
	t := drawing.Table{Stretch: true, Columns: []drawing.Column{
		{Title: "run", Bold: true}, {Title: "verdict"}, {Title: "planned"}, {Title: "answered on"}, {Title: "sure", Align: drawing.Right}, {Title: "why"},
	}}
	for _, r := range runs {
		t.Rows = append(t.Rows, []drawing.Cell{
			{Text: string(r.Run)},
			drawing.StateCell(verdictState(r.Verdict)),
			{Text: r.Planned.String()},
			{Text: answeredOn(r)},
			{Text: sure(r.Confidence)},
			{Text: r.Reason},
		})
	}
	b.Table(t)
}

func answeredOn(r walk.Run) string {
	if r.Found == nil {
		return "–"
	}
	ports := append([]fit.PortRef{*r.Found}, r.Also...)
	return listing(ports, fit.PortRef.String)
}

// sure writes a probability in percent; it never rounds up to certainty.
func sure(p float64) string {
	switch {
	case p >= 1:
		return "100 %"
	case p > 0.999:
		return "> 99.9 %"
	}
	return fmt.Sprintf("%.1f %%", 100*p)
}

func (b *book) moves(p *walk.Proof) {
	if len(p.Moves) == 0 {
		return
	}
	b.Heading("The fewest moves that restore the plan")
	for i, m := range p.Moves {
		b.Item(fmt.Sprintf("%d ☐", i+1), m.Words)
	}
}

// workColumn says what the walk tells of the work-state switch; nothing where
// the recording has no work column.
func (b *book) workColumn(p *walk.Proof) {
	w := p.WorkState
	if w == nil {
		return
	}
	heading := "Work-state switch"
	if w.Verdict.Attention() {
		heading += " to look at"
	}
	b.Heading(heading)
	b.Paragraph(w.Words)
}

// asPlanned lists the good runs, head by head, in short.
func (b *book) asPlanned(p *walk.Proof) {
	outlets := map[drill.HeadID][]int{}
	for _, r := range p.Runs {
		if r.Verdict == walk.AsPlanned {
			run := b.runs[r.Run]
			outlets[run.Head] = append(outlets[run.Head], run.Outlet)
		}
	}
	if len(outlets) == 0 {
		return
	}
	b.Heading("Proved as planned")
	t := drawing.Table{Columns: []drawing.Column{{Title: "head", Bold: true}, {Title: "product"}, {Title: "outlets"}, {Title: "runs", Align: drawing.Right}}}
	for _, id := range drill.HeadOrder(b.d) {
		if n := outlets[id]; len(n) > 0 {
			h, _ := b.d.Head(id)
			t.Rows = append(t.Rows, drawing.Cells(string(id), string(h.Product), rangesOf(sorted(n)), fmt.Sprint(len(n))))
		}
	}
	b.Table(t)
}

// allAnswered says that nothing is left to look at.
func allAnswered(p *walk.Proof) string {
	if p.AllAsPlanned() {
		return "Every sensed run answered on its own port."
	}
	return "Every run that was walked answered on its own port; runs closed on purpose were not walked."
}
