package dossier

import (
	"fmt"
	"io"
	"math"
	"strings"

	"runproof/drawing"
	"runproof/drawing/pdf"
	"runproof/drill"
	"runproof/evenness"
	"runproof/fit"
	"runproof/views"
)

// CatchDay is a catch test and what its pages need to name things.
type CatchDay struct {
	Fit   *fit.Fit
	Catch *evenness.Catch
	Gains *evenness.Gains // nil = not calibrated
	Paper drawing.Paper
}

// WriteCatch makes the pages of a catch test and writes them as PDF. The same
// test gives the same bytes.
func WriteCatch(w io.Writer, day CatchDay) error { return pdf.Write(w, CatchPages(day)) }

// catchBook is a catch test's pages in the making.
type catchBook struct {
	pages
	day CatchDay
}

// CatchPages makes the pages of a catch test: for each product the figures, a
// bar for each run across the width, the heads seen from above, and the masses.
func CatchPages(day CatchDay) *drawing.Book {
	d := &day.Fit.Drill
	info := drawing.Info{Title: "Catch test: " + views.NameOf(d), Subject: "Evenness across the width, from weighed bags", Author: "Runproof"}
	b := &catchBook{newPages(info, day.Paper, d.Display), day}
	for i := range day.Catch.Products {
		if i > 0 {
			b.NewPage()
		}
		b.product(&day.Catch.Products[i])
	}
	b.siblings()
	if day.Gains != nil {
		b.gains()
	}
	foot := "Runproof catch test · " + views.NameOf(d)
	if day.Catch.Day != "" {
		foot += " · " + day.Catch.Day
	}
	return b.Close(foot)
}

func (b *catchBook) product(p *evenness.ProductCatch) {
	b.Styled("Evenness across the width, from weighed bags", drawing.TextStyle{SizePT: 10, Ink: drawing.Soft})
	b.Title(fmt.Sprintf("%s: %s", views.NameOf(&b.day.Fit.Drill), productNamed(p.Product, p.Material)))
	b.figures(catchFacts(p, b.units))
	b.Space(1)
	s, area := b.Area(66)
	catchRowBars(p, b.day.Fit.Drill.Rows.Count).draw(s, area)
	for _, r := range p.Remarks {
		b.warn(upperFirst(r) + ".")
	}
	b.Heading("What it says")
	for _, line := range p.Says {
		b.Item("·", line)
	}
	b.bands(p.Bands)
	b.patterns(p)
	b.headCircles(p)
	b.masses(p)
}

func productNamed(id drill.ProductID, material string) string {
	if material == "" {
		return string(id)
	}
	return fmt.Sprintf("%s (%s)", id, material)
}

// catchFacts are the figures at the top.
func catchFacts(p *evenness.ProductCatch, u units) []fact {
	facts := []fact{
		{"CV of the runs", cvPercent(p.CV.Value)},
		{"its 95 % interval", intervalWords(p.CV)},
		{"between runs, repeat scatter off", "not known"},
		{"one bag, repeat to repeat", "not known"},
		{"runs weighed", fmt.Sprint(len(p.Runs))},
		{"repeats", fmt.Sprint(len(p.Repeats))},
		{"mean of a run and repeat", u.smallMass(p.MeanG)},
		{"runs out of line", fmt.Sprint(len(p.OutOfLine))},
	}
	if e := p.Parts.Between; e != nil {
		facts[2].value = cvPercent(e.Value)
	}
	if e := p.Parts.Repeat; e != nil {
		facts[3].value = cvPercent(e.Value)
	}
	return facts
}

func cvPercent(cv float64) string { return fmt.Sprintf("%.2f %%", 100*cv) }

func intervalWords(e evenness.Estimate) string {
	switch {
	case e.Low == nil:
		return "not known"
	case e.High == nil:
		return fmt.Sprintf("from %.2f %%", 100**e.Low)
	}
	return fmt.Sprintf("%.2f to %.2f %%", 100**e.Low, 100**e.High)
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// bands names the band on each published scale: words, and no judgement.
func (b pages) bands(bands []evenness.Band) {
	if len(bands) == 0 {
		return
	}
	b.Heading("On published scales")
	b.Paragraph("The scales come from different worlds, bench and yard, narrow and wide machines. The program names the band and passes no judgement.")
	for _, band := range bands {
		b.Item("·", band.Sentence()+". Source: "+band.Source+".")
	}
}

// masses lists every bag.
func (b *catchBook) masses(p *evenness.ProductCatch) {
	b.Heading("Every run")
	b.Paragraph("Mass of each bag in grams, under the number of its repeat; the mean at the length of an average repeat with half the width of its 95 % interval; what the run gives more or less than the mean of all runs.")
	t := drawing.Table{Text: drawing.TextStyle{SizePT: 8.5}, Columns: []drawing.Column{{Title: "run", Bold: true}, {Title: "row", Align: drawing.Right}}}
	for _, r := range p.Repeats {
		t.Columns = append(t.Columns, drawing.Column{Title: fmt.Sprint(r.Repeat), Align: drawing.Right})
	}
	t.Columns = append(t.Columns, drawing.Column{Title: "mean", Align: drawing.Right}, drawing.Column{Title: "±", Align: drawing.Right}, drawing.Column{Title: "of mean", Align: drawing.Right})
	for _, r := range p.Runs {
		row := []string{string(r.Run), fmt.Sprint(r.Row)}
		for _, g := range r.Grams {
			row = append(row, gramsOr(g))
		}
		row = append(row, gramsOr(&r.MeanG.Value), halfWidth(r.MeanG), signedPercent(r.Deviation))
		t.Rows = append(t.Rows, drawing.Cells(row...))
	}
	if len(p.Repeats) > 3 {
		b.Table(t)
		return
	}
	t.Stretch = true
	b.abreast(t, 2)
}

// signedPercent writes a part with its sign, and no minus before a zero.
func signedPercent(part float64) string {
	s := fmt.Sprintf("%+.1f %%", 100*part)
	return strings.Replace(s, "-0.0 %", "+0.0 %", 1)
}

// halfWidth is half of an interval in grams.
func halfWidth(e evenness.Estimate) string {
	if e.High == nil {
		return "–"
	}
	return fmt.Sprintf("%.1f", *e.High-e.Value)
}

func gramsOr(g *float64) string {
	if g == nil {
		return "–"
	}
	return fmt.Sprintf("%.1f", *g)
}

// siblings says what one blocked fertiliser run does to the others.
func (b *catchBook) siblings() {
	all := b.day.Catch.Siblings
	if len(all) == 0 {
		return
	}
	b.Need(40)
	b.Heading("One blocked fertiliser run")
	b.Paragraph("What a blocked run does not take goes to the others of its head. Near the seed that can be more than is safe. Local advice, soil and moisture come before any table.")
	b.siblingRises(all)
}

func (b pages) siblingRises(all []evenness.SiblingRise) {
	for _, s := range all {
		if s.Rest == evenness.Past {
			b.warn(s.Words)
			continue
		}
		b.Item("·", s.Words)
	}
}

// gains lists what each sensor counts.
func (b *catchBook) gains() {
	b.Need(40)
	b.Heading("What the sensors count")
	for _, p := range b.day.Gains.Products {
		unit := "particle"
		if p.TKWG == 0 {
			unit = "gram"
		}
		text := fmt.Sprintf("%s: %.4g counts per %s on average over %d runs", p.Product, p.MeanGain, unit, len(p.Runs))
		if p.SpreadCV != nil {
			text += fmt.Sprintf("; from sensor to sensor they differ by %s (CV)", cvPercent(*p.SpreadCV))
		}
		if p.RepeatSD != nil {
			text += fmt.Sprintf("; one sensor repeats within %s", cvPercent(*p.RepeatSD))
		}
		b.Need(35)
		b.Paragraph(text + ". A gain is void once its run is moved to another port or its sensor is changed. Rel. %: of the mean gain.")
		t := drawing.Table{Text: drawing.TextStyle{SizePT: 8}, Stretch: true, Columns: []drawing.Column{{Title: "run", Bold: true}, {Title: "node:port"}, {Title: "gain", Align: drawing.Right}, {Title: "± sd %", Align: drawing.Right}, {Title: "rel. %", Align: drawing.Right}}}
		decimals := min(6, max(0, 3-int(math.Floor(math.Log10(max(p.MeanGain, 1e-6))))))
		for _, g := range p.Runs {
			t.Rows = append(t.Rows, drawing.Cells(string(g.Run), fmt.Sprintf("%s:%d", g.Node, g.Port), fmt.Sprintf("%.*f", decimals, g.Gain.Value), fmt.Sprintf("%.1f", 100*g.SD/g.Gain.Value), fmt.Sprintf("%.0f", 100*g.Relative)))
		}
		b.abreast(t, 3)
		for _, w := range p.Without {
			b.Item("!", fmt.Sprintf("%s: %s.", w.Run, w.Why))
		}
		for _, r := range p.Remarks {
			b.Item("!", upperFirst(r)+".")
		}
	}
}

// headRuns are the runs of one head of the test, by outlet.
func headRuns(p *evenness.ProductCatch, h drill.HeadID) []evenness.RunCatch {
	var out []evenness.RunCatch
	for _, r := range p.Runs {
		if r.Head == h {
			out = append(out, r)
		}
	}
	return out
}
