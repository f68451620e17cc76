package dossier

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"runproof/drawing"
	"runproof/drawing/pdf"
	"runproof/drill"
	"runproof/measure"
	"runproof/season"
	"runproof/views"
)

// Season is a season's account and what its report needs to name things.
type Season struct {
	Drill  *drill.Drill
	Season *season.Document
	Paper  drawing.Paper
}

// WriteSeason makes the report of a season and writes it as PDF. The same
// season gives the same bytes.
func WriteSeason(w io.Writer, b Season) error { return pdf.Write(w, SeasonPages(b)) }

// seasonBook is a season's report in the making.
type seasonBook struct {
	pages
	Season
	doc *season.Document
}

// SeasonPages makes the report of a season: what stands out, runs by day, each
// head over the season, before and after repairs, and every place with a
// trouble.
func SeasonPages(in Season) *drawing.Book {
	info := drawing.Info{Title: "Season: " + views.NameOf(in.Drill), Subject: "Troubles over many days, what stands out, what repairs changed", Author: "Runproof"}
	b := &seasonBook{newPages(info, in.Paper, in.Drill.Display), in, in.Season}
	b.front()
	b.grid()
	b.heads()
	b.offenders()
	b.repairs()
	b.places()
	b.methods()
	return b.Close(fmt.Sprintf("Runproof season · %s · %s to %s", views.NameOf(in.Drill), dateOf(b.doc.Start), dateOf(b.doc.End)))
}

// dateOf is the date of a time of the log.
func dateOf(text string) string {
	date, _, _ := strings.Cut(text, "T")
	return date
}

// troubleState is how a trouble is shown.
func troubleState(t season.Trouble) drawing.State {
	switch t {
	case season.Flow:
		return drawing.State{Word: "flow", Ink: drawing.Vermillion, Mark: drawing.Square}
	case season.Supply:
		return drawing.State{Word: "supply", Ink: drawing.Sky, Mark: drawing.HalfDisc}
	}
	return drawing.State{Word: "sensing", Ink: drawing.Purple, Mark: drawing.Cross}
}

// troubleMeaning says what a trouble is.
func troubleMeaning(t season.Trouble) string {
	switch t {
	case season.Flow:
		return "runs blocked or restricted: hose and opener"
	case season.Supply:
		return "a head or product short: primary line, meter, tank"
	}
	return "readings gone or meaningless, nodes silent: sensor, tube, port, node"
}

func (b *seasonBook) front() {
	d := b.doc
	b.Styled("A season in one report", drawing.TextStyle{SizePT: 10, Ink: drawing.Soft})
	b.Title(views.NameOf(b.Drill))
	b.Styled(fmt.Sprintf("%s to %s, %s", dateOf(d.Start), dateOf(d.End), one(len(d.Days), "recording")), drawing.TextStyle{SizePT: 11}.Bold())
	b.Space(2)
	b.figures(b.facts())
	b.Heading("What to look at")
	b.look()
	b.Heading("The whole drill")
	b.whole()
	if len(d.Unread) > 0 {
		b.Heading("Recordings that were left out")
		for _, u := range d.Unread {
			b.Item("!", u.Why)
		}
	}
	if len(d.Notes) > 0 {
		b.Heading("To know")
	}
	for _, n := range d.Notes {
		b.Item("!", upperFirst(n)+".")
	}
}

// methods says how the figures were reached.
func (b *seasonBook) methods() {
	b.Heading("How the figures were reached")
	for _, m := range b.doc.Methods {
		b.Item("·", m)
	}
}

func (b *seasonBook) facts() []fact {
	d := b.doc
	touched, troubles := map[drill.RunID]bool{}, 0
	for _, l := range d.Runs {
		if l.Events > 0 {
			touched[l.Run] = true
		}
	}
	for _, l := range d.Whole {
		troubles += l.Count
	}
	return []fact{
		{"in work", hours(d.WorkHours)},
		{"travel in work", b.units.Format(measure.Distance, d.WorkMetres)},
		{"area worked", b.units.area(d.WorkHa * 1e4)},
		{"ground short of product", b.units.ground(d.SkipAreaM2)},
		{"troubles", fmt.Sprint(troubles)},
		{fmt.Sprintf("of %d runs had one", len(d.Runs)/2), fmt.Sprint(len(touched))},
		{"stand out", fmt.Sprint(len(d.Offenders))},
		{"grow worse", fmt.Sprint(len(d.Worse()))},
	}
}

// look is what a person should do something about, and what helped.
func (b *seasonBook) look() {
	n := 0
	item := func(sign, text string) { n++; b.Item(sign, text) }
	for _, o := range b.doc.Offenders {
		item("!", o.Says)
	}
	for _, l := range b.doc.Worse() {
		item("!", fmt.Sprintf("%s grows worse, %s: %s.", upperFirst(l.Place.String()), l.Trouble, halvesWords(l.Trend)))
	}
	for _, l := range b.doc.Better() {
		item("·", fmt.Sprintf("%s grew better, %s: %s.", upperFirst(l.Place.String()), l.Trouble, halvesWords(l.Trend)))
	}
	for _, r := range b.doc.Repairs {
		item("·", fmt.Sprintf("%s, %s: %s", r.Date, repairWords(r), r.Says))
	}
	if n == 0 {
		b.Paragraph("Nothing stands out from the rest beyond chance, and nothing grows worse.")
	}
}

func repairWords(r season.Aftermath) string {
	if r.What == "" {
		return "repaired"
	}
	return r.What
}

func halvesWords(t *season.Trend) string {
	return fmt.Sprintf("%d in the first half of the season's work, %d in the second (%s)", t.Early.Count, t.Late.Count, chanceWords(t.Adjusted))
}

// chanceWords writes a p without more digits than it has.
func chanceWords(p float64) string {
	if p < 0.001 {
		return "p < 0.001"
	}
	return fmt.Sprintf("p = %.2g", p)
}

// whole is the table of the drill's troubles.
func (b *seasonBook) whole() {
	t := drawing.Table{Stretch: true, Rules: true, Columns: []drawing.Column{
		{Title: "trouble"},
		{Title: "what"},
		{Title: "how often", Align: drawing.Right},
		{Title: "lasted", Align: drawing.Right},
		{Title: "in 10 h of work", Align: drawing.Right},
		{Title: "on 100 " + b.areaUnit(), Align: drawing.Right},
		{Title: "over the season"},
	}}
	for _, l := range b.doc.Whole {
		t.Rows = append(t.Rows, []drawing.Cell{
			drawing.StateCell(troubleState(l.Trouble)),
			{Text: troubleMeaning(l.Trouble)},
			{Text: fmt.Sprint(l.Count)},
			{Text: elapsed(l.LastedS)},
			{Text: rateWords(l.PerHour, 10)},
			{Text: rateWords(l.PerHa, b.per100())},
			trendCell(l.Trend),
		})
	}
	b.Table(t)
}

func (b *seasonBook) areaUnit() string { return b.units.Unit(measure.Area).Symbol() }

// per100 is how many hectares make 100 of the reader's unit.
func (b *seasonBook) per100() float64 { return 100 / b.units.Unit(measure.Area).Value(1e4) }

// rateWords writes a rate for so many units, with its interval.
func rateWords(r season.Rate, units float64) string {
	return fmt.Sprintf("%.2g (%.2g–%.2g)", r.Value*units, r.Low*units, r.High*units)
}

// The looks of a trend.
var (
	trendWorse  = drawing.State{Word: "grows worse", Ink: drawing.Vermillion, Mark: drawing.Triangle}
	trendBetter = drawing.State{Word: "grows better", Ink: drawing.Green, Mark: drawing.Tick}
	trendSteady = drawing.State{Word: "no trend beyond chance", Ink: drawing.Soft, Mark: drawing.Bar}
)

func trendCell(t *season.Trend) drawing.Cell {
	switch {
	case t == nil:
		return drawing.Cell{Text: "too few to tell"}
	case !t.Sure():
		return drawing.StateCell(trendSteady)
	}
	st := trendBetter
	if t.Z > 0 {
		st = trendWorse
	}
	return drawing.Cell{Text: st.Word + ", " + chanceWords(t.Adjusted), State: st}
}

// offenders is the table of what stands out.
func (b *seasonBook) offenders() {
	b.Turn(b.Paper.Landscape())
	b.Title("What stands out")
	if len(b.doc.Offenders) == 0 {
		b.Paragraph(fmt.Sprintf("%d places and troubles were looked at, and none stands out from the others of its kind beyond chance.", b.doc.Tested))
		return
	}
	b.Paragraph(fmt.Sprintf("%d places and troubles were looked at. Those below were in trouble more often than an equal rate of all places of their kind leaves to chance, also after allowing for having looked at all of them.", b.doc.Tested))
	t := drawing.Table{Stretch: true, Rules: true, Columns: []drawing.Column{
		{Title: "where", Bold: true},
		{Title: "trouble"},
		{Title: "had", Align: drawing.Right},
		{Title: "of all", Align: drawing.Right},
		{Title: "equal share", Align: drawing.Right},
		{Title: "times as often", Align: drawing.Right},
		{Title: "chance, corrected", Align: drawing.Right},
		{Title: "where to look first"},
	}}
	for _, o := range b.doc.Offenders {
		t.Rows = append(t.Rows, []drawing.Cell{
			{Text: o.Place.String()},
			drawing.StateCell(troubleState(o.Trouble)),
			{Text: fmt.Sprint(o.Count)},
			{Text: fmt.Sprintf("%d of %d %ss", o.Of, o.Among, o.Place.Of)},
			{Text: fmt.Sprintf("%.2g", o.Expected)},
			{Text: fmt.Sprintf("%.2g", o.Times)},
			{Text: chanceWords(o.Adjusted)},
			{Text: upperFirst(o.Look) + "."},
		})
	}
	b.Table(t)
}

// repairs is the picture and table of before and after.
func (b *seasonBook) repairs() {
	rs := b.doc.Repairs
	if len(rs) == 0 {
		return
	}
	b.Heading("Before and after each repair")
	for from := 0; from < len(rs); from += ratiosPerPicture {
		part := rs[from:min(len(rs), from+ratiosPerPicture)]
		s, r := b.Area(ratiosMM(len(part)))
		drawRatios(s, r, part)
		b.Space(2)
	}
	t := drawing.Table{Stretch: true, Rules: true, Columns: []drawing.Column{
		{Title: "date"},
		{Title: "where", Bold: true},
		{Title: "what was done"},
		{Title: "trouble"},
		{Title: "before", Align: drawing.Right},
		{Title: "after", Align: drawing.Right},
		{Title: "rate after / before", Align: drawing.Right},
		{Title: "the others'", Align: drawing.Right},
		{Title: "verdict"},
	}}
	for _, r := range rs {
		t.Rows = append(t.Rows, []drawing.Cell{
			{Text: dateOf(r.Date)},
			{Text: repairPlace(r)},
			{Text: r.What},
			drawing.StateCell(troubleState(r.Trouble)),
			{Text: spanWords(r.Before)},
			{Text: spanWords(r.After)},
			{Text: ratioText(r.Ratio, r.Low, r.High)},
			{Text: ratioText(r.Others.Ratio, r.Others.Low, r.Others.High)},
			repairVerdict(r),
		})
	}
	b.Table(t)
}

func repairPlace(r season.Aftermath) string {
	switch {
	case r.Run != "":
		return string(r.Run)
	case r.Head != "":
		return "head " + string(r.Head)
	}
	return "node " + r.Node
}

func spanWords(s season.Span) string { return fmt.Sprintf("%d in %s", s.Count, hours(s.Hours)) }

func ratioText(ratio *float64, low float64, high *float64) string {
	if ratio == nil && high == nil {
		return known(low > 0, fmt.Sprintf("above %.2g", low))
	}
	most := "…"
	if high != nil {
		most = fmt.Sprintf("%.2g", *high)
	}
	if ratio == nil {
		return fmt.Sprintf("%.2g–%s", low, most)
	}
	return fmt.Sprintf("%.2g (%.2g–%s)", *ratio, low, most)
}

// repairVerdict says whether it helped.
func repairVerdict(r season.Aftermath) drawing.Cell {
	switch {
	case r.Before.Days == 0 || r.After.Days == 0:
		return drawing.StateCell(drawing.State{Word: "nothing to compare", Ink: drawing.Soft, Mark: drawing.Ring})
	case r.Helped():
		return drawing.StateCell(drawing.State{Word: "helped", Ink: drawing.Green, Mark: drawing.Tick})
	case r.Harmed():
		return drawing.StateCell(drawing.State{Word: "worse", Ink: drawing.Vermillion, Mark: drawing.Triangle})
	}
	return drawing.StateCell(drawing.State{Word: "may be chance", Ink: drawing.Soft, Mark: drawing.Bar})
}

// places lists every head, node and run that had a trouble.
func (b *seasonBook) places() {
	b.Turn(b.Paper.Landscape())
	b.Title("Every place with a trouble")
	for _, part := range []struct {
		name  string
		lines []season.Line
	}{{"Runs", b.doc.Runs}, {"Heads", b.doc.Heads}, {"Nodes", b.doc.Nodes}, {"Products", b.doc.Products}} {
		busy := slices.DeleteFunc(slices.Clone(part.lines), func(l season.Line) bool { return l.Events == 0 })
		if len(busy) > 0 {
			b.Heading(part.name)
			b.placeTable(busy)
		}
	}
}

func (b *seasonBook) placeTable(lines []season.Line) {
	t := drawing.Table{Stretch: true, Text: drawing.TextStyle{SizePT: 8.5}, Columns: []drawing.Column{
		{Title: "where", Bold: true},
		{Title: "trouble"},
		{Title: "how often", Align: drawing.Right},
		{Title: "on days", Align: drawing.Right},
		{Title: "lasted", Align: drawing.Right},
		{Title: "travel", Align: drawing.Right},
		{Title: "short of product", Align: drawing.Right},
		{Title: "watched", Align: drawing.Right},
		{Title: "in 10 h of work", Align: drawing.Right},
		{Title: "on 100 " + b.areaUnit(), Align: drawing.Right},
		{Title: "over the season"},
	}}
	for _, l := range lines {
		t.Rows = append(t.Rows, []drawing.Cell{
			{Text: l.Place.String()},
			drawing.StateCell(troubleState(l.Trouble)),
			{Text: fmt.Sprint(l.Count)},
			{Text: fmt.Sprint(l.Days)},
			{Text: elapsed(l.LastedS)},
			{Text: b.units.travel(l.Metres)},
			{Text: known(l.AreaM2 > 0, b.units.ground(l.AreaM2))},
			{Text: hours(l.Hours)},
			{Text: rateWords(l.PerHour, 10)},
			{Text: rateWords(l.PerHa, b.per100())},
			trendCell(l.Trend),
		})
	}
	b.Table(t)
}
