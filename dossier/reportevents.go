package dossier

import (
	"fmt"
	"math"
	"strings"

	"runproof/drawing"
	"runproof/flowlog"
	"runproof/review"
)

// events is the table of what was found, each with its evidence in a sentence.
func (r *report) events() {
	res := r.day.Review
	if len(res.Events)+len(res.Findings) == 0 {
		return
	}
	r.Turn(r.day.Paper.Landscape())
	if len(res.Events) > 0 {
		r.Title("Events")
		r.eventTable()
	}
	if len(res.Findings) > 0 {
		r.Title("Shares that changed without an event")
		r.findingTable()
	}
}

func (r *report) eventTable() {
	t := drawing.Table{Stretch: true, Columns: []drawing.Column{
		{Title: "no.", Align: drawing.Right},
		{Title: "where", Bold: true},
		{Title: "what"},
		{Title: r.fromTitle()},
		{Title: "lasted", Align: drawing.Right},
		{Title: "lost", Align: drawing.Right},
		{Title: "travel", Align: drawing.Right},
		{Title: "area", Align: drawing.Right},
		{Title: "evidence"},
	}}
	for _, ev := range r.day.Review.Events {
		t.Rows = append(t.Rows, []drawing.Cell{
			{Text: fmt.Sprint(ev.ID)},
			{Text: where(ev)},
			drawing.StateCell(kindState(ev.Kind)),
			{Text: r.clockOf(ev.Start)},
			{Text: lasted(ev)},
			{Text: lostWords(ev)},
			{Text: r.units.travel(ev.Metres)},
			{Text: known(ev.Kind.LosesSeed(), r.units.ground(ev.AreaM2))},
			{Text: ev.Sentence},
		})
	}
	r.Table(t)
}

// findingTable is what cost nothing today, and will.
func (r *report) findingTable() {
	t := drawing.Table{Stretch: true, Columns: []drawing.Column{
		{Title: "where", Bold: true},
		{Title: "what"},
		{Title: r.fromTitle()},
		{Title: "change", Align: drawing.Right},
		{Title: "95 % interval", Align: drawing.Right},
		{Title: "evidence"},
	}}
	for _, f := range r.day.Review.Findings {
		t.Rows = append(t.Rows, []drawing.Cell{
			{Text: string(f.Run)},
			{Text: f.Course.String()},
			{Text: r.clockOf(f.From)},
			{Text: signedPercent(f.Change)},
			{Text: signedPercent(f.Low) + " to " + signedPercent(f.High)},
			{Text: f.Sentence},
		})
	}
	r.Table(t)
}

func (r *report) fromTitle() string {
	if r.clock == flowlog.Seconds {
		return "from, h:min:s of the log"
	}
	return "from, UTC"
}

// where names the run, else the head, the node or the product that an event concerns.
func where(ev review.Event) string {
	switch {
	case ev.Run != "":
		return string(ev.Run)
	case ev.Kind == review.NoData && ev.Node != "":
		return "node " + ev.Node
	case ev.Head != "":
		return "head " + string(ev.Head)
	case ev.Node != "":
		return "node " + ev.Node
	}
	return "all of " + string(ev.Product)
}

// clockOf writes a time of the log as hh:mm:ss.
func (r *report) clockOf(text string) string {
	ns, c, err := flowlog.ParseTime(text)
	if err != nil {
		return text
	}
	s := math.Floor(float64(ns) / 1e9)
	if c == flowlog.Seconds {
		return elapsed(s)
	}
	return drawing.ClockLabel(s, true)
}

// elapsed writes a span as h:mm:ss without wrapping at a day.
func elapsed(s float64) string {
	t := int(math.Round(s))
	return fmt.Sprintf("%d:%02d:%02d", t/3600, t/60%60, t%60)
}

// seconds returns the start and end of an event in seconds of the log's clock.
func seconds(ev review.Event) (startS, endS float64) {
	a, _, errA := flowlog.ParseTime(ev.Start)
	b, _, errB := flowlog.ParseTime(ev.End)
	if errA != nil || errB != nil {
		return math.NaN(), math.NaN()
	}
	return float64(a) / 1e9, float64(b) / 1e9
}

func lasted(ev review.Event) string {
	a, b := seconds(ev)
	if math.IsNaN(b - a) {
		return "?"
	}
	text := elapsed(b - a)
	text = strings.TrimPrefix(text, "0:")
	if ev.Open {
		text += " and on"
	}
	return text
}

func lostWords(ev review.Event) string {
	switch ev.Kind {
	case review.Noisy, review.NoData, review.SensorLost:
		return "–"
	}
	return fmt.Sprintf("%.0f %%", 100*ev.Lost)
}
