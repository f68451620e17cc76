package dossier

import (
	"fmt"
	"io"
	"strings"

	"runproof/drawing"
	"runproof/drawing/pdf"
	"runproof/drill"
	"runproof/flowlog"
	"runproof/measure"
	"runproof/replay"
	"runproof/review"
	"runproof/views"
)

// ReplayDay is a day with the rules that were played over it, and what its
// pages need to name things.
type ReplayDay struct {
	Drill     *drill.Drill
	Replay    *replay.Document
	Recording string // the log's file name, as the reader knows it
	Paper     drawing.Paper
}

// WriteReplay makes the pages of a replay and writes them as PDF. The same day
// gives the same bytes.
func WriteReplay(w io.Writer, day ReplayDay) error { return pdf.Write(w, ReplayPages(day)) }

// replayBook is a replay's pages in the making.
type replayBook struct {
	pages
	day ReplayDay
	doc *replay.Document
}

// ReplayPages makes the pages of a replay: what each set of rules would have
// done, drawn against every other rule of its kind, what hindsight would have
// chosen, and event by event.
func ReplayPages(day ReplayDay) *drawing.Book {
	info := drawing.Info{Title: "Alarm replay: " + views.NameOf(day.Drill), Subject: "What alarm rules would have done on a recorded day", Author: "Runproof"}
	b := &replayBook{newPages(info, day.Paper, day.Drill.Display), day, day.Replay}
	b.front()
	b.pictures()
	b.best()
	b.events()
	b.falseAlarms()
	return b.Close(fmt.Sprintf("Runproof alarm replay · %s · %s", views.NameOf(day.Drill), day.Recording))
}

func (b *replayBook) front() {
	b.Styled("What alarm rules would have done on a recorded day", drawing.TextStyle{SizePT: 10, Ink: drawing.Soft})
	b.Title(views.NameOf(b.day.Drill))
	b.Styled(fmt.Sprintf("%s, %s to %s", b.day.Recording, plainTime(b.doc.Start), plainTime(b.doc.End)), drawing.TextStyle{SizePT: 11}.Bold())
	b.Space(2)
	b.figures([]fact{
		{"in work", hours(b.doc.WorkHours)},
		{"travel in work", b.units.Format(measure.Distance, b.doc.WorkMetres)},
		{"events of the day", fmt.Sprint(len(b.doc.Rules[0].Events))},
		{"false alarms allowed in 10 h", fmt.Sprintf("%.3g", b.doc.Allowed)},
	})
	for i := range b.doc.Rules {
		b.outcome(&b.doc.Rules[i])
	}
	if len(b.doc.Warnings) > 0 {
		b.Heading("To know")
	}
	for _, w := range b.doc.Warnings {
		b.Item("!", upperFirst(w)+".")
	}
}

// outcome is what one rules document would have done.
func (b *replayBook) outcome(o *replay.Outcome) {
	b.Heading("With " + o.Name)
	t := drawing.Table{Stretch: true, Columns: []drawing.Column{
		{Title: "product", Bold: true},
		{Title: "low below", Align: drawing.Right},
		{Title: "for", Align: drawing.Right},
		{Title: "caught", Align: drawing.Right},
		{Title: "not caught", Align: drawing.Right},
		{Title: "travel missed", Align: drawing.Right},
		{Title: "of", Align: drawing.Right},
		{Title: "false alarms", Align: drawing.Right},
	}}
	for _, k := range o.Products {
		t.Rows = append(t.Rows, drawing.Cells(string(k.Product), percent(k.Floor), span(k.HoldS), fmt.Sprint(k.Caught), fmt.Sprint(k.Missed), b.units.travel(k.MissedM), b.units.travel(k.TakenM), fmt.Sprint(k.FalseCount)))
	}
	b.Table(t)
	b.Paragraph(FalseWords(o.False))
}

// FalseWords says how often rules rang for nothing.
func FalseWords(f replay.FalseAlarms) string {
	text := fmt.Sprintf("%s in settled work: %.3g in 10 h (95 %%: %.2g to %.2g), where the rules' design says %.2g.", upperFirst(one(f.Count, "false alarm")), f.PerDay, f.Low, f.High, f.Predicted)
	if f.Starting > 0 {
		text += fmt.Sprintf(" %d more from the first nine seconds after the drill went in: they sound only on a monitor that does not wait for the flow.", f.Starting)
	}
	return text
}

func (b *replayBook) pictures() {
	for _, id := range ReplayProducts(b.doc) {
		b.Space(3)
		s, r := b.Area(88)
		s.Bookmarks = append(s.Bookmarks, drawing.Bookmark{Title: fmt.Sprintf("Rules that could have been, %s", id), Level: 1, YMM: r.Y})
		drawReplay(s, r, b.doc, id, b.units)
		b.Space(2)
	}
}

// best is what hindsight would have chosen.
func (b *replayBook) best() {
	b.Heading("With hindsight")
	if len(b.doc.Best.Products) > 0 {
		t := drawing.Table{Columns: []drawing.Column{
			{Title: "product", Bold: true},
			{Title: "low below", Align: drawing.Right},
			{Title: "for", Align: drawing.Right},
			{Title: "caught", Align: drawing.Right},
			{Title: "travel missed", Align: drawing.Right},
			{Title: "false alarms", Align: drawing.Right},
		}}
		for _, p := range b.doc.Best.Products {
			t.Rows = append(t.Rows, drawing.Cells(string(p.Product), percent(p.Floor), span(p.HoldS), fmt.Sprint(p.Caught), b.units.travel(p.MissedM), fmt.Sprint(p.FalseCount)))
		}
		b.Table(t)
	}
	b.Paragraph(b.doc.Best.Remark)
}

// widestEvents is how many rules documents stand beside each other.
const widestEvents = 3

// events is the table of the day's events with what each set of rules did.
func (b *replayBook) events() {
	all := b.doc.Rules[0].Events
	if len(all) == 0 {
		return
	}
	b.Heading("Event by event")
	t := drawing.Table{Stretch: true, Rules: true, Columns: []drawing.Column{
		{Title: "no.", Align: drawing.Right},
		{Title: "where", Bold: true},
		{Title: "what"},
		{Title: "travel", Align: drawing.Right},
	}}
	shown := b.doc.Rules[:min(len(b.doc.Rules), widestEvents)]
	for _, o := range shown {
		title := "sounded after"
		if len(shown) > 1 {
			title = o.Name + " sounded after"
		}
		t.Columns = append(t.Columns, drawing.Column{Title: title})
	}
	for i, c := range all {
		row := []drawing.Cell{
			{Text: fmt.Sprint(c.Event)},
			{Text: CatchWhere(c)},
			drawing.StateCell(kindState(c.Kind)),
			{Text: b.units.travel(c.Metres)},
		}
		for _, o := range shown {
			row = append(row, b.catch(o.Events[i]))
		}
		t.Rows = append(t.Rows, row)
	}
	b.Table(t)
	if more := len(b.doc.Rules) - len(shown); more > 0 {
		b.Paragraph(fmt.Sprintf("What the other %d did stands in replay.json.", more))
	}
}

var (
	replayCaught = drawing.State{Word: "caught", Ink: drawing.Green, Mark: drawing.Tick}
	replayNever  = drawing.State{Word: "never", Ink: drawing.Vermillion, Mark: drawing.Cross}
	replayBlind  = drawing.State{Word: "not for such rules", Ink: drawing.Soft, Mark: drawing.Bar}
)

// catch says what a rule did about one event.
func (b *replayBook) catch(c replay.Catch) drawing.Cell {
	switch {
	case c.AfterM != nil:
		text := fmt.Sprintf("%s, %.3g s", b.units.travel(*c.AfterM), *c.AfterS)
		if c.By != "" && c.By != c.Run {
			text += ", by " + string(c.By)
		}
		return drawing.Cell{Text: text, State: replayCaught}
	case c.Run == "" || !c.Kind.LosesSeed():
		return drawing.Cell{Text: "never: " + c.Why, State: replayBlind}
	case c.Why != "":
		return drawing.Cell{Text: "never: " + c.Why, State: replayNever}
	}
	return drawing.Cell{Text: "never", State: replayNever}
}

// CatchWhere names the run, else the head, the node or the product that an
// event concerns.
func CatchWhere(c replay.Catch) string {
	return where(review.Event{Run: c.Run, Head: c.Head, Product: c.Product, Node: c.Node, Kind: c.Kind})
}

// mostAlarms is how many false alarms the page lists.
const mostAlarms = 60

func (b *replayBook) falseAlarms() {
	for _, o := range b.doc.Rules {
		if len(o.False.Listed) == 0 {
			continue
		}
		b.Heading("False alarms with " + o.Name)
		b.Columns(4)
		t := drawing.Table{Text: drawing.TextStyle{SizePT: 8.5}, Columns: []drawing.Column{{Title: "run", Bold: true}, {Title: "sounded at"}}}
		for _, a := range o.False.Listed[:min(len(o.False.Listed), mostAlarms)] {
			t.Rows = append(t.Rows, drawing.Cells(string(a.Run), b.clock(a.Time)))
		}
		b.Table(t)
		b.Columns(1)
		if n := o.False.Count - len(t.Rows); n > 0 {
			b.Paragraph(fmt.Sprintf("And %d more.", n))
		}
	}
}

// clock is a time of the log without its date where it has one.
func (b *replayBook) clock(text string) string {
	if _, c, err := flowlog.ParseTime(text); err == nil && c == flowlog.Seconds {
		return text + " s"
	}
	_, at, _ := strings.Cut(plainTime(text), " ")
	return at
}
