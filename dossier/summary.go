package dossier

import (
	"fmt"
	"slices"
	"strings"

	"runproof/alarm"
	"runproof/check"
	"runproof/drawing"
	"runproof/views"
	"runproof/walk"
)

// summary is the first page: the drill in figures, where the work stands, what
// the book was made from, and its contents.
func (b *book) summary() contents {
	b.Styled("Dossier of the seed-flow sensing", drawing.TextStyle{SizePT: 10, Ink: drawing.Soft})
	b.Title(views.NameOf(b.d))
	b.Styled(fmt.Sprintf("Fit, revision %d", b.f.Revision), drawing.TextStyle{SizePT: 11}.Bold())
	b.Space(3)
	b.figures([]fact{
		{"rows", fmt.Sprint(b.d.Rows.Count)},
		{"working width", b.units.length(b.d.WidthM())},
		{"row spacing", b.units.short(b.d.Rows.SpacingM)},
		{"heads", fmt.Sprint(len(b.d.Heads))},
		{"runs, sensed of all", fmt.Sprintf("%d of %d", b.sensedRuns(), len(b.runs))},
		{"nodes", fmt.Sprint(len(b.f.Nodes))},
		{"ports left free", b.freePorts()},
		{"tube in all", b.units.length(b.tubeM())},
	})
	b.standing()
	c := b.reserveContents()
	b.madeFrom()
	b.coverPlan()
	return c
}

// coverPlan fills what is left of the first page with a small plan, if it fits.
func (b *book) coverPlan() {
	const least = 75
	const small = views.Hoses | views.Sections
	b.Space(4)
	if b.Left() < least {
		return
	}
	trial := drawing.NewSheet(b.in.Paper.Portrait())
	if used := views.DrawTop(trial, drawing.Rect{W: b.Width(), H: b.Left() - 2}, b.f, small); used+2 <= b.Left() {
		s, r := b.Rest(0)
		views.DrawTop(s, drawing.Rect{X: r.X, Y: r.Bottom() - used - 2, W: r.W, H: used}, b.f, small)
	}
}

func (b *book) freePorts() string {
	total, free := b.ports()
	return fmt.Sprintf("%d of %d", free, total)
}

// The looks of a stage of the work.
var (
	stageDone    = drawing.State{Word: "done", Ink: drawing.Green, Mark: drawing.Tick}
	stageOpen    = drawing.State{Word: "open", Ink: drawing.Soft, Mark: drawing.Ring}
	stageAttend  = drawing.State{Word: "needs attention", Ink: drawing.Vermillion, Mark: drawing.Triangle}
	standingCols = []drawing.Column{{Title: "stage", Bold: true}, {Title: "state"}, {Title: "what is known"}}
)

// standing says how far the work has come.
func (b *book) standing() {
	b.Heading("Where the work stands")
	t := drawing.Table{Columns: standingCols, Stretch: true, Rules: true}
	for _, st := range []stage{b.plannedStage(), b.provedStage(), b.tunedStage(), {"signed", stageOpen, "on the last page, by hand"}} {
		t.Rows = append(t.Rows, []drawing.Cell{{Text: st.name}, drawing.StateCell(st.state), {Text: st.words}})
	}
	b.Table(t)
}

type stage struct {
	name  string
	state drawing.State
	words string
}

func (b *book) plannedStage() stage {
	a := b.f.Allocation
	words := fmt.Sprintf("%s for %s", one(len(b.f.Nodes), "node"), one(b.sensedRuns(), "sensed run"))
	if a.Optimal {
		words += "; proved to be the fewest nodes, then node-head pairs, then tube"
	} else if a.Bound != "" {
		words += "; " + a.Bound
	}
	if len(b.f.Harness.Legs) == 0 {
		words += "; without a harness: plan again with runproof plan for legs, volts and fuse"
	}
	if n := b.f.Checks.Count(check.Broken); n > 0 {
		return stage{"planned", stageAttend, fmt.Sprintf("%s; %s broken", words, one(n, "rule"))}
	}
	return stage{"planned", stageDone, words}
}

func (b *book) provedStage() stage {
	p := b.in.Proof
	if p == nil {
		return stage{"proved", stageOpen, "no walk has been given: pinch every hose, record, and run runproof prove"}
	}
	var parts []string
	for _, v := range verdicts {
		if n := p.Count(v); n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, verdictState(v).Word))
		}
	}
	st := stageAttend
	if len(b.notAsPlanned()) == 0 && len(p.Runs) > 0 {
		st = stageDone
	}
	return stage{"proved", st, "runs: " + strings.Join(parts, ", ")}
}

func (b *book) tunedStage() stage {
	r := b.in.Rules
	if r == nil {
		return stage{"alarms tuned", stageOpen, "no rules have been given: record sound work and run runproof tune"}
	}
	st := stageDone
	if len(r.Warnings) > 0 {
		st = stageAttend
	}
	words := listing(r.Rules, func(l alarm.Rule) string {
		return fmt.Sprintf("%s: floor %s, hold %s, blocked run found after %s", l.Product, percent(l.Floor), span(l.HoldS), b.travelOr(l.Missed.Blocked))
	})
	return stage{"alarms tuned", st, words}
}

// notAsPlanned returns the proof's runs that need a person. A run closed on
// purpose has no flow to walk by, and is none of them for not being walked.
func (b *book) notAsPlanned() []walk.Run {
	var out []walk.Run
	for _, r := range b.in.Proof.Runs {
		closed := r.Verdict == walk.NotWalked && slices.Contains(b.d.Closed, r.Run)
		if r.Verdict != walk.AsPlanned && !closed {
			out = append(out, r)
		}
	}
	return out
}

// madeFrom prints what the fit was made by and from, with the files' hashes.
func (b *book) madeFrom() {
	b.Heading("Made from")
	m := b.f.Made
	t := drawing.Table{Columns: []drawing.Column{{Title: "input"}, {Title: "SHA-256"}}, Text: drawing.TextStyle{SizePT: 8}, Rules: true}
	for _, s := range m.From {
		t.Rows = append(t.Rows, drawing.Cells(s.Name, s.SHA256))
	}
	if m.Parent != "" {
		t.Rows = append(t.Rows, drawing.Cells(fmt.Sprintf("revision %d of this fit", b.f.Revision-1), m.Parent))
	}
	words := "Fit made by " + m.By + "."
	if m.Why != "" {
		words += " " + m.Why
	}
	b.Paragraph(words)
	if len(t.Rows) > 0 {
		b.Table(t)
	}
}

// contents is the place kept for the list of contents until the pages are known.
type contents struct {
	sheet *drawing.Sheet
	area  drawing.Rect
}

const contentLines = 11

func (b *book) reserveContents() contents {
	b.Heading("In this book")
	st := drawing.TextStyle{SizePT: 9.5}
	s, r := b.Area(contentLines*st.LineMM() + 2)
	return contents{s, r}
}

// fill writes the chapters and their pages.
func (c contents) fill(out *drawing.Book) {
	st := drawing.TextStyle{SizePT: 9.5}
	y := c.area.Y
	for i, s := range out.Sheets {
		for _, m := range s.Bookmarks {
			if m.Level > 0 || i == 0 {
				continue
			}
			y += st.LineMM()
			page := fmt.Sprint(i + 1)
			c.sheet.Text(drawing.Point{X: c.area.X, Y: y}, m.Title, st)
			c.sheet.Text(drawing.Point{X: c.area.X + 100, Y: y}, page, st.Aligned(drawing.Right))
			from, to := c.area.X+st.WidthMM(m.Title)+2, c.area.X+98-st.WidthMM(page)
			c.sheet.Line(drawing.Point{X: from, Y: y - 0.3}, drawing.Point{X: to, Y: y - 0.3}, drawing.Hair.With(drawing.Dotted))
		}
	}
}
