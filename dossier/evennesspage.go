package dossier

import (
	"fmt"
	"io"

	"runproof/drawing"
	"runproof/drawing/pdf"
	"runproof/drill"
	"runproof/evenness"
	"runproof/fit"
	"runproof/views"
)

// EvennessDay is what the counts of a day say of evenness, and what its pages
// need to name things.
type EvennessDay struct {
	Fit       *fit.Fit
	Evenness  *evenness.FieldDay
	Recording string // the log's file name, as the reader knows it
	Paper     drawing.Paper
}

// WriteEvenness makes the pages of a day's evenness and writes them as PDF. The
// same day gives the same bytes.
func WriteEvenness(w io.Writer, day EvennessDay) error { return pdf.Write(w, EvennessPages(day)) }

// EvennessPages makes the pages of a day's evenness, as they also stand in the
// report of a reviewed day.
func EvennessPages(day EvennessDay) *drawing.Book {
	name := views.NameOf(&day.Fit.Drill)
	info := drawing.Info{Title: "Evenness: " + name, Subject: "How even the drill was across its width, from counts", Author: "Runproof"}
	b := newPages(info, day.Paper, day.Fit.Drill.Display)
	b.evenness(day)
	return b.Close(fmt.Sprintf("Runproof evenness · %s · %s", name, day.Recording))
}

// evenness is the chapter of the report; nothing where it was not reckoned.
func (r *report) evenness() {
	if r.day.Evenness == nil {
		return
	}
	r.Turn(r.day.Paper.Portrait())
	r.pages.evenness(EvennessDay{Fit: r.day.Fit, Evenness: r.day.Evenness, Recording: r.day.Recording})
}

func (b pages) evenness(day EvennessDay) {
	for i := range day.Evenness.Products {
		if i > 0 {
			b.NewPage()
		}
		b.evennessOf(day, &day.Evenness.Products[i])
	}
	if len(day.Evenness.Siblings) > 0 {
		b.Need(40)
		b.Heading("Blocked fertiliser runs")
		b.Paragraph("What a blocked run does not take goes to the others of its head. Near the seed that can be more than is safe. Local advice, soil and moisture come before any table.")
		b.siblingRises(day.Evenness.Siblings)
	}
}

func (b pages) evennessOf(day EvennessDay, p *evenness.ProductField) {
	from := "from counts, each over the gain of its sensor"
	if p.CV == nil {
		from = "only changes of each run over the day"
	}
	b.Styled(from, drawing.TextStyle{SizePT: 10, Ink: drawing.Soft})
	b.Title("Evenness across the width: " + productNamed(p.Product, p.Material))
	b.figures(evennessFacts(p))
	b.Space(1)
	if p.CV == nil {
		b.warn("No CV across runs. " + p.WhyNo)
	}
	rows := day.Fit.Drill.Rows.Count
	plotMM, says := 62.0, p.Says
	if p.CV != nil {
		plotMM = 42 // so that both pictures and what they say stand on one page
	} else {
		says = says[min(1, len(says)):] // the warning says the first
	}
	if bars := deviationBars(day.Fit, p); len(bars) > 0 {
		b.Heading("From the mean of all runs")
		s, area := b.Area(plotMM)
		rowBars{bars: bars, rows: rows, title: "from the mean [%]", plain: inLine, odd: outOfLine}.draw(s, area)
	}
	if bars := changeBars(day.Fit, p); len(bars) > 0 {
		b.Need(plotMM + 25)
		b.Heading("Change over the day")
		b.Paragraph("How each run's part of its head's counts went from the first third of the work to the last; the line is the 95 % interval. A sensor's gain cancels here as long as it stays: a run that falls while its siblings rise passes less product or hears less of it.")
		s, area := b.Area(plotMM)
		rowBars{bars: bars, rows: rows, title: "change of its part [%]", plain: unchanged, odd: changed}.draw(s, area)
	}
	for _, r := range p.Remarks {
		b.warn(upperFirst(r) + ".")
	}
	if len(says) > 0 {
		b.Heading("What it says")
	}
	for _, line := range says {
		b.Item("·", line)
	}
	b.bands(p.Bands)
}

// How runs that changed over the day look, and those that did not.
var (
	unchanged = drawing.State{Word: "no change for certain", Ink: drawing.Rule}
	changed   = drawing.State{Word: "changed by a tenth or more, for certain", Ink: drawing.Vermillion, Hatch: drawing.Rising, Mark: drawing.Triangle}
)

// evennessFacts are the figures at the top.
func evennessFacts(p *evenness.ProductField) []fact {
	used := []fact{
		{"steady work used", fmt.Sprintf("%.0f min", p.SteadyS/60)},
		{"runs changed over the day", fmt.Sprintf("%d of %d", p.Changed, len(p.Runs))},
	}
	if p.CV == nil {
		return append([]fact{{"CV between runs", "not known"}, {"left out: something was wrong", fmt.Sprintf("%.0f min", p.FaultS/60)}}, used...)
	}
	return append(append([]fact{{"CV between runs", cvPercent(p.CV.Value)}, {"its 95 % interval", intervalWords(*p.CV)}}, used...),
		fact{"seen in counts over gains", cvPercent(p.Parts.Seen.Value)},
		fact{"of that chance in the counts", cvPercent(p.Parts.Floor)},
		fact{"of that error of the gains", cvPercent(p.Parts.Gain)},
		fact{"runs with a gain that holds", fmt.Sprintf("%d of %d", p.Parts.Runs, p.Parts.Of)})
}

// deviationBars are the runs that have a deviation, by gains.
func deviationBars(f *fit.Fit, p *evenness.ProductField) []rowBar {
	odd := oddOnes(p.OutOfLine)
	return fieldBars(f, p, func(r evenness.RunField) (*evenness.Estimate, bool) { return r.Deviation, odd[r.Run] })
}

func changeBars(f *fit.Fit, p *evenness.ProductField) []rowBar {
	return fieldBars(f, p, func(r evenness.RunField) (*evenness.Estimate, bool) { return r.Change, r.ChangedForSure() })
}

func fieldBars(f *fit.Fit, p *evenness.ProductField, of func(evenness.RunField) (*evenness.Estimate, bool)) (bars []rowBar) {
	by := map[drill.RunID]evenness.RunField{}
	for _, r := range p.Runs {
		by[r.Run] = r
	}
	for _, run := range f.Drill.Runs() {
		r, ok := by[run.ID]
		if !ok {
			continue
		}
		if e, odd := of(r); e != nil {
			bars = append(bars, rowBar{row: run.Row, run: run.ID, head: run.Head, dev: e.Value, low: e.Low, high: e.High, odd: odd})
		}
	}
	return bars
}
