package offer

import (
	"fmt"
	"io"
	"strings"

	"runproof/drawing"
	"runproof/drawing/pdf"
	"runproof/fit"
	"runproof/measure"
	"runproof/parts"
)

// Input is what a quote is made from.
type Input struct {
	Fit      *fit.Fit
	Kit      parts.Kit
	Settings Settings
	Paper    drawing.Paper
}

// Totals are what the quote comes to.
func (in Input) Totals() Totals {
	_, t := in.positions()
	return t
}

func (in Input) positions() ([]position, Totals) {
	return positions(in.Kit, in.Settings, len(in.Fit.Nodes), len(in.Fit.Map))
}

// Write makes the quote and writes it as PDF. The same input gives the same
// bytes.
func Write(w io.Writer, in Input) error { return pdf.Write(w, Quote(in)) }

// quote is one in the making.
type quote struct {
	*drawing.Flow
	in Input
	s  Settings
}

const (
	marginMM = 18.0
	smallPT  = 8.5
)

// Quote lays out the quote: dealer, customer, drill, lines by heading, sums,
// terms, signatures.
func Quote(in Input) *drawing.Book {
	title := "Quote"
	if n := in.Settings.Quote.Number; n != "" {
		title += " " + n
	}
	q := &quote{drawing.NewFlow(drawing.Info{Title: title, Subject: "Seed-flow sensing", Author: in.Settings.Dealer.Name}, in.Paper.Portrait(), marginMM), in, in.Settings}
	q.letterhead()
	q.subject(title)
	lines, t := in.positions()
	q.lines(lines)
	q.totals(t)
	q.terms(t)
	q.signatures()
	return q.Close(strings.Join(nonEmpty(in.Settings.Dealer.Name, title), " · "))
}

func nonEmpty(texts ...string) []string {
	var some []string
	for _, t := range texts {
		if strings.TrimSpace(t) != "" {
			some = append(some, t)
		}
	}
	return some
}

// letterhead is the dealer's own.
func (q *quote) letterhead() {
	q.Styled(q.s.Dealer.Name, drawing.TextStyle{SizePT: 18}.Bold())
	small := drawing.TextStyle{SizePT: smallPT, Ink: drawing.Soft}
	q.Styled(strings.Join(nonEmpty(append(append([]string{}, q.s.Dealer.Address...), q.s.Dealer.Phone, q.s.Dealer.Email)...), " · "), small)
	if q.s.Dealer.TaxID != "" {
		q.Styled(q.s.Dealer.TaxID, small)
	}
	s, r := q.Area(4)
	s.Line(drawing.Point{X: r.X, Y: r.Y + 2}, drawing.Point{X: r.Right(), Y: r.Y + 2}, drawing.Thin)
	q.Space(3)
}

// subject is whom the quote goes to, and for which drill it is.
func (q *quote) subject(title string) {
	if c := q.s.Customer; c.Name != "" {
		q.Styled(c.Name, drawing.TextStyle{SizePT: 11}.Bold())
		for _, l := range nonEmpty(append(append([]string{}, c.Address...), c.Phone, c.Email)...) {
			q.Styled(l, drawing.TextStyle{SizePT: 10})
		}
		q.Space(5)
	}
	q.Title(title)
	var facts []string
	if d := q.s.Quote.Date; d != "" {
		facts = append(facts, "Date: "+d)
	}
	if v := q.s.validUntil(); v != "" {
		facts = append(facts, "valid until "+v)
	}
	if len(facts) > 0 {
		q.Paragraph(strings.Join(facts, ", ") + ".")
	}
	q.Paragraph(drillWords(q.in.Fit))
}

// drillWords is the drill in a sentence, in its own units.
func drillWords(f *fit.Fit) string {
	d := &f.Drill
	name := ""
	if d.Name != "" {
		name = d.Name + ": "
	}
	return fmt.Sprintf("%sseed-flow sensing for an air drill of %d rows at %s, %s wide, %d heads; %d runs sensed by %d nodes.",
		name, d.Rows.Count, d.Display.Format(measure.ShortLength, d.Rows.SpacingM), d.Display.Format(measure.Length, d.WidthM()), len(d.Heads), len(f.Map), len(f.Nodes))
}

const onRequest = "on request"

func (q *quote) lines(lines []position) {
	for i := 0; i < len(lines); {
		j := i
		for j < len(lines) && lines[j].group == lines[i].group {
			j++
		}
		q.Heading(lines[i].group)
		q.Table(q.table(lines[i:j]))
		i = j
	}
}

func (q *quote) table(lines []position) drawing.Table {
	amount := "amount"
	if q.s.Currency != "" {
		amount += " " + q.s.Currency
	}
	t := drawing.Table{Stretch: true, Rules: true, Columns: []drawing.Column{
		{Title: "number", Align: drawing.Right, WidthMM: 18},
		{Title: "", WidthMM: 9},
		{Title: "what", WidthMM: q.Width() - 18 - 9 - 26 - 30},
		{Title: "each", Align: drawing.Right, WidthMM: 26},
		{Title: amount, Align: drawing.Right, WidthMM: 30},
	}}
	for _, p := range lines {
		each, sum := p.each.String(), p.sum.String()
		if p.unpriced {
			each, sum = "", onRequest
		}
		t.Rows = append(t.Rows, drawing.Cells(strings.TrimSuffix(fmt.Sprintf("%.2f", p.pieces), ".00"), p.unit, p.name, each, sum))
	}
	return t
}

func (q *quote) totals(t Totals) {
	q.Space(3)
	rows := [][2]string{{"Parts", cents(t.Parts).String()}}
	if t.Labour != 0 {
		rows = append(rows, [2]string{"Labour", cents(t.Labour).String()})
	}
	if q.s.Tax.Percent > 0 {
		if t.Labour != 0 {
			rows = append(rows, [2]string{"Before tax", cents(t.Parts + t.Labour).String()})
		}
		name := q.s.Tax.Name
		if name == "" {
			name = "Tax"
		}
		rows = append(rows, [2]string{fmt.Sprintf("%s, %g %%", name, q.s.Tax.Percent), cents(t.Tax).String()})
	}
	total := drawing.Table{Text: drawing.TextStyle{SizePT: 10.5}, Columns: []drawing.Column{{Title: "together", WidthMM: q.Width() - 45}, {Title: q.s.Currency, Align: drawing.Right, WidthMM: 45}}}
	for _, r := range rows {
		total.Rows = append(total.Rows, drawing.Cells(r[0], r[1]))
	}
	last := drawing.Cells(strings.TrimSpace("Total "+q.s.Currency), cents(t.Total).String())
	last[0].Bold, last[1].Bold = true, true
	total.Rows = append(total.Rows, last)
	q.Need(q.TableMM(total) + 4)
	q.Table(total)
	if t.Unpriced > 0 {
		q.Paragraph(fmt.Sprintf("%d of the lines have no price yet and are not in the total.", t.Unpriced))
	}
}

func (q *quote) terms(t Totals) {
	q.Space(3)
	for _, p := range q.s.Terms {
		q.Paragraph(p)
	}
	q.Styled("Work on the machine follows the machine maker's books and local codes; what the law keeps for licensed trades is left to them.", drawing.TextStyle{SizePT: smallPT, Ink: drawing.Soft})
}

func (q *quote) signatures() {
	const high = 24.0
	q.Need(high)
	s, r := q.Area(high)
	w := (r.W - 10) / 2
	for i, who := range []string{q.s.Dealer.Name, "Accepted, " + known(q.s.Customer.Name, "customer")} {
		x := r.X + float64(i)*(w+10)
		s.Line(drawing.Point{X: x, Y: r.Y + 17}, drawing.Point{X: x + w, Y: r.Y + 17}, drawing.Thin)
		st := drawing.TextStyle{SizePT: smallPT, Ink: drawing.Soft}
		s.Text(drawing.Point{X: x, Y: r.Y + 21}, st.Fit(who+", date", w), st)
	}
}

func known(text, other string) string {
	if strings.TrimSpace(text) == "" {
		return other
	}
	return text
}
